"""The clock of the day: when each kiln must be lit, fed for the last time and put out.

Worked backwards from the evening: raked and no steam an hour before sunset, an hour for water and rake, the burn before
it. Kilns are put out one after the other, as many at once as there are crews that can rake.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitemap import tables
from sitemap.errors import not_negative, positive
from sitemap.kiln.values import Check, Clock, DayTimes

LATER_CHECKS = (("next_morning", 1), ("day_3", 3), ("day_7", 7), ("day_14", 14))  # days after the burn


@dataclass(frozen=True)
class Turn:
    """What the clock must know of one kiln, or of several alike at one place.

    key : name of the place
    units : kilns working there
    hours : from lighting to water [h], above 0
    soak_min, burn_down_min : from the last thick, the last thin piece to the water [min]
    rake_min : to rake it out [min]; a crew is taken an hour at least
    """

    key: str
    units: int
    hours: float
    soak_min: float
    burn_down_min: float
    rake_min: float = 0.0

    @property
    def out_hours(self) -> float:
        """From the water until raked and no steam [h]."""
        return max(_minutes("no_steam_within"), self.rake_min) / 60


def window(day: DayTimes) -> tuple[dt.datetime, dt.datetime] | None:
    """From the first lighting allowed to the moment no kiln may steam any more.

    An hour after sunrise and an hour before sunset; the crew's own hours where they are narrower. An hour before they
    end too, for nobody leaves before the first cold check two hours after the water. Where the sun does not set, the
    crew's hours alone. Hours that end before they start end on the next day. By the hour of the permit no kiln steams.

    Returns
    -------
    (begin, end) with time zone, begin before end; None where the light is too short or the hours are not known
    """
    if day.kind == "no_sunrise":
        return None
    begins = [day.sunrise + _margin() if day.sunrise else None, day.work_starts]
    begin = max((moment for moment in begins if moment), default=None)
    end = min((moment for moment in (_dusk(day), day.out_by) if moment), default=None)
    if begin is None or end is None or begin >= end:
        return None
    return begin, end


def permit_hour(day: DayTimes) -> dt.time | None:
    """The hour of the permit, where it ends the day before dusk or the crew's own hours do; else None."""
    dusk = _dusk(day)
    return day.out_by.time() if day.out_by is not None and (dusk is None or day.out_by < dusk) else None


def _dusk(day: DayTimes) -> dt.datetime | None:
    """The moment no kiln may steam any more by light and by the crew's hours; None where neither is known."""
    stops = day.work_ends
    if stops and day.work_starts and stops <= day.work_starts:
        stops += dt.timedelta(days=1)
    return min((moment - _margin() for moment in (day.sunset, stops) if moment), default=None)


def _margin() -> dt.timedelta:
    return dt.timedelta(minutes=_minutes("daylight_margin"))


def window_hours(day: DayTimes) -> float:
    """Hours of `window`, 0 where there is none [h]."""
    found = window(day)
    return (_utc(found[1]) - _utc(found[0])).total_seconds() / 3600 if found else 0.0


def burning_hours(day: DayTimes) -> float:
    """Longest burn the day allows, lighting to water [h]; 0 where none fits."""
    return max(0.0, window_hours(day) - _minutes("no_steam_within") / 60)


def day_plan(turns: Sequence[Turn], day: DayTimes, crews: int) -> Mapping[str, tuple[Clock, ...]]:
    """The batches of one day at every place, first lit first.

    Parameters
    ----------
    turns : the kilns
    day : light and hours
    crews : crews that can rake at one time, 1 and above

    Returns
    -------
    key of the place → its clocks; an empty tuple where no batch fits

    Raises
    ------
    BadValue : no crew, hours not above 0, negative minutes

    Notes
    -----
    Backwards: in each round every kiln, the slowest first, is given the latest hour in which a crew is free; the next
    round ends where that burn was lit. A kiln drops out when it would have to be lit before the day begins.

    Examples
    --------
    Light 07:00–18:00 leaves 08:00–17:00. Two kilns of 3 h, one crew: out at 17:00 and 16:00, again at 13:00 and 12:00.

    >>> noon = dt.datetime(2026, 3, 20, 12, tzinfo=dt.UTC)
    >>> day = DayTimes("normal", noon.replace(hour=7), noon.replace(hour=18))
    >>> plan = day_plan([Turn("A", 1, 3.0, 60, 20), Turn("B", 1, 3.0, 60, 20)], day, 1)
    >>> [f"{clock.light_by:%H:%M}" for clock in plan["A"]], [f"{clock.light_by:%H:%M}" for clock in plan["B"]]
    (['09:00', '13:00'], ['08:00', '12:00'])
    """
    positive("Crews that can rake", crews)
    for turn in turns:
        positive("Hours of a batch", turn.hours, "h")
        not_negative("Soak", turn.soak_min, "min")
        not_negative("Burn-down", turn.burn_down_min, "min")
    plan: dict[str, list[Clock]] = {turn.key: [] for turn in turns}
    found = window(day)
    if found is None:
        return dict.fromkeys(plan, ())
    length = window_hours(day)
    booked: list[list[tuple[float, float]]] = [[] for _ in range(crews)]
    waiting = [(turn, length) for turn in sorted(turns, key=lambda turn: -turn.hours) for _ in range(turn.units)]
    while waiting:
        further = []
        for turn, latest in waiting:
            slot = turn.out_hours
            end, crew = _latest_free(booked, latest, slot)
            lit = end - slot - turn.hours
            if lit < -1e-9:
                continue
            booked[crew].append((end - slot, end))
            plan[turn.key].append(_clock(turn, found, end - slot))
            further.append((turn, lit))
        waiting = further
    return {key: tuple(sorted(clocks, key=lambda clock: clock.light_by)) for key, clocks in plan.items()}


def _latest_free(booked: list[list[tuple[float, float]]], latest: float, slot: float) -> tuple[float, int]:
    """Latest end of a slot [h] not after `latest`, and the crew that is free then; booked : (begin, end) by crew."""
    ends = [latest, *(begin for crew in booked for begin, _ in crew if begin < latest)]
    for end in sorted(ends, reverse=True):
        for crew, taken in enumerate(booked):
            if all(end <= begin + 1e-9 or other <= end - slot + 1e-9 for begin, other in taken):
                return end, crew
    raise AssertionError("the earliest booked slot always has free time before it")


def _clock(turn: Turn, found: tuple[dt.datetime, dt.datetime], water_h: float) -> Clock:
    begin, end = found
    zone = begin.tzinfo

    def at(hours: float) -> dt.datetime:
        return (_utc(begin) + dt.timedelta(seconds=round(hours * 3600))).astimezone(zone)

    later = tuple(Check(what, begin + dt.timedelta(days=days)) for what, days in LATER_CHECKS)
    return Clock(
        light_by=at(water_h - turn.hours),
        last_thick=at(water_h - max(turn.soak_min, turn.burn_down_min) / 60),
        stop_feeding=at(water_h - turn.burn_down_min / 60),
        water_on=at(water_h),
        no_steam_by=at(water_h + turn.out_hours),
        call_by=end,
        checks=(Check("first", at(water_h + _minutes("first_cold_check") / 60)), *later),
    )


def _minutes(key: str) -> float:
    return tables.value("quench", key)


def _utc(moment: dt.datetime) -> dt.datetime:
    # Hours are counted in universal time: a clock change within the day then shifts nothing.
    return moment.astimezone(dt.UTC)
