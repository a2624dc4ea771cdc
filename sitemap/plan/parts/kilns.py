"""Kilns: the verdict of each with every check, what it burns, and its clock in full."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment, SpotReport
from sitemap.kiln.values import KilnRun
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Facts, Paragraph, Section, Table
from sitemap.plan.parts.open_points import no_clock
from sitemap.plan.say import decided, moment, name_of, signed
from sitemap.safety.effects import PASSES
from sitemap.safety.permission import Check
from sitemap.summary import counted, said
from sitemap.telling import tell
from sitemap.units import text
from sitemap.wording import capital, check_label, kilns_called, listed, told

_METHODS = {
    "raked_and_sprayed": "tipped out, raked, sprayed",
    "unraked_or_machine_bin": "sprayed in the bin, not raked",
    "flooded": "flooded",
}


def kilns(a: Assessment) -> Section:
    """The verdict of each kiln with every check but the distances, which have a head of their own."""
    blocks: list[Block] = []
    if not a.spots:
        blocks.append(Paragraph("No kiln is placed."))
    runs = {run.spot: run for run in a.kilns}
    shared = _shared(a)
    if shared:
        blocks.append(_whole_site(a, shared))
    blocks += _batches(a)
    for spot in a.spots:
        blocks.append(Paragraph(f"{capital(kiln_called(spot.name))}: {decided(a, spot.id)}", "strong"))
        blocks.append(Paragraph(_decides(a, spot)))
        if spot.id in runs:
            blocks.append(Facts(tuple(_work(a, runs[spot.id]))))
            blocks += _clocks(a, runs[spot.id])
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
    per_day = no_clock(a) if run.batches_per_day is None else f"{run.batches_per_day} a day"
    yield "Kiln batches", f"{counted(run.batches)} in all; {per_day}; days {counted(run.days)}"
    yield (
        "Thickest piece",
        (
            f"{text(run.thickest_cm, 'cm', units, 2)}, in at least {run.soak_min:.0f} min before the water (operators' "
            f"rule, no source; a test furnace chars it through in {run.charring_min:.0f} min)"
        ),
    )


def _batches(a: Assessment) -> Iterator[Block]:
    """One batch, said once for all kilns that make the same."""
    alike: dict[tuple[str, tuple[tuple[str, str], ...]], list[str]] = {}
    for run in a.kilns:
        alike.setdefault((run.name, tuple(_batch(a, run))), []).append(name_of(a, run.spot))
    for (name, facts), names in alike.items():
        yield Paragraph(f"One batch in the {name}: {kilns_called(names)}", "strong")
        yield Facts(facts)


def _batch(a: Assessment, run: KilnRun) -> Iterator[tuple[str, str]]:
    units = a.source.units
    yield "Open top", text(run.open_area_m2, "m2", units, 2)
    yield (
        "One batch",
        (
            f"{said(run.hours_per_batch, 'h', units)} from lighting to water; "
            f"{said(run.feed_dry_t_per_batch, 't', units)} dry wood at "
            f"{said(run.feed_dry_t_per_h, 't_h', units)}; char {said(run.char_m3_per_batch, 'm3', units)}"
        ),
    )
    yield (
        "Quench, one batch",
        (
            f"{said(run.quench_l_per_batch, 'l', units)} ({_METHODS.get(run.method, run.method)}); all boiled away "
            f"{said(run.quench_floor_l, 'l', units)}, every pore filled {said(run.quench_ceiling_l, 'l', units)}"
        ),
    )
    yield "Least water", f"{said(run.hold_l_min, 'l_min', units)}: with less, the char may never go out"
    yield "Water late", f"{said(run.lost_in_an_hour, 'fraction', units)} of the char burns away in an hour"
    yield (
        "Heat of the bare glow",
        (
            f"{said(run.glow_kw_m2, 'kw_m2', units)} on people {text(1.0, 'm', units, 2)} from the rim; "
            "2.5 kW/m² is too much even in work clothing: long rake, fog first, from upwind"
        ),
    )
    yield "Heat of the fire, most", said(run.heat_peak_kw, "kw", units)


def _clocks(a: Assessment, run: KilnRun) -> tuple[Block, ...]:
    clocks = a.clock_of(run.spot)
    if len(clocks) < 2:
        return ()  # the one batch stands on page one
    rows = tuple(
        (
            f"batch {number}",
            *(
                moment(when, a.on)
                for when in (c.light_by, c.last_thick, c.stop_feeding, c.water_on, c.no_steam_by, c.checks[0].when)
            ),
        )
        for number, c in enumerate(clocks, start=1)
    )
    heads = ("No later than", "Light by", "Last thick piece", "Stop feeding", "Water on", "Raked, no steam", "Check 1")
    return (Table("", heads, rows, (14, 12, 14, 13, 12, 14, 12), small=True),)


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
        words = " ".join(still) if still else f"{len(apart)} distances, each far enough by the rule entered."
        rows.append(("Distances", signed(worst.verdict, worst.effect), f"{words} See “Distances”."))
    return Table("", ("Check", "Verdict", "Why"), tuple(rows), (18, 20, 62), small=True)


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
