"""Distances of each kiln, each with its rule, the rule's condition and source, and what is to spare."""

from __future__ import annotations

from sitemap import tables
from sitemap.assessment import Assessment, SpotReport
from sitemap.geodesy.measure import azimuth_deg, compass_word
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.parts.open_points import position_basis
from sitemap.plan.phrases import Words
from sitemap.plan.say import away, length, sign_of
from sitemap.reasons import KilnName, Term, reason
from sitemap.safety.of_site import LOCAL_CODE
from sitemap.safety.rules import Rule, condition_of
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.site.on_plane import middle_of
from sitemap.wording import capital


def distances(a: Assessment, words: Words) -> Section:
    """What each kiln keeps clear of."""
    blocks: list[Block] = [Paragraph(words.own(LOCAL_CODE), "strong")]
    numbers = {rule.id: number for number, rule in enumerate(a.rules, start=1)}
    said = {spot.id: spot.embers for spot in a.safety.spots} if a.safety else {}
    for spot in a.spots:
        name = capital(words.shown(KilnName(spot.name)))
        if spot.setbacks:
            blocks.append(_table(a, words, spot, name, numbers))
        else:
            blocks.append(
                Paragraph(
                    words.own("{name}: nothing to measure to, or the kiln has no place on the map.", name=name),
                    "strong",
                )
            )
        blocks.append(Paragraph(f"{name}: {words.told(said.get(spot.id, reason('safety.embers_none')))}", "small"))
    blocks += [_rules(a, words), *_asked_and_looked(a, words)]
    return Section("distances", words.own("Distances"), tuple(blocks))


def _table(a: Assessment, words: Words, spot: SpotReport, name: str, numbers: dict[str, int]) -> Table:
    heads = words.row("To", "Distance", "Places good to", "By the rule", "To spare", "Verdict", "Rule")
    rows = tuple(_row(a, words, spot, setback, numbers) for setback in spot.setbacks)
    return Table(words.own("{name}, edge to edge", name=name), heads, rows, (37, 11, 20, 11, 13, 21, 6), small=True)


def _row(a: Assessment, words: Words, spot: SpotReport, setback: Setback, numbers: dict[str, int]) -> tuple[str, ...]:
    units = a.source.units
    off = words("shared.not_known")
    if setback.error_m is not None:
        basis = words.own(position_basis(a, spot.id, setback.feature))
        off = f"± {length(setback.error_m, units)}, {basis}"
    kind = words.shown(Term(KINDS[setback.kind].label)).lower() if setback.kind in KINDS else setback.kind
    called = words.shown(KilnName(setback.name)) if setback.kind == "kiln_spot" else f"{setback.name} ({kind})"
    return (
        f"{called}{_direction(a, words, spot.id, setback.feature)}",
        words.shown(away(setback)),
        off,
        length(setback.required_m, units, 3, "up") if setback.required_m is not None else words.own("ask"),
        _spare(words, setback.margin_m, units) if setback.required_m is not None else "–",
        f"{sign_of(setback.effect)} {words.shown(Term(setback.verdict))}",
        str(numbers.get(setback.rule, "–")),
    )


def _spare(words: Words, margin_m: float | None, units: str) -> str:
    if margin_m is None or margin_m >= 0:
        return length(margin_m, units, 3, "down")
    return words.own("{distance} short", distance=length(-margin_m, units, 3, "up"))


def _direction(a: Assessment, words: Words, start: str, end: str) -> str:
    """Which way it lies, so that a person on the ground can look there."""
    one, other = a.source.get(start), a.source.get(end)
    if a.plane is None or one is None or other is None or other.shape is None or other.shape.geom_type != "Point":
        return ""
    here, there = middle_of(one, a.plane), middle_of(other, a.plane)
    bearing = azimuth_deg(a.plane, here, there) if here is not None and there is not None else None
    return "" if bearing is None else f", {words.shown(Term(compass_word(bearing)))}"


def _rules(a: Assessment, words: Words) -> Table:
    rows = tuple(_rule(number, rule, words) for number, rule in enumerate(a.rules, start=1))
    heads = words.row("Rule", "Keep clear of", "Distance", "Condition", "Source and its evidence", "Entered by")
    return Table(words.own("The rules, by their numbers"), heads, rows, (5, 20, 10, 30, 46, 10), small=True)


def _rule(number: int, rule: Rule, words: Words) -> tuple[str, ...]:
    units = words.units
    label = KINDS[rule.kind].label if rule.kind in KINDS else rule.kind
    label = "Another kiln" if rule.kind == "kiln_spot" else label
    label = words.shown(Term(label))
    use = f" ({words.own(rule.use.replace('_', ' '))})" if rule.use else ""
    apart = length(rule.distance_m, units, 3, "up") if rule.distance_m is not None else words.own("ask")
    if rule.tree_lengths is not None:
        apart = words.own("{n} × its height", n=f"{rule.tree_lengths:g}")
    source = (
        f"{rule.source} ({words.own(tables.EVIDENCE_LEVELS[rule.evidence])})"
        if rule.evidence in tables.EVIDENCE_LEVELS
        else rule.source
    )
    return (
        str(number),
        f"{label}{use}",
        apart,
        condition_of(rule, units, words.language),
        source,
        words.own("this site" if rule.entered else "default set"),
    )


def _asked_and_looked(a: Assessment, words: Words) -> tuple[Block, ...]:
    whom = {"authority": "the authority", "line_owner": "owner of a line", "neighbour": "the owner next door"}
    answers = {"yes": "agreed", "conditions": "agreed with conditions", "no": "refused"}
    no_name, no_date = words.row("name missing", "date missing")
    asked = []
    for entry in a.source.records("asked"):
        about, when = a.source.get(entry.text("about") or ""), entry.date("date")
        told = words.own(
            "Asked {whom} about {about}: {name}, {day}: {answer}."
            if about
            else "Asked {whom}: {name}, {day}: {answer}.",
            whom=words.own(whom.get(entry.choice("whom") or "", "somebody")),
            about=about.name if about else "",
            name=entry.text("name") or no_name,
            day=words.day(when) if when else no_date,
            answer=words.own(answers.get(entry.choice("answer") or "", "answer missing")),
        )
        asked.append(f"{told} {entry.text('said') or ''}".strip())
    looked = []
    for entry in a.source.records("looked"):
        kind, when = entry.text("kind") or "", entry.date("when")
        label = words.shown(Term(KINDS[kind].label)) if kind in KINDS else kind or words.own("something")
        looked.append(
            words.own(
                "Looked for {thing}: none within {far} but what is on the map ({who}, {day}).",
                thing=label.lower(),
                far=words.figure(length(entry.number("within_m"), a.source.units, 3)),
                who=entry.text("who") or no_name,
                day=words.day(when) if when else no_date,
            )
        )
    texts = (*asked, *looked)
    head = Paragraph(words.own("Who was asked, and what was looked for"), "strong")
    nobody = Paragraph(words.own("Nobody was asked and nothing was looked for."))
    return head, Items(texts, small=True) if texts else nobody
