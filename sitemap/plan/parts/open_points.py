"""What forbids lighting, what is not known, the weakest number, and what would turn a verdict."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.day.decision import NOT_HERE
from sitemap.notes import Note, kiln_called
from sitemap.plan.model import Block, Items, Paragraph, Section, Warned
from sitemap.plan.say import length, spot_name, spots_in_use
from sitemap.safety.setbacks import Setback
from sitemap.telling import tell
from sitemap.wording import capital, kilns_called, listed, told

ON_PAGE_ONE = 7  # sentences of what is not known that page one has room for; all of them stand further on
_REASONS = 2  # told of those that ask for the same action; the others stand under "Kilns"
ON_THE_DAY = (
    "A burn ban is in force, or nobody has asked about one today.",
    "A weather limit below is passed in any hour up to the first cold check, or has not been read.",
    "Water, hose and the reserve are not in place and under pressure at the kiln.",
)


def do_not_light(a: Assessment) -> Warned:
    """Everything that forbids lighting as the site stands, and what must be asked again on the day."""
    return Warned("Do not light while any of this stands", (*_standing(a), *ON_THE_DAY))


def _standing(a: Assessment) -> Iterator[str]:
    """Kiln by kiln what bars it, the action first; kilns barred by the same are told together."""
    units = a.source.units
    if not a.spots:
        yield "No kiln is placed, so nothing has been checked."
    asked: dict[tuple[str, str], dict[str, list[str]]] = {}
    for decision in a.decisions:
        for bar in decision.because:
            whys = asked.setdefault((bar.word, tell(bar.action, units)), {})
            whys.setdefault(told(bar.reason, units).rstrip("."), []).append(decision.name)
    for (word, action), whys in sorted(asked.items(), key=lambda each: each[0][0] != NOT_HERE):
        names = list(dict.fromkeys(name for each in whys.values() for name in each))
        yield f"{capital(kilns_called(names))}, {word}: {action}. Why: {_whys(whys, names)}."


def _whys(whys: dict[str, list[str]], names: list[str]) -> str:
    """Why some kilns are asked the same: each reason with the kilns it holds for, where it does not hold for all."""
    each = [f"{'' if len(for_) == len(names) else f'{listed(for_)}: '}{why}" for why, for_ in whys.items()]
    more = f"; {len(each) - _REASONS} more under “Kilns”" if len(each) > _REASONS else ""
    return "; ".join(each[:_REASONS]) + more


def not_known_first(a: Assessment) -> tuple[Block, ...]:
    """What is not known, what decides a verdict first; as much as page one has room for."""
    notes = ranked_unknowns(a)
    shown = [note.told(a.source.units) for note in notes[:ON_PAGE_ONE]]
    more = len(notes) - len(shown)
    if more:
        shown.append(f"{more} more stand under “Not known and assumed”.")
    assumed = f"{len(a.assumed)} things were assumed; they stand under “Not known and assumed”."
    if not shown:
        return (Paragraph(f"{_nothing_missing(a)} {assumed}", "small"),)
    return Items(tuple(shown), small=True), Paragraph(assumed, "small")


def _nothing_missing(a: Assessment) -> str:
    """Said where no note is left; a kiln that is barred still lacks something, which the frame on page one says."""
    if a.decisions and all(decision.may_be_lit for decision in a.decisions):
        return "Nothing that was asked for is missing."
    return "What bars a kiln stands under “Do not light”."


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
            f"Weakest number: {tell(driver.what)}, {whose}, {driver.basis}. It makes {driver.share:.0%} of "
            f"the spread of the char stock (± {driver.half_range:.0%} by itself), and so of batches, hours and water."
        )
    else:
        yield "Weakest number: how much slash there is. It is not known, and so are batches, hours and water."
    yield from _nearest(a)


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
    blocks.append(Items(unknowns, small=True) if unknowns else Paragraph(_nothing_missing(a)))
    blocks.append(Paragraph("Assumed", "strong"))
    blocks.append(Items(assumed, small=True) if assumed else Paragraph("Nothing was assumed."))
    return Section("not_known", "Not known and assumed", tuple(blocks))
