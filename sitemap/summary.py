"""An assessment in plain text, for the command line: the figures first, then what decides, then what is not known."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment, SpotReport
from sitemap.ranges import Drawn
from sitemap.season.smoke_of_site import cautions_of
from sitemap.telling import tell, word
from sitemap.units import range_text, text
from sitemap.water.values import SourceBudget
from sitemap.wording import listed, told


def summary_text(assessment: Assessment) -> str:
    """The whole assessment as text, in the units of the site."""
    return "\n".join(_lines(assessment)) + "\n"


_BY_TENS = 100


def said(quantity: Drawn | None, unit: str, units: str) -> str:
    """A drawn quantity with its range, or "not known"."""
    return "not known" if quantity is None else range_text(*quantity.triple(), unit, units)


def counted(quantity: Drawn | None) -> str:
    """A count with its range, or "not known"; above a hundred by tens, as people count what is not certain."""
    if quantity is None:
        return "not known"
    ends = [round(end) for end in quantity.triple()]
    low, likely, high = ends if ends[0] == ends[2] else (round(end, -1) if end > _BY_TENS else end for end in ends)
    return f"{likely:,}" if low == high else f"{likely:,} ({low:,}–{high:,})"


def held(source: SourceBudget, units: str) -> str:
    """What a source holds, for a person."""
    return "does not run out" if source.endless else text(source.litres_there, "l", units, toward="down")


def _lines(a: Assessment) -> Iterator[str]:
    units = a.source.units
    day = "no burn date set" if a.on is None else f"on {a.on.isoformat()}"
    yield f"{a.site.name}, {day}"
    yield ""
    yield f"Slash, dry          {said(a.slash.dry_t if a.slash.counted else None, 't', units)}"
    yield f"  per logged area   {said(a.slash.dry_t_per_ha, 't_ha', units)}"
    yield f"  char stock        {said(a.slash.char_stock_dry_t if a.slash.counted else None, 't', units)}"
    yield f"Kiln batches        {counted(a.burn.batches)}"
    yield f"Days                {counted(a.burn.days)}"
    yield f"Char                {said(a.burn.char_m3, 'm3', units)}"
    yield f"Quench water        {said(a.burn.quench_l, 'l', units)}"
    yield f"Reserve besides     {said(a.burn.reserve_l, 'l', units)}"
    for spot in a.spots:
        yield ""
        yield from _spot(a, spot)
    for source in a.sources:
        drawn = source.litres_needed
        needed = "nothing, no kiln draws from it" if drawn is None else said(drawn, "l", units)
        yield ""
        there = held(source, units)
        yield f"Water source {source.id}: {word(source.verdict)}. Needed {needed}, available {there}."
    yield from _afterwards(a)
    yield from _carbon(a)
    yield from _season(a)
    for heading, notes in (("Not known or unsound", a.unknowns), ("Assumed", a.assumed)):
        if notes:
            yield ""
            yield f"{heading}:"
            yield from dict.fromkeys(f"- {note.told(a.source.units)}" for note in notes)
    yield ""
    yield "Every distance is an example until the local code has been asked; a pass is not a permission."
    yield "No distance is safe from embers. What is not known is never counted as in order."


def _afterwards(a: Assessment) -> Iterator[str]:
    """What burned and is not proved cold, bags, what is left; nothing before anything has burned."""
    closing, units = a.closing, a.source.units
    if not closing.begun:
        return
    yield ""
    yield "Afterwards: the site is closed." if closing.closed else "Afterwards: the site is not closed."
    yield from (f"- {told(each.told, units)}" for each in a.burned)
    bags = closing.bags
    weighed = f", {bags.weighed} weighed: {text(bags.kg, 'kg', units, 3)}" if bags.weighed else ""
    yield f"- {bags.count} bags{weighed}; {text(closing.char_m3, 'm3', units, 2)} of char counted in buckets."
    yield from (f"- {count} bags: {where or 'nobody said where'}." for where, count in bags.places)
    if closing.heaps_left:
        yield f"- Not burned: {listed(closing.heaps_left)}."
    open_ = [step.key for step in closing.steps if not step.done]
    if open_:
        yield f"- Steps of the close-out still open: {', '.join(open_)}."


def _season(a: Assessment) -> Iterator[str]:
    """When the wood is dry, whether the batches fit the dates, and which winds keep smoke off, with what to heed."""
    said = [each.told for each in a.drying]
    said += [] if a.calendar is None else [a.calendar.told]
    said += [*(each.told for each in a.smoke), *cautions_of(a.smoke)]
    if said:
        yield ""
        yield "When:"
        yield from (f"- {told(why, a.source.units)}" for why in said)


def _carbon(a: Assessment) -> Iterator[str]:
    """What the char stores with methane against it, where the site asks for it."""
    found, units = a.carbon, a.source.units
    if found is None:
        return
    yield ""
    yield "Carbon, indicative; no certificate, no credit. For a hundred years, in mineral soil:"
    for label, each in (("All of the plan", found.planned), ("Counted in buckets so far", found.so_far)):
        if each is not None:
            stored, methane, left = (said(part, "t", units) for part in (each.stored_t, each.methane_t, each.left_t))
            yield f"- {label}: {stored} CO2e stored, {methane} CO2e of methane against it; {left} CO2e left."


def decided(a: Assessment, spot_id: str) -> Iterator[str]:
    """Whether the kiln at a spot may be lit, and for each thing that bars it what to do about it, a line each."""
    decision = a.decision(spot_id)
    if decision is not None:
        yield f"Kiln spot {decision.name}: {decision.word}"
        for bar in decision.because:
            yield f"  {bar.word}: {tell(bar.action, a.source.units)} ({told(bar.reason, a.source.units).rstrip('.')})"


def _spot(a: Assessment, spot: SpotReport) -> Iterator[str]:
    units = a.source.units
    yield from decided(a, spot.id)
    for check in spot.checks:
        yield f"  {check.check:<15} {word(check.verdict)}: {told(check.reason, units)}"
    for line in spot.water:
        flow = "" if line.flow_l_min is None else f", {said(line.flow_l_min, 'l_min', units)}"
        found = f"{word(line.verdict)}{flow}. {told(line.reason, units)}"
        yield f"  {line.line} line by {line.way} from {line.source}: {found}"
