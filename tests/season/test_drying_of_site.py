"""When the heaps of a site are dry: the safe site with its heaps wet in spring, and the air of its months. Invented."""

from __future__ import annotations

import datetime as dt

import pytest

from sitemap.assessment import Assessment
from sitemap.season.drying_of_site import HeapDrying
from sitemap.season.hours import WeatherHour
from sitemap.season.months import months_from
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite

DRY_AIR = [{"month": month, "temperature_c": 18, "humidity_pct": 45, "rain_days": 3} for month in range(1, 13)]


def wet(pct: float = 60.0, on: str = "2026-04-15") -> list[dict[str, object]]:
    return [{"moisture_pct": pct, "basis": "dry", "date": on, "where": "core", "wood_c": 21.1} for _ in range(4)]


def site(pct: float = 60.0) -> SafeSite:
    made = SafeSite().put("p1", readings=wet(pct)).put("p2", readings=wet(pct))
    made.member["climate"] = DRY_AIR
    return made.put("p1", thickest_cm=5).put("p2", thickest_cm=5).say("permit", to="2026-09-30")


def of(made: SafeSite, heap: str = "p1") -> HeapDrying:
    return next(each for each in made.assessed().drying if each.heap == heap)


def day(made: SafeSite) -> dt.date:
    return of(made).ready or dt.date.max


@pytest.mark.parametrize(
    "wetter",
    [
        lambda: site(90.0),
        lambda: site().put("p1", thickest_cm=10),
        lambda: site().put("p1", readings=[*wet(), *wet(58.0, "2026-05-10")]),
    ],
    ids=["wetter", "thicker", "a wet reading"],
)
def test_law_wetter_is_never_ready_earlier(wetter) -> None:
    assert day(wetter()) >= day(site())


def test_law_a_cover_or_turning_never_makes_it_later() -> None:
    assert day(site().put("p1", covered=True)) <= day(site())
    assert day(site().put("p1", turned_on="2026-05-20")) <= day(site())


def test_law_a_reading_dated_later_was_not_read_yet() -> None:
    later = wet(12.0, "2026-08-01")
    assert of(site().put("p1", readings=[*wet(), *later])).moisture.likely == pytest.approx(of(site()).moisture.likely)


def test_law_it_is_told_until_when_to_turn_it() -> None:
    made = site().say("permit", to="2026-05-30")
    found = of(made)
    assert found.turn_by is not None
    assert sentence(found.told).startswith("Turn P1 by")
    in_time = of(made.put("p1", turned_on=found.turn_by.isoformat()))
    assert in_time.ready is not None
    assert in_time.ready <= dt.date(2026, 5, 30)
    late = of(made.put("p1", turned_on=(found.turn_by + dt.timedelta(days=1)).isoformat()))
    assert late.ready is None or late.ready > dt.date(2026, 5, 30)


def test_law_the_calendar_waits_for_the_wood() -> None:
    made = site().put("p1", turned_on="2026-05-20").put("p2", turned_on="2026-05-20")
    a: Assessment = made.assessed()
    assert a.calendar is not None
    ready = min(each.ready for each in a.drying if each.ready is not None)
    assert a.calendar.laid.burn_days[0].date >= ready


def test_law_without_months_or_a_start_nothing_is_foreseen() -> None:
    assert SafeSite().assessed().drying == ()
    made = site()
    made.put("p1", readings=None)
    assert [each.heap for each in made.assessed().drying] == ["p2"]
    assert of(made.put("p1", month_felled="2026-02")).first == dt.date(2026, 2, 15)


def test_law_months_are_the_means_of_their_days() -> None:
    """By hand: ten days of June at 10 and 20 °C by turns, 4 mm of rain on every fifth: 15 °C, 6 days in thirty."""
    hours = [
        WeatherHour(
            dt.datetime(2025, 6, n + 1, tzinfo=dt.UTC), None, None, 60.0, 10.0 + 10 * (n % 2), 4.0 * (n % 5 == 0)
        )
        for n in range(10)
    ]
    assert months_from(hours) == [{"month": 6, "temperature_c": 15.0, "humidity_pct": 60.0, "rain_days": 6.0}]
    assert months_from(hours[:4]) == []


def test_law_wood_read_wet_is_not_foreseen_dry_against_its_readings() -> None:
    """Felled a year ago, dry by the months alone; then the meter says otherwise, and the forecast follows the meter."""
    made = site(20.0).put("p1", month_felled="2025-02", readings=wet(32.0, "2026-05-19"))
    found = of(made)
    assert found.moisture.before[found.reads[0].day] < found.limit
    assert found.moisture.likely[found.reads[0].day] == pytest.approx(0.32, abs=0.02)
    assert found.ready is not None
    assert found.ready > dt.date(2026, 5, 20)


def test_law_ready_means_nine_pieces_of_ten_and_unlike_pieces_take_longer() -> None:
    like, unlike = site(50.0), site(50.0)
    rows = [{**row, "moisture_pct": pct} for row, pct in zip(wet(), (30.0, 45.0, 55.0, 70.0), strict=True)]
    unlike.put("p1", readings=rows)
    assert of(unlike).limit < of(like).limit < 0.25
    assert day(unlike) > day(like)


def test_law_of_a_month_typed_twice_the_dampest_row_counts_and_it_is_said() -> None:
    twice, damp = site(), site()
    row = {"month": 6, "temperature_c": 12, "humidity_pct": 85, "rain_days": 15}
    damp.member["climate"] = [row if each["month"] == 6 else each for each in DRY_AIR]
    for rows in ([*DRY_AIR, row], [row, *DRY_AIR]):
        twice.member["climate"] = rows
        assert day(twice) == day(damp)
    said = [sentence(note.text) for note in twice.assessed().unknowns]
    assert any(each.startswith("Month 6 is typed 2 times") for each in said)
