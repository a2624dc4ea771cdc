"""What forbids lighting, what is not known, the weakest number, and what would turn a verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitemap.assessment import Assessment, SpotReport
from sitemap.notes import Note, kiln_called
from sitemap.plan.model import Block, Items, Paragraph, Section, Warned
from sitemap.plan.say import day, length, name_of, signed, spot_name, spots_in_use
from sitemap.safety.effects import PASSES, RULED_OUT
from sitemap.safety.permission import Check
from sitemap.safety.setbacks import Setback
from sitemap.wording import capital, check_label, kilns_called, listed, told

ON_PAGE_ONE = 7  # sentences of what is not known that page one has room for; all of them stand further on
ON_THE_DAY = (
    "A burn ban is in force, or nobody has asked about one today.",
    "A weather limit below is passed in any hour up to the first cold check, or has not been read.",
    "Water, hose and the reserve are not in place and under pressure at the kiln.",
)


def do_not_light(a: Assessment) -> Warned:
    """Everything that forbids lighting as the site stands, and what must be asked again on the day."""
    return Warned("Do not light while any of this stands", (*_standing(a), *ON_THE_DAY))


def _standing(a: Assessment) -> Iterator[str]:
    adults = a.source.section("crew").integer("adults")
    if adults is None:
        yield "How many adults are on site is not known. Fewer than two adults: do not light."
    elif adults < 2:
        yield f"Fewer than two adults are on site ({adults}): do not light."
    if not a.spots:
        yield "No kiln is placed, so nothing has been checked."
    for spot in a.spots:
        if spot.effect == RULED_OUT:
            barring = [check for check in spot.checks if check.effect == RULED_OUT]
            yield f"{capital(kiln_called(spot.name))} is ruled out. {reasons(barring, 2, a.source.units)}."
    if a.on is None:
        yield "No burn date is set."
    yield from _permit(a)
    yield from _asked(a)
    used = {spot.id for spot in spots_in_use(a)}
    dark = [name_of(a, run.spot) for run in a.kilns if not run.clocks and run.spot in used]
    if dark:
        yield f"{capital(kilns_called(dark))}: {no_clock(a)}."
    yield from _dry(a)
    if a.source.section("season").choice("surroundings") == "cured":
        yield "Grass and brush around are cured: outside limits, unless the officer in charge says otherwise."


def _permit(a: Assessment) -> Iterator[str]:
    permit = a.source.section("permit")
    first, last = permit.date("from"), permit.date("to")
    if first is None or last is None:
        yield "The dates of the permit are not entered."
    elif a.on is not None and not first <= a.on <= last:
        yield f"The burn date lies outside the permit ({day(first)} to {day(last)})."


def _dry(a: Assessment) -> Iterator[str]:
    """Water lines that do not serve; kilns whose lines fail alike are said together."""
    dry: dict[tuple[str, str, str], list[str]] = {}
    for spot in spots_in_use(a):
        wet = a.water.of_spot(spot.id) if a.water else None
        for line in (wet.quench, wet.attack) if wet else ():
            if line.verdict in ("short", "not known"):
                dry.setdefault((line.line, line.verdict, told(line.reason, a.source.units).rstrip(".")), []).append(
                    spot.name
                )
    for (which, verdict, why), names in dry.items():
        yield f"The {which} line of {kilns_called(names)} is {verdict}: {why}."


def _asked(a: Assessment) -> Iterator[str]:
    """The authority is asked once for the whole site; every kiln carries the same answer."""
    for spot in a.spots[:1]:
        for check in spot.checks:
            if check.check == "authority" and check.verdict != "asked and agreed":
                yield told(check.reason, a.source.units)


def not_known_first(a: Assessment) -> tuple[Block, ...]:
    """What is not known, what decides a verdict first; as much as page one has room for."""
    notes = ranked_unknowns(a)
    shown = [note.told(a.source.units) for note in notes[:ON_PAGE_ONE]]
    more = len(notes) - len(shown)
    if more:
        shown.append(f"{more} more stand under “Not known and assumed”.")
    assumed = f"{len(a.assumed)} things were assumed; they stand under “Not known and assumed”."
    if not shown:
        return (Paragraph(f"Nothing that was asked for is missing. {assumed}", "small"),)
    return Items(tuple(shown), small=True), Paragraph(assumed, "small")


def ranked_unknowns(a: Assessment) -> tuple[Note, ...]:
    """What is not known, the sentences behind an open verdict first, each once."""
    deciding = {
        told(check.reason, a.source.units) for spot in a.spots for check in spot.checks if check.verdict == "not known"
    }
    notes = {note.told(a.source.units): note for note in a.unknowns}
    return tuple(sorted(notes.values(), key=lambda note: note.told(a.source.units) not in deciding))


def weakest(a: Assessment) -> tuple[Block, ...]:
    """The weakest number behind the tonnage and, kiln by kiln, what would turn its verdict."""
    return (Items(tuple(_weakest(a)), small=True),)


def _weakest(a: Assessment) -> Iterator[str]:
    if a.slash.drivers:
        driver = a.slash.drivers[0]
        whose = "all heaps" if driver.about == "site" else _name(a, driver.about)
        yield (
            f"Weakest number: {driver.told}, {whose}, {driver.basis}. It makes {driver.share:.0%} of "
            f"the spread of the char stock (± {driver.half_range:.0%} by itself), and so of batches, hours and water."
        )
    else:
        yield "Weakest number: how much slash there is. It is not known, and so are batches, hours and water."
    yield from _turning(a)
    yield from _nearest(a)


def _turning(a: Assessment) -> Iterator[str]:
    """What each kiln's verdict hangs on; kilns that hang on the same are said together."""
    hanging: dict[tuple[str, str], list[str]] = {}
    for spot in a.spots:
        hanging.setdefault((signed(spot.verdict, spot.effect), _deciding(a, spot)), []).append(spot.name)
    for (verdict, on), names in hanging.items():
        yield f"{capital(kilns_called(names))}: {verdict}{f'; it turns on {on}' if on else ''}."


