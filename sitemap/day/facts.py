"""Checks that rest on a fact of another place or another day are not known; what they found stays only where it is bad.

A doubt never improves a verdict: a check that passed on a doubtful fact becomes *not known*, one that did not pass
stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from sitemap.safety.effects import PASSES, effect_of
from sitemap.safety.permission import Check
from sitemap.site.seen import Doubt
from sitemap.water.values import SourceBudget, SpotWater, Water, WaterLine

#  Which facts each check of a kiln spot rests on.
_RESTS_ON = {
    "ground": frozenset({"ground"}),
    "branches": frozenset({"branches_overhead", "branch_height_m"}),
    "slope": frozenset({"slope_pct", "pad_cut", "fuel_upslope"}),
}
_OF_THE_SEASON = {"refuge": "fuel_height_m"}  # other checks have the name of the fact


def doubted(checks: Iterable[Check], spot: str, doubts: Iterable[Doubt]) -> tuple[Check, ...]:
    """The checks of a kiln spot, those that pass on a doubtful fact no longer known.

    checks : of one spot; spot : its id; doubts : of the whole site, `site.seen.doubts`
    """
    found = tuple(doubts)
    return tuple(_doubted(check, spot, found) for check in checks)


def water_doubted(water: Water | None, doubts: Iterable[Doubt]) -> Water | None:
    """The water of a day as every page and paper tells it: a line that would pass on a doubtful fact, and what a source
    holds where that rests on one, are not known.

    water : of the site; doubts : of the whole site
    """
    if water is None:
        return None
    found = tuple(doubts)
    own = {doubt.about: doubt for doubt in reversed(found) if not doubt.source}
    spots = tuple(_spot_doubted(spot, found) for spot in water.spots)
    return replace(water, spots=spots, sources=tuple(_source_doubted(each, own.get(each.id)) for each in water.sources))


def _spot_doubted(spot: SpotWater, doubts: tuple[Doubt, ...]) -> SpotWater:
    def told(line: WaterLine) -> WaterLine:
        own = next((each for each in doubts if _bears_water(each, line, spot.spot_id)), None)
        if own is None or line.effect != PASSES:
            return line
        return replace(line, verdict="not known", effect="conditional", reason=own.why, look_again=own.action)

    entries = tuple(told(line) for line in spot.entries)
    return replace(spot, entries=entries, quench=told(spot.quench), attack=told(spot.attack))


def _bears_water(doubt: Doubt, line: WaterLine, spot: str) -> bool:
    """Whether a line rests on a doubtful fact: of its source, or of its source and its kiln together."""
    of_link = doubt.about == spot and doubt.source == line.source
    return line.source is not None and (of_link or (not doubt.source and doubt.about == line.source))


def _source_doubted(source: SourceBudget, doubt: Doubt | None) -> SourceBudget:
    if doubt is None or source.verdict != "holds enough":
        return source
    return replace(source, verdict="not known", reason=doubt.why)


def season_doubted(check: Check, doubts: Iterable[Doubt]) -> Check:
    """A check that rests on the season (`ban`, `surroundings`, `refuge`), not known where that is too old."""
    fact = _OF_THE_SEASON.get(check.check, check.check)
    own = [doubt for doubt in doubts if doubt.about == "site" and doubt.attribute == fact]
    return _unknown(check, own[0]) if own and check.effect == PASSES else check


def _doubted(check: Check, spot: str, doubts: tuple[Doubt, ...]) -> Check:
    if check.effect != PASSES:
        return check
    own = next((doubt for doubt in doubts if _bears(doubt, check, spot)), None)
    return check if own is None else _unknown(check, own)


def _bears(doubt: Doubt, check: Check, spot: str) -> bool:
    return doubt.about == spot and not doubt.source and doubt.attribute in _RESTS_ON.get(check.check, ())


def _unknown(check: Check, doubt: Doubt) -> Check:
    return replace(check, verdict="not known", effect=effect_of("not known"), reason=doubt.why, action=doubt.action)
