"""Kilns: the verdict of each with every check, what it burns, and its clock in full."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment, SpotReport
from sitemap.kiln.values import KilnRun
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Facts, Paragraph, Section, Table
from sitemap.plan.say import decided, name_of, signed
from sitemap.safety.effects import PASSES
from sitemap.safety.permission import Check
from sitemap.summary import counted, said
from sitemap.telling import tell, word
from sitemap.units import text
from sitemap.wording import capital, check_label, listed, told


def kilns(a: Assessment) -> Section:
    """The verdict of each kiln with every check but the distances, which have a head of their own."""
    blocks: list[Block] = []
    if not a.spots:
        blocks.append(Paragraph("No kiln is placed."))
    runs = {run.spot: run for run in a.kilns}
    shared = _shared(a)
    if shared:
        blocks.append(_whole_site(a, shared))
    for spot in a.spots:
        blocks.append(Paragraph(f"{capital(kiln_called(spot.name))}: {decided(a, spot.id)}", "strong"))
        blocks.append(Paragraph(_decides(a, spot)))
        if spot.id in runs:
            blocks.append(Facts(tuple(_work(a, runs[spot.id]))))
        blocks.append(_checks(a, spot, shared))
    if any(each.may_be_lit for each in a.decisions):
        blocks.append(Paragraph("“May be lit” is not a permission and promises nothing.", "small"))
    return Section("kilns", "Kilns", tuple(blocks))


def _decides(a: Assessment, spot: SpotReport) -> str:
    decision = a.decision(spot.id)
    if decision is None or decision.may_be_lit:
        return "Nothing that was entered stands against it."
    first = dict.fromkeys(tell(bar.action, a.source.units) for bar in decision.because if bar.word == decision.word)
    return f"First: {listed(first)}. The reasons stand below."


def _work(a: Assessment, run: KilnRun) -> Iterator[tuple[str, str]]:
    """What is each kiln's own: what stands there, what it burns, how many batches."""
    units, count = a.source.units, f", {run.units} of them" if run.units > 1 else ""
    yield "What stands there", f"{run.name}{count}{', moved between places' if run.moved else ''}"
    heaps = [feature.name if (feature := a.source.get(heap)) else "scattered slash" for heap in run.heaps]
    yield "Burns", listed(heaps) or "no heap is given to it"
    per_day = _no_clock(a, run) if run.batches_per_day is None else f"{run.batches_per_day} a day"
    yield "Kiln batches", f"{counted(run.batches)} in all; {per_day}; days {counted(run.days)}"
    yield "Each hour without water", f"costs {said(run.lost_in_an_hour, 'fraction', units)} of the char"
    glow = f"{said(run.glow_kw_m2, 'kw_m2', units)}; 2.5 kW/m² is too much even in work clothing"
    yield f"Heat at the quench, {text(1.0, 'm', units, 2)} from the rim", glow
    yield (
        "Thickest piece",
        (
            f"{text(run.thickest_cm, 'cm', units, 2)}, in at least {run.soak_min:.0f} min before the water (operators' "
            f"rule, no source; a test furnace chars it through in {run.charring_min:.0f} min)"
        ),
    )


def _no_clock(a: Assessment, run: KilnRun) -> str:
    """Why a kiln has no batch on the day: the day, or the people who rake; as it is noted of the kiln."""
    about = {run.spot, run.id}
    notes = [note for note in a.unknowns if note.what == "no_batch_fits" and note.about in about]
    if notes:
        return notes[0].told(a.source.units).rstrip(".")
    return "no batch on the day" if a.daylight else "no clock, the light of the day is not known"


def _checks(a: Assessment, spot: SpotReport, shared: tuple[Check, ...]) -> Table:
    rows = [
        (_label(a, check.check, check.about), signed(check.verdict, check.effect), told(check.reason, a.source.units))
        for check in spot.checks
        if check.check != "distance" and check not in shared
    ]
    apart = [check for check in spot.checks if check.check == "distance"]
    if apart:
        worst = next((c for c in apart if c.effect == spot.effect), apart[0])
        still = [told(c.reason, a.source.units) for c in apart if c.effect != PASSES]
        words = " ".join(still) if still else f"{len(spot.setbacks)} distances, each far enough by the rule entered."
        rows.append(("Distances", signed(worst.verdict, worst.effect), f"{words} See “Distances”."))
    rows += _of_the_day(a, spot)
    return Table("", ("Check", "Verdict", "Why"), tuple(rows), (18, 20, 62), small=True)


def _of_the_day(a: Assessment, spot: SpotReport) -> Iterator[tuple[str, str, str]]:
    """What else bars it: matters of the day, of people and of the wood."""
    decision, of_spot = a.decision(spot.id), {(check.check, check.verdict) for check in spot.checks}
    for bar in decision.because if decision is not None else ():
        if (bar.check, bar.verdict) not in of_spot:
            action = tell(bar.action, a.source.units)
            why = f"{told(bar.reason, a.source.units)} To do: {action}."
            yield _label(a, bar.check, bar.about), f"? {word(bar.verdict)}", why


def _shared(a: Assessment) -> tuple[Check, ...]:
    """Checks that are the same for every kiln: who was asked, what was looked for."""
    of_site = [check for check in a.spots[0].checks if check.check in ("looked", "authority")] if a.spots else []
    return tuple(check for check in of_site if all(check in spot.checks for spot in a.spots))


def _whole_site(a: Assessment, shared: tuple[Check, ...]) -> Table:
    rows = tuple(
        (_label(a, c.check, c.about), signed(c.verdict, c.effect), told(c.reason, a.source.units)) for c in shared
    )
    return Table(
        "Checks of the whole site: they count for every kiln", ("Check", "Verdict", "Why"), rows, (18, 20, 62), True
    )


def _label(a: Assessment, check: str, about: str) -> str:
    label = check_label(check)
    return f"{label}: {name_of(a, about).lower()}" if check == "looked" else label
