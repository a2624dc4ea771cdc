"""Distances of each kiln, each with its rule, the rule's condition and source, and what is to spare."""

from __future__ import annotations

from sitemap import tables
from sitemap.assessment import Assessment, SpotReport
from sitemap.geodesy.measure import azimuth_deg, compass_word
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.parts.open_points import position_basis
from sitemap.plan.say import day, length, signed
from sitemap.reasons import reason
from sitemap.safety.of_site import LOCAL_CODE
from sitemap.safety.rules import Rule, condition_of
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.site.on_plane import middle_of
from sitemap.wording import NOT_KNOWN, capital, told


def distances(a: Assessment) -> Section:
    """What each kiln keeps clear of."""
    blocks: list[Block] = [Paragraph(LOCAL_CODE, "strong")]
    numbers = {rule.id: number for number, rule in enumerate(a.rules, start=1)}
    said = {spot.id: spot.embers for spot in a.safety.spots} if a.safety else {}
    for spot in a.spots:
        name = capital(kiln_called(spot.name))
        if spot.setbacks:
            blocks.append(_table(a, spot, name, numbers))
        else:
            blocks.append(Paragraph(f"{name}: nothing to measure to, or the kiln has no place on the map.", "strong"))
        blocks.append(
            Paragraph(f"{name}: {told(said.get(spot.id, reason('safety.embers_none')), a.source.units)}", "small")
        )
    blocks += [_rules(a), *_asked_and_looked(a)]
    return Section("distances", "Distances", tuple(blocks))


def _table(a: Assessment, spot: SpotReport, name: str, numbers: dict[str, int]) -> Table:
    heads = ("To", "Distance", "Places good to", "By the rule", "To spare", "Verdict", "Rule")
    rows = tuple(_row(a, spot, setback, numbers) for setback in spot.setbacks)
    return Table(f"{name}, edge to edge", heads, rows, (37, 11, 20, 11, 13, 21, 6), small=True)


def _row(a: Assessment, spot: SpotReport, setback: Setback, numbers: dict[str, int]) -> tuple[str, ...]:
    units = a.source.units
    off = NOT_KNOWN
    if setback.error_m is not None:
        off = f"± {length(setback.error_m, units)}, {position_basis(a, spot.id, setback.feature)}"
    kind = KINDS[setback.kind].label.lower() if setback.kind in KINDS else setback.kind
    called = kiln_called(setback.name) if setback.kind == "kiln_spot" else f"{setback.name} ({kind})"
    return (
        f"{called}{_direction(a, spot.id, setback.feature)}",
        length(setback.distance_m, units, 3),
        off,
        length(setback.required_m, units, 3) if setback.required_m is not None else "ask",
        _spare(setback.margin_m, units) if setback.required_m is not None else "–",
        signed(setback.verdict, setback.effect),
        str(numbers.get(setback.rule, "–")),
    )


def _spare(margin_m: float | None, units: str) -> str:
    if margin_m is None or margin_m >= 0:
        return length(margin_m, units, 3)
    return f"{length(-margin_m, units, 3)} short"


def _direction(a: Assessment, start: str, end: str) -> str:
    """Which way it lies, so that a person on the ground can look there."""
    one, other = a.source.get(start), a.source.get(end)
    if a.plane is None or one is None or other is None or other.shape is None or other.shape.geom_type != "Point":
        return ""
    here, there = middle_of(one, a.plane), middle_of(other, a.plane)
    bearing = azimuth_deg(a.plane, here, there) if here is not None and there is not None else None
    return "" if bearing is None else f", {compass_word(bearing)}"


def _rules(a: Assessment) -> Table:
    rows = tuple(_rule(number, rule, a.source.units) for number, rule in enumerate(a.rules, start=1))
    heads = ("Rule", "Keep clear of", "Distance", "Condition", "Source and its standing", "Entered by")
    return Table("The rules, by their numbers", heads, rows, (5, 20, 10, 30, 46, 10), small=True)


def _rule(number: int, rule: Rule, units: str) -> tuple[str, ...]:
    label = KINDS[rule.kind].label if rule.kind in KINDS else rule.kind
    label = "Another kiln" if rule.kind == "kiln_spot" else label
    use = f" ({rule.use.replace('_', ' ')})" if rule.use else ""
    apart = length(rule.distance_m, units, 3) if rule.distance_m is not None else "ask"
    if rule.tree_lengths is not None:
        apart = f"{rule.tree_lengths:g} × its height"
    source = f"{rule.source} ({tables.STANDINGS[rule.standing]})" if rule.standing in tables.STANDINGS else rule.source
    return (
        str(number),
        f"{label}{use}",
        apart,
        condition_of(rule, units),
        source,
        "this site" if rule.entered else "default set",
    )


def _asked_and_looked(a: Assessment) -> tuple[Block, ...]:
    whom = {"authority": "the authority", "line_owner": "owner of a line", "neighbour": "a neighbour"}
    answers = {"yes": "agreed", "conditions": "agreed with conditions", "no": "refused"}
    asked = []
    for entry in a.source.records("asked"):
        about = a.source.get(entry.text("about") or "")
        when = entry.date("date")
        asked.append(
            f"Asked {whom.get(entry.choice('whom') or '', 'somebody')}{f' about {about.name}' if about else ''}: "
            f"{entry.text('name') or 'name missing'}, {day(when) if when else 'date missing'}: "
            f"{answers.get(entry.choice('answer') or '', 'answer missing')}. {entry.text('said') or ''}".strip()
        )
    looked = []
    for entry in a.source.records("looked"):
        kind, when = entry.text("kind") or "", entry.date("when")
        label = KINDS[kind].label if kind in KINDS else kind or "something"
        looked.append(
            f"Looked for {label.lower()}: none within {length(entry.number('within_m'), a.source.units, 3)} "
            f"({entry.text('who') or 'name missing'}, {day(when) if when else 'date missing'})."
        )
    texts = (*asked, *looked)
    head = Paragraph("Who was asked, and what was looked for", "strong")
    return head, Items(texts, small=True) if texts else Paragraph("Nobody was asked and nothing was looked for.")
