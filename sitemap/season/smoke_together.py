"""What may arrive at a place from the kilns that burn in the same hours: their plumes add up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sitemap import tables
from sitemap.kiln.values import KilnRun
from sitemap.season.smoke_of_site import KilnSmoke, Reached
from sitemap.season.winds import blocked, inside

_HOUR = dt.timedelta(hours=1)
_Seen = tuple[KilnRun, KilnSmoke, Reached]


@dataclass(frozen=True)
class Together:
    """Smoke of several kilns at one place.

    place : its name; kilns : names of those whose smoke one wind carries there while they burn together
    by_day, on_a_calm_evening : what may arrive, of the worst wind and hour [µg/m³], to an order of magnitude
    hours, by_forecast : of the forecast in which it blows there from one of them, and the most in one of these [µg/m³]
    """

    place: str
    kilns: tuple[str, ...]
    by_day: float
    on_a_calm_evening: float
    hours: int
    by_forecast: float | None


def together_of(found: Sequence[KilnSmoke], runs: Iterable[KilnRun]) -> tuple[Together, ...]:
    """The places that several kilns reach at once.

    Parameters
    ----------
    found : the winds of each kiln
    runs : what is burned at each spot, with the clocks of the day; one without a clock may burn at any hour of it
    """
    at = {run.spot: run for run in runs}
    ids = dict.fromkeys(place.id for each in found for place in each.places)
    made = []
    for key in ids:
        seen = [(at[each.spot], each, place) for each in found for place in each.places if place.id == key]
        worst = max(_at_once(seen), key=lambda some: _sum(some, "by_day"), default=[])
        if len({_turn(each) for each in worst}) > 1:
            names = tuple(dict.fromkeys(smoke.name for _, smoke, _ in worst))
            day, evening = _sum(worst, "by_day"), _sum(worst, "on_a_calm_evening")
            sums = _by_forecast(seen)
            made.append(Together(seen[0][2].name, names, day, evening, len(sums), max(sums, default=None)))
    return tuple(made)


def _at_once(seen: Sequence[_Seen]) -> Iterable[list[_Seen]]:
    """Kilns alight at one time whose smoke one wind carries to the place: every such choice that can be the largest.

    Who is alight changes for the larger only when one is lit, and whom a wind reaches where its arc begins.
    """
    half = tables.value("smoke", "half_sector")
    arcs = [blocked([(place.bearing_deg, place.half_deg)], half) for _, _, place in seen]
    lit = dict.fromkeys(clock.light_by for run, _, _ in seen for clock in run.clocks)
    for moment in lit or (None,):
        for arc in arcs:
            wind = arc[0][0]
            yield [
                each
                for each, own in zip(seen, arcs, strict=True)
                if inside(wind, own) and (moment is None or _alight(each[0], moment, moment))
            ]


def _alight(run: KilnRun, begin: dt.datetime, end: dt.datetime) -> bool:
    """Whether it gives off smoke at some time between two moments; without a clock it may."""
    return not run.clocks or any(clock.light_by <= end and begin < clock.no_steam_by for clock in run.clocks)


def _turn(seen: _Seen) -> str:
    """What burns at one place of several that day is one source."""
    run = seen[0]
    return run.id if run.never_twice else run.spot


def _sum(some: Sequence[_Seen], what: str) -> float:
    return _added((_turn(each), getattr(each[2], what)) for each in some)


def _added(values: Iterable[tuple[str, float]]) -> float:
    """The sum over sources, of each the most."""
    most: dict[str, float] = {}
    for key, value in values:
        most[key] = max(most.get(key, 0.0), value)
    return sum(most.values())


def _by_forecast(seen: Sequence[_Seen]) -> list[float]:
    """What the kilns alight in it bring, of each hour of the forecast that blows there."""
    hours = dict.fromkeys(time for _, _, place in seen for time, _ in place.by_hour)
    return [
        _added(
            (_turn(each), value)
            for each in seen
            if _alight(each[0], time, time + _HOUR)
            for when, value in each[2].by_hour
            if when == time
        )
        for time in hours
    ]
