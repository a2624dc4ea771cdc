"""When each heap of a site will be dry, by its weather and its readings, and what stands against it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import Array
from sitemap.reasons import Reason, reason
from sitemap.season.calendar import HORIZON_DAYS
from sitemap.season.climate import Climate, climate_of
from sitemap.season.drying import Band, Read, band, first_below, lag_hours
from sitemap.site.model import Feature, Site
from sitemap.slash import moisture
from sitemap.slash.fuel import Point, judged_by
from sitemap.slash.reading import meter_reading

Place = Literal["top", "middle", "bottom", "row", "turned"]
MOST_DAYS = 900  # [d] of a forecast: two years and a half, then it is another heap
_THICK_CM = 10.0  # a piece whose thickness nobody said; common practice, no source


@dataclass(frozen=True, eq=False)
class HeapDrying:
    """How one heap dries, at its slowest place.

    first : day 0 of the curves; moisture : [fraction, dry basis]
    reads : readings by day, as they pull the curve, the one it starts from among them
    limit : mean at or below which nine pieces of ten are dry enough [fraction, dry basis]
    place, lag_h : where it is slowest, and its time-lag there [h]
    ready : the first day it is likely dry, None beyond the horizon
    recorded : days of its course whose weather was recorded, in order; all others go by the months
    turn_by : the last day to turn it so that it is dry in time, None where that makes no difference
    told : in a sentence
    """

    heap: str
    name: str
    first: dt.date
    moisture: Band
    reads: tuple[Read, ...]
    limit: float
    place: Place
    lag_h: float
    ready: dt.date | None
    recorded: tuple[dt.date, ...]
    turn_by: dt.date | None
    told: Reason


@dataclass(frozen=True)
class Course:
    """What one heap's forecast is made of.

    first : day 0; start : moisture before it and its standard deviation [fraction, dry basis]
    begun : the reading that is the start, where one is
    recorded : days whose weather was recorded, by their number
    pieces : standard deviation of the pieces, share of their mean
    free_h : time-lag of its pieces lying free [h]; factor, turned : times slower before and after `turned_on`
    """

    first: dt.date
    start: tuple[float, float]
    reads: tuple[Read, ...]
    free_h: float
    place: Place
    turned_on: dt.date | None
    covered: bool
    begun: tuple[Read, ...]
    pieces: float
    recorded: tuple[int, ...] = ()


def drying_of(site: Site, today: dt.date | None) -> tuple[HeapDrying, ...]:
    """The forecast of every heap that can be told; a heap without start or a site without any weather is left out.

    Parameters
    ----------
    site : as entered
    today : the day somebody looks: a heap is turned on it at the earliest
    """
    climate, permit = climate_of(site), site.section("permit")
    ends = None if permit.flag("none_needed") else permit.date("to")
    if climate is None or today is None:
        return ()
    found = []
    for heap in site.of_kind("pile", "windrow"):
        course = None if heap.choice("status") in ("burned", "cold") else _course(heap, climate, today)
        if course is not None and 0 <= (today - course.first).days < MOST_DAYS - HORIZON_DAYS:
            found.append(_forecast(heap, course, climate, today, ends))
    return tuple(found)


def _course(heap: Feature, climate: Climate, today: dt.date) -> Course | None:
    """None where neither felling nor a reading says how wet it began; what is dated later was not read yet."""
    found = {on: read for on, read in _readings(heap).items() if on <= today}
    by_day = {on: (mean, error) for on, (mean, error, _) in found.items()}
    felled = _felled(heap.text("month_felled"))
    rows = tables.load("drying")
    begun: tuple[Read, ...] = ()
    if felled is not None and all(felled <= day for day in by_day):
        first, start = felled, (float(rows["fresh"]["value"]), float(rows["fresh"]["spread"]))
    elif by_day:
        first = min(by_day)
        start = by_day.pop(first)
        begun = (Read(0, *start),)
    else:
        return None
    reads = tuple(Read((day - first).days, *by_day[day]) for day in sorted(by_day) if (day - first).days < MOST_DAYS)
    pieces = [cm for each in heap.records("readings") if (cm := each.number("thickness_cm")) is not None]
    thick = heap.number("thickest_cm") or max(pieces, default=_THICK_CM)
    place: Place = "row" if heap.kind == "windrow" else "bottom"
    turned, covered = heap.date("turned_on"), heap.flag("covered") is True
    unlike = found[max(found)][2] if found else float(rows["pieces"]["value"])
    known = tuple((day - first).days for day in climate.recorded(first) if day <= today)
    return Course(first, start, reads, lag_hours(thick), place, turned, covered, begun, unlike, known)


def _readings(heap: Feature) -> dict[dt.date, tuple[float, float, float]]:
    """Mean of the readings a day is judged by, the error of that mean [fraction, dry basis], and the spread of the
    pieces as a share of it, by day."""
    counted, points = heap.choice("moisture_basis"), dict[dt.date, list[Point]]()
    for each in heap.records("readings"):
        read, on = meter_reading(each, counted), each.date("date")
        dries_first = heap.kind == "pile" and each.choice("place") == "top"  # and says nothing of the bottom
        if read is None or on is None or dries_first:
            continue
        try:
            points.setdefault(on, []).append((moisture.as_read(read.moisture_pct, read.basis, read.wood_c), read.core))
        except BadValue:
            continue
    meter, few = moisture.METER_POINTS / 100, tables.value("drying", "pieces")
    found = {}
    for on, read_points in points.items():
        values = [value for value, _ in judged_by(read_points)]
        mean, several = float(np.mean(values)), len(values) > 1
        own = max(float(np.std(values, ddof=1)) if several else few * mean, meter)
        found[on] = mean, float(np.hypot(own / np.sqrt(len(values)), meter)), own / max(mean, meter)
    return found


def _felled(text: str | None) -> dt.date | None:
    """The middle of the month felled, or the day where one is written."""
    for form in (text or "", f"{text}-15"):
        try:
            return dt.date.fromisoformat(form.strip())
        except ValueError:
            continue
    return None


def _forecast(heap: Feature, course: Course, climate: Climate, today: dt.date, ends: dt.date | None) -> HeapDrying:
    limit = _limit(course.pieces)
    count = (today - course.first).days + HORIZON_DAYS
    days = [course.first + dt.timedelta(days=number) for number in range(count)]
    aims = np.array([climate.tends(day, course.covered) for day in days])
    lags = _lags(course, course.turned_on, count)
    curve = _band(aims, lags, course)
    begin = _begin(course, today)
    ready, late = (_date(course, first_below(line, limit, begin)) for line in (curve.likely, curve.high))
    turn_by = None
    if ends is not None and course.place == "bottom" and course.turned_on is None and (ready is None or ready > ends):
        turn_by = _turn_by(course, aims, limit, today, ends)
    told = _told(heap.name, ready, late, turn_by, ends, today)
    return HeapDrying(
        heap.id,
        heap.name,
        course.first,
        curve,
        (*course.begun, *course.reads),
        limit,
        _place(course, today),
        float(lags[-1]),
        ready,
        tuple(day for day in climate.recorded(course.first) if day <= days[-1]),
        turn_by,
        told,
    )


def _limit(pieces: float) -> float:
    """The mean at or below which so many pieces are dry enough as the verdict on readings asks for: they are normal
    about it, and stay as unlike as they are (D)."""
    from scipy.special import ndtri

    rows = tables.load("fuel_moisture")
    dry = float(moisture.dry_basis(float(rows["limit"]["value"])))
    return dry / (1 + float(ndtri(1 - float(rows["ready_below"]["value"]))) * pieces)


def _begin(course: Course, today: dt.date) -> int:
    """The day from which on it is asked when the wood is dry: what was before is past, or was read since."""
    read = max((read.day for read in course.reads), default=0)
    return max((today - course.first).days, read, 0)


def _lags(course: Course, turned_on: dt.date | None, count: int) -> Array:
    """Time-lag on each day [h]: slower until it is turned."""
    rows = tables.load("drying")
    lags = np.full(count, course.free_h * float(rows[course.place]["value"]))
    if turned_on is not None:
        turned = min(float(rows["turned"]["value"]), float(rows[course.place]["value"]))
        lags[max((turned_on - course.first).days, 0) :] = course.free_h * turned
    return lags


def _band(aims: Array, lags: Array, course: Course) -> Band:
    rows = tables.load("drying")
    reads = [read for read in course.reads if read.day < len(aims)]
    strays = np.full(len(aims), float(rows["stray"]["value"]))
    strays[[day for day in course.recorded if day < len(aims)]] = float(rows["stray_recorded"]["value"])
    return band(aims, lags, course.start, reads, float(rows["lag_spread"]["value"]), strays)


def _turn_by(course: Course, aims: Array, limit: float, today: dt.date, ends: dt.date) -> dt.date | None:
    """The last day to turn it so that it is likely dry by the end of the permit; None where even today is too late."""

    def in_time(turned: dt.date) -> bool:
        line = _band(aims, _lags(course, turned, len(aims)), course).likely
        ready = _date(course, first_below(line, limit, _begin(course, today)))
        return ready is not None and ready <= ends

    if not in_time(today):
        return None
    early, late = 0, (ends - today).days  # turned later, it is never dry earlier
    while late - early > 1:
        middle = (early + late) // 2
        early, late = (middle, late) if in_time(today + dt.timedelta(days=middle)) else (early, middle)
    return today + dt.timedelta(days=early)


def _date(course: Course, day: int | None) -> dt.date | None:
    return None if day is None else course.first + dt.timedelta(days=day)


def _place(course: Course, today: dt.date) -> Place:
    return "turned" if course.turned_on is not None and course.turned_on <= today else course.place


def _told(
    name: str,
    ready: dt.date | None,
    late: dt.date | None,
    turn_by: dt.date | None,
    ends: dt.date | None,
    today: dt.date,
) -> Reason:
    if turn_by is not None:
        return reason("season.turn_by", name=name, by=turn_by, ends=ends)
    if late is not None and late <= today:
        return reason("season.dry_now", name=name)
    if ready is None:
        return reason("season.not_dry", name=name, days=HORIZON_DAYS)
    if ends is not None and ready > ends:
        return reason("season.dry_too_late", name=name, ready=ready, ends=ends)
    if late is None:
        return reason("season.dry_likely", name=name, ready=max(ready, today), days=HORIZON_DAYS)
    return reason("season.dry_by", name=name, ready=max(ready, today), late=late)


def ready_days(found: Sequence[HeapDrying], today: dt.date | None) -> dict[str, dt.date]:
    """The first day each heap is likely dry, by its id, for the calendar; beyond the horizon the day after it."""
    if today is None:
        return {}
    beyond = today + dt.timedelta(days=HORIZON_DAYS + 1)
    return {each.heap: each.ready or beyond for each in found}
