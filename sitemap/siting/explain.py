"""May a kiln stand here? What the ground says of a place and what every check says of a kiln spot put there, as one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from shapely.geometry import Point

from sitemap.assessment import Assessment
from sitemap.reasons import KilnName, Reason, Term, metres, reason
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT, worst_effect
from sitemap.safety.permission import Check
from sitemap.site.kinds import KINDS
from sitemap.site.model import Item
from sitemap.siting.layers import Objection
from sitemap.siting.of_site import checks_of_a_spot, kilns_near, spacing_m, usable_of
from sitemap.siting.smoke import smoke_caution
from sitemap.siting.usable import Usable
from sitemap.wording import CHECKS

_ON_THE_GROUND = {"ground": Term("what lies under the kiln"), "branches": Term("whether branches hang over it")}
_WATER = ("water_quench", "water_attack")


@dataclass(frozen=True)
class Answered:
    """May a kiln stand here? may : False, or None for not known, never True; effect : of a kiln spot put there;
    findings : the answer first; nearest : longitude and latitude of the nearest usable ground, or None."""

    may: bool | None
    effect: str
    findings: tuple[Reason, ...]
    nearest: tuple[float, float] | None


@dataclass(frozen=True)
class Told:
    """effect : of a kiln spot put there; usable : whether nothing bars the ground; findings : what bars first."""

    effect: str
    usable: bool
    findings: tuple[Reason, ...]


def answer_at(assessment: Assessment, lon: float, lat: float, kiln: Item | None = None) -> Answered:
    """May a kiln stand at a place? If not: every reason, and how far the nearest usable ground is.

    Parameters
    ----------
    lon, lat : the place [deg]
    kiln : which kiln; the largest of the site where left out

    Returns
    -------
    Answered; its effect is that of a kiln spot put there and assessed. What is not known never reads as yes, and at a
    bare place the ground under the kiln and the branches above are not.
    """
    site, plane = assessment.source, assessment.plane
    if plane is None:
        return Answered(None, CONDITIONAL, (reason("siting.nothing_to_say"),), None)
    usable = usable_of(assessment, kiln)
    x, y = (float(part) for part in plane.xy(lon, lat))
    objections = (*_kilns_in_the_way(assessment, usable, Point(x, y)), *usable.objections_at(x, y))
    checks = checks_of_a_spot(assessment, lon, lat, kiln)
    found, caution = told(objections, checks), smoke_caution(site, plane, x, y)
    said = (*found.findings, *_if_a_pad_is_cut(objections, checks), *(() if caution is None else (caution,)))
    if found.usable:
        return Answered(None, found.effect, (reason("siting.not_known_whether"), *said), None)
    head = reason("siting.no_kiln_here" if found.effect == RULED_OUT else "siting.not_usable_here")
    away_m, place = usable.nearest(x, y)
    if away_m == 0.0:  # what rules it out here is asked of a kiln spot anywhere
        return Answered(False, found.effect, (head, *said), None)
    if away_m is None or place is None:
        return Answered(False, found.effect, (head, *said, reason("siting.none_usable")), None)
    lon_near, lat_near = plane.lonlat(*place)
    where = reason("siting.nearest_usable", away=metres(away_m, 2))
    return Answered(False, found.effect, (head, *said, where), (float(lon_near), float(lat_near)))


def told(objections: Iterable[Objection], checks: Sequence[Check]) -> Told:
    """The answer for a place.

    Parameters
    ----------
    objections : what the ground says against a kiln there
    checks : of a kiln spot put there; without any it is conditional

    Returns
    -------
    Told; of the water the checks of the spot decide, as its verdict does
    """
    said = list(objections)
    quench = next((check for check in checks if check.check == "water_quench"), None)
    barred = any(each.bars for each in said if each.what == "water")
    if quench is not None and barred != (quench.effect == RULED_OUT):
        said = [each for each in said if each.what != "water"]
        said += [Objection("more water", False, reason("siting.more_asked"))] if barred else []
    known = [*((each.bars, each.why) for each in said), *_of_the_spot(checks, said)]
    findings = [why for bars in (True, False) for barring, why in known if barring == bars]
    effect = worst_effect(check.effect for check in checks)
    usable = effect != RULED_OUT and not any(barring for barring, _ in known)
    return Told(effect, usable, tuple(dict.fromkeys((*findings, *_asked_at_the_end(checks)))))


def _if_a_pad_is_cut(objections: Iterable[Objection], checks: Sequence[Check]) -> Iterator[Reason]:
    """Where the slope bars: what would be said of the place with a level pad cut. What else is open stays open."""
    if not any(each.what == "slope" and each.bars for each in objections):
        return
    level = told((o for o in objections if o.what != "slope"), [c for c in checks if c.check != "slope"])
    yield reason("siting.pad_helps") if level.usable else reason("siting.pad_is_not_enough", why=level.findings[0])


def _kilns_in_the_way(assessment: Assessment, usable: Usable, place: Point) -> Iterator[Objection]:
    apart_m = spacing_m(assessment.rules)
    if assessment.plane is not None:
        for other in kilns_near(assessment.source, assessment.plane, place, usable.kiln_radius_m + apart_m):
            why = reason("siting.kiln_too_near", kiln=KilnName(other.name), distance=metres(apart_m))
            yield Objection("kiln", True, why, other.id)


def _of_the_spot(checks: Iterable[Check], said: Sequence[Objection]) -> Iterator[tuple[bool, Reason]]:
    """What the checks of a spot add: whether it bars, and why."""
    for check in checks:
        if check.effect == PASSES or _unasked(check) or _covered(check, said):
            continue
        why = check.reason
        if check.check in _WATER:
            line, verdict = Term(CHECKS[check.check]), Term(check.verdict)
            why = reason("siting.line_found", line=line, verdict=verdict, why=why)
        yield check.effect == RULED_OUT, why


def _asked_at_the_end(checks: Iterable[Check]) -> Iterator[Reason]:
    open_checks = [check for check in checks if check.effect != PASSES]
    ground = tuple(_ON_THE_GROUND[check.check] for check in open_checks if check.check in _ON_THE_GROUND)
    looked = tuple(Term(KINDS[check.about].label.lower()) for check in open_checks if check.check == "looked")
    if ground:
        yield reason("siting.see_on_the_ground", what=ground)
    if looked:
        yield reason("siting.look_for", kinds=looked)


def _unasked(check: Check) -> bool:
    """Checks told together at the end."""
    return check.effect == CONDITIONAL and (check.check in _ON_THE_GROUND or check.check == "looked")


def _covered(check: Check, said: Iterable[Objection]) -> bool:
    """Whether the ground has said it already."""
    what = {"slope": "slope", "water_quench": "water"}.get(check.check)
    if what is not None:
        return any(each.what == what for each in said)
    if check.check != "distance":
        return False
    bars = check.effect == RULED_OUT
    return any(each.about == check.about and each.bars == bars for each in said)