def _deciding(a: Assessment, spot: SpotReport) -> str:
    """The checks a verdict hangs on; what was looked for or measured to is named behind its check."""
    found: dict[tuple[str, str], list[str]] = {}
    for check in spot.checks:
        if check.effect == spot.effect != PASSES:
            about = found.setdefault((check_label(check.check).lower(), check.verdict), [])
            if check.check in ("distance", "looked"):
                about.append(name_of(a, check.about))
    return ", ".join(
        f"{label}{' ' if about else ''}{listed(dict.fromkeys(about), 3)} ({verdict})"
        for (label, verdict), about in found.items()
    )


def reasons(checks: Iterable[Check], most: int, units: str) -> str:
    """Why, check by check, shortened where there are many."""
    why = [f"{check_label(c.check)}, {c.verdict}: {told(c.reason, units).rstrip('.')}" for c in checks]
    more = f"; {len(why) - most} more under “Kilns”" if len(why) > most else ""
    return "; ".join(why[:most]) + more


def no_clock(a: Assessment) -> str:
    """Why a kiln has no clock."""
    return "no batch fits this daylight" if a.daylight else "no clock, the light of the day is not known"


def _nearest(a: Assessment) -> Iterator[str]:
    """Of the kilns in use, the distance and the lift with the least to spare."""
    units, used = a.source.units, spots_in_use(a)
    kept = [(s, spot) for spot in used for s in spot.setbacks if s.verdict == "far enough" and s.margin_m is not None]
    if kept:
        least, spot = min(kept, key=lambda pair: _spare_m(pair[0]))
        other = kiln_called(least.name) if least.kind == "kiln_spot" else least.name
        yield (
            f"Distance nearest to turning: {kiln_called(spot.name)} to {other}, {length(least.distance_m, units, 3)}; "
            f"it may be {length(_spare_m(least), units)} nearer before it must be measured "
            f"(places {position_basis(a, spot.id, least.feature)})."
        )
    lines = [(wet.quench.flip_m, spot) for spot in used if (wet := a.water.of_spot(spot.id) if a.water else None)]
    lifts = [(flip_m, spot) for flip_m, spot in lines if flip_m is not None and flip_m > 0]
    if lifts:
        flip_m, spot = min(lifts, key=lambda pair: pair[0])
        yield f"Quench line of {kiln_called(spot.name)}: it holds until the kiln stands {length(flip_m, units)} higher."


def _spare_m(setback: Setback) -> float:
    return (setback.margin_m or 0.0) - (setback.error_m or 0.0)


def position_basis(a: Assessment, *ids: str) -> str:
    """Whether the errors of these places were entered or assumed: the weaker of them."""
    features = [a.source.get(each) for each in ids]
    fine = all(feature is not None and feature.number("position_error_m") is not None for feature in features)
    return "as entered" if fine else "assumed"


def _name(a: Assessment, id: str) -> str:  # noqa: A002
    feature = a.source.get(id)
    if feature is None:
        return id
    return spot_name(a, id) if feature.kind == "kiln_spot" else feature.name


def not_known_and_assumed(a: Assessment) -> Section:
    """Everything not known, and everything assumed."""
    unknowns = tuple(note.told(a.source.units) for note in ranked_unknowns(a))
    assumed = tuple(dict.fromkeys(note.told(a.source.units) for note in a.assumed))
    blocks: list[Block] = [Paragraph("Not known", "strong")]
    blocks.append(Items(unknowns, small=True) if unknowns else Paragraph("Nothing that was asked for is missing."))
    blocks.append(Paragraph("Assumed", "strong"))
    blocks.append(Items(assumed, small=True) if assumed else Paragraph("Nothing was assumed."))
    return Section("not_known", "Not known and assumed", tuple(blocks))
