"""What was logged so far, and what the plan cannot promise."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of
from sitemap.reasons import Quantity
from sitemap.units import text


def logged(a: Assessment, words: Words) -> Section:
    """Every batch that was logged, whatever its day."""
    rows = []
    for entry in a.source.records("log"):
        kiln, buckets, used = entry.text("kiln"), entry.number("buckets"), entry.number("water_l")
        rows.append(
            (
                words.day(entry.date("date")),
                name_of(a, kiln) if kiln else "",
                f"{buckets:g}" if buckets is not None else "",
                words.figure(text(used, "l", a.source.units)) if used is not None else "",
                entry.text("text") or "",
            )
        )
    heads = words.row("Date", "Kiln", "Buckets of char", "Water used", "Remarks")
    table = Table("", heads, tuple(rows), (16, 14, 14, 14, 42), small=True)
    blocks: list[Block] = [table if rows else Paragraph(words.own("Nothing is logged yet."))]
    closing = a.closing
    if closing.begun:
        bags = closing.bags
        said = [words("cold.left_bags", count=bags.count, weighed=bags.weighed, kg=Quantity(bags.kg, "kg", 3))]
        if closing.char_m3:
            held, counted = Quantity(bags.m3, "m3", 2), Quantity(closing.char_m3, "m3", 2)
            said.append(words("cold.left_char", counted=counted, bags=held))
        blocks.append(Paragraph(" ".join(said)))
    return Section("log_so_far", words.own("Log so far"), tuple(blocks))


def cautions(a: Assessment, words: Words) -> Section:
    """What the plan cannot promise."""
    texts = words.row(
        "This plan is arithmetic on what somebody entered. It has not seen the site, the wood or the weather.",
        "“Passes the checks entered” is not a permission. The person in charge and the authority decide.",
        "Every distance is an example until the local code has been asked. Embers fly further than all of them.",
        "Smoke can carry current: no kiln beneath or beside a power line until its owner has agreed.",
        "Ground that was not measured was taken as level where no elevation was given.",
        "What is not known stays not known: it is never counted as in order.",
        "It replaces no permit, certificate or trained person where the law asks for one.",
    )
    invented = a.source.member.get("invented")
    extra = (invented,) if isinstance(invented, str) and invented else ()
    return Section("cautions", words.own("Cautions"), (Items((*extra, *texts)),))
