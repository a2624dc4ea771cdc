"""Calendar and clock of the day go by one rule of the log, and by no batch before its day. Invented batches."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.assessment import HEAPS, Assessment
from sitemap.between import stock_of
from sitemap.burning import burning
from sitemap.kiln.days import turn_key
from sitemap.season.day_times import daylight_of
from sitemap.season.pace import ENOUGH
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_calendar_of_site import many
from tests.season.test_learning import logged

Log = list[tuple[str, int]]  # kiln, quarters of an hour from lighting to water
QUARTERS = st.integers(4, 60)
LOGS = st.lists(st.tuples(st.sampled_from(("K1", "K2")), QUARTERS), min_size=1, max_size=5)
TO_COME = dt.date(2026, 5, 25)  # five days after the burn date of the safe site


def burned(log: Log, site: SafeSite | None = None) -> Assessment:
    site = (site or many()).say("permit", to="2026-07-31")
    rows = [{"kiln": kiln, "lit": "06:00", "water_on": f"{6 + n // 4:02d}:{n % 4 * 15:02d}"} for kiln, n in log]
    return logged(site, *rows).assessed()


def clock_of(a: Assessment, day: dt.date, burn: frozenset[str]) -> dict[str, int]:
    """Batches the clock of a day has at each place, when these burn and the others do not."""
    light, _ = daylight_of(a.source, a.plane, day)
    at_work = {turn_key(run) for run in a.kilns if run.spot in burn}
    idle = frozenset(run.spot for run in a.kilns if turn_key(run) not in at_work)
    spots, heaps = a.source.of_kind("kiln_spot"), a.source.of_kind(*HEAPS)
    stock = stock_of(a.slash, heaps, a.source.of_kind("transect"), a.plane)
    return {run.spot: len(run.clocks) for run in burning(a.source, spots, stock, light, a.plane, idle).kilns}


@given(LOGS, st.sampled_from((1, 2)), st.sampled_from((1, 2)))
def test_law_no_day_holds_more_than_its_clock_and_only_the_last_of_a_kiln_less(log, rakers, kilns) -> None:
    a = burned(log, many().say("crew", rakers=rakers).gear("kilns", "box", count=kilns))
    assert a.calendar is not None
    ends = {key: day.date for day in a.calendar.laid.burn_days for key, _ in day.batches}
    for day in a.calendar.laid.burn_days:
        clocks = clock_of(a, day.date, frozenset(dict(day.batches)))
        for key, count in day.batches:
            assert count == clocks[key] or (count < clocks[key] and day.date == ends[key])


def ends_of(a: Assessment, key: str) -> tuple[int, int, dt.date]:
    """Most batches of a day at a place, batches burned there, and its last day; never, where some are left."""
    assert a.calendar is not None
    laid = a.calendar.laid
    counts = [(dict(day.batches)[key], day.date) for day in laid.burn_days if key in dict(day.batches)]
    last = dt.date.max if laid.left[key] else max((day for _, day in counts), default=dt.date.min)
    return max((count for count, _ in counts), default=0), sum(count for count, _ in counts), last


@given(LOGS, st.data())
def test_law_slower_is_never_more_nor_sooner_and_quicker_never_less(log, data) -> None:
    """Two crews rake, so that no kiln waits for another's."""
    at = data.draw(st.integers(0, len(log) - 1))
    kiln, quarters = log[at]
    slower = [*log[:at], (kiln, data.draw(st.integers(quarters, 60))), *log[at + 1 :]]
    quick, slow = (burned(each, many().say("crew", rakers=2)) for each in (log, slower))
    for key in ("k1", "k2"):
        (most, all_, last), (most_slow, all_slow, last_slow) = (ends_of(each, key) for each in (quick, slow))
        assert most_slow <= most
        assert all_slow <= all_
        assert last_slow >= last


@pytest.mark.parametrize("count", [1, 2, 3])
def test_law_quick_hours_wait_for_three_batches_and_what_was_learned_is_shown_meanwhile(count: int) -> None:
    quick, without = burned([("K1", 12)] * count), logged(many().say("permit", to="2026-07-31"), *[{}] * count)
    plain = without.assessed()
    assert quick.calendar is not None
    assert plain.calendar is not None
    assert (quick.calendar.laid == plain.calendar.laid) == (count < ENOUGH)
    assert (quick.calendar.slow == plain.calendar.slow) == (count < ENOUGH)
    hours = next(each for each in quick.taught[0].lessons if each.quantity == "hours_per_batch")
    assert hours.after[1] < hours.before[1]
    told = " ".join(sentence(why) for why in quick.taught[0].told)
    assert ("hours a batch: less than reckoned" in told) == (count < ENOUGH)


def test_law_a_batch_still_to_come_teaches_nothing_before_its_day_and_bars_meanwhile() -> None:
    row = {"date": TO_COME.isoformat(), "lit": "06:00", "water_on": "18:00", "water_l": 4000, "heaps_done": ["p1"]}
    trips = {"water_by": "hand", "water_loads": 200, "water_min": 90}
    before, then = (logged(SafeSite().carried(), {**row, **trips}).assessed(today) for today in (None, TO_COME))
    assert before.kilns[0].by_log == (1.0, 1.0) != then.kilns[0].by_log
    assert [a.taught[0].burned for a in (before, then)] == [0, 1]
    assert [a.source.get("p1").choice("status") for a in (before, then)] == [None, "burned"]  # type: ignore[union-attr]
    assert before.watered.paces == () != then.watered.paces
    assert not before.decisions[0].may_be_lit
    said = [[sentence(note.text) for note in a.unknowns if note.what == "log_to_come"] for a in (before, then)]
    assert "1 batch of the log is dated after today" in said[0][0]
    assert said[1] == []
