"""Until it is cold: the checks with their boxes, how to make one, and the char in bags."""

from __future__ import annotations

import datetime as dt

from sitemap.assessment import Assessment
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Facts, Items, Paragraph, Section, Table
from sitemap.plan.say import day, moment, spots_to_light
from sitemap.summary import counted, said
from sitemap.units import text
from sitemap.wording import capital

_LATER = (("next_morning", "Next morning", 1), ("day_3", "Day 3", 3), ("day_7", "Day 7", 7), ("day_14", "Day 14", 14))
_EMPTY = "☐"


def cold_checks(a: Assessment) -> Section:
    """Boxes for every kiln and every check."""
    how = (
        "Look and smell first: any smoke, steam, heat shimmer or smell of burning is a fail.",
        "Back of the hand above the char, not in it.",
        "A metal rod into the middle, every corner and under the largest piece; feel it.",
        "Break lumps open, dig under the ring and round roots to mineral soil.",
        "Hands in the char only when all of that is cold. One warm place: water, rake, and begin again.",
    )
    rows = []
    for spot in spots_to_light(a):
        clocks = a.clock_of(spot.id)
        first = clocks[-1].checks[0].when if clocks else None
        when = f"{_EMPTY} {moment(first, a.on) if first else '2 h after the water'}"
        dates = [f"{_EMPTY} {_short(a.on + dt.timedelta(days=days)) if a.on else ''}" for _, _, days in _LATER]
        rows.append((capital(kiln_called(spot.name)), when, *dates, f"{_EMPTY} date:"))
    heads = ("Cold check", "2 h after the water", *(label for _, label, _ in _LATER), "First warm wind")
    blocks: list[Block] = [
        Table(
            "", heads, tuple(rows) or (("Kiln", *(_EMPTY,) * 6),), (14, 16, 14, 14, 14, 14, 14), small=True, hand=True
        ),
        Paragraph(
            "Tick, and write who. Nobody leaves before check 1. Days 7 and 14 are for the burned rings and for roots.",
            "small",
        ),
        Paragraph("How to make one", "strong"),
        Items(how),
    ]
    return Section("cold", "Until it is cold", tuple(blocks))


def _short(date: dt.date) -> str:
    return day(date).rsplit(" ", 1)[0]


def bags(a: Assessment) -> Section:
    """Weights of a bulk bag against what the machine lifts."""
    burn, units = a.burn, a.source.units
    pairs = [
        ("Bags in all", counted(burn.bags)),
        ("One bag, dry", said(burn.bag_dry_kg, "kg", units)),
        ("One bag, damp", said(burn.bag_damp_kg, "kg", units)),
        ("One bag, soaked", said(burn.bag_soaked_kg, "kg", units)),
    ]
    for machine in a.source.equipment("machines"):
        pairs.append((f"{machine.name} lifts at reach", _lifts(a, machine.number("lift_kg"))))
    if not a.source.equipment("machines"):
        pairs.append(("Machine", "none entered"))
    rule = (
        "Bag after 48 h and two cold checks, outdoors. Never in a cab or a shed the same day; char can take fire again "
        "from inside."
    )
    return Section("bags", "Char in bags", (Facts(tuple(pairs)), Paragraph(rule)))


def _lifts(a: Assessment, lift_kg: float | None) -> str:
    if lift_kg is None:
        return "not known: read it off the plate before lifting a bag"
    shown, soaked = text(lift_kg, "kg", a.source.units), a.burn.bag_soaked_kg
    if soaked is None:
        return shown
    if lift_kg >= soaked.high:
        return f"{shown}: a soaked bag too"
    dry = a.burn.bag_dry_kg
    if dry is not None and lift_kg >= dry.high:
        return f"{shown}: a dry bag, not every soaked one: fill it less"
    return f"{shown}: not a full bag: fill it less"


def cautions(a: Assessment) -> Section:
    """What the plan cannot promise."""
    texts = (
        "This plan is arithmetic on what somebody entered. It has not seen the site, the wood or the weather.",
        "“Passes the checks entered” is not a permission. The person in charge and the authority decide.",
        "Every distance is an example until the local code has been asked. Embers fly further than all of them.",
        "Smoke can carry current: no kiln beneath or beside a power line until its owner has agreed.",
        "Ground that was not measured was taken as level where no elevation was given.",
        "What is not known stays not known: it is never counted as in order.",
        "It replaces no licence, certificate or trained person where the law asks for one.",
    )
    words = a.source.member.get("invented")
    extra = (words,) if isinstance(words, str) and words else ()
    return Section("cautions", "Cautions", (Items((*extra, *texts)),))
