"""Smoke by the hour: Turner's table cell by cell, the sun, cold air against a walk over the cells, and whole sites."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from astral import Observer, sun
from hypothesis import given
from hypothesis import strategies as st

from sitemap.assessment import assess
from sitemap.errors import BadValue
from sitemap.maps.draw import map_view
from sitemap.maps.sectors import SMOKE_M, sectors_of, wedge
from sitemap.plan.contents import plan_of
from sitemap.plan.map import map_svg
from sitemap.plan.model import every_word
from sitemap.safety.embers import patrol_distance_m
from sitemap.season.airs import airs_of
from sitemap.season.forecast_reading import guess, read_text
from sitemap.season.hours import hours_of
from sitemap.season.smoke_of_site import Reached, cautions_of, order_of
from sitemap.season.smoke_together import together_of
from sitemap.season.turner import mixing, net_radiation_index
from sitemap.season.winds import inside, wetness_factor
from sitemap.summary import summary_text
from sitemap.telling import sentence
from sitemap.terrain.drainage import lie_of
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_window import forecast

KNOT = 0.514444
DAY = dt.timedelta(days=1)
# Wind in knots → class for net radiation index 4, 3, 2, 1, 0, −1, −2; 1 is A, 7 is taken as 6. Turner 1964, J. Appl.
# Meteorol. 3:83–91, as printed in EPA-454/R-99-005, table 6-4 (S, a second text).
TABLE = {
    (0, 1): (1, 1, 2, 3, 4, 6, 7),
    (2, 3): (1, 2, 2, 3, 4, 6, 7),
    (4, 5): (1, 2, 3, 4, 4, 5, 6),
    (6,): (2, 2, 3, 4, 4, 5, 6),
    (7,): (2, 2, 3, 4, 4, 4, 5),
    (8, 9): (2, 3, 3, 4, 4, 4, 5),
    (10,): (3, 3, 4, 4, 4, 4, 5),
    (11,): (3, 3, 4, 4, 4, 4, 4),
    (12, 20): (3, 4, 4, 4, 4, 4, 4),
}


@pytest.mark.parametrize("knots", [knots for row in TABLE for knots in row])
def test_published_stability_by_wind_and_radiation_cell_by_cell(knots: int) -> None:
    row = next(classes for each, classes in TABLE.items() if knots in each)
    found = [mixing(knots * KNOT, index) for index in (4, 3, 2, 1, 0, -1, -2)]
    assert found == ["ABCDEF"[min(each, 6) - 1] for each in row]


@pytest.mark.parametrize(
    ("sun_deg", "cloud", "night", "index"),
    [
        *[(high, 50, False, index) for high, index in ((61, 4), (60, 3), (36, 3), (35, 2), (16, 2), (15, 1), (1, 1))],
        *[(high, 80, False, index) for high, index in ((61, 2), (36, 1), (16, 1))],  # low cloud: two less, one at least
        (61, 100, False, 0),
        (-5, 40, True, -2),
        (-5, 41, True, -1),
    ],
)
def test_published_radiation_by_sun_and_cloud(sun_deg, cloud, night, index) -> None:
    """EPA-454/R-99-005, section 6.4.1, procedure of table 6-6 (P), clouds below 7,000 ft by day; heights of the sun of
    table 6-5 from memory (M)."""
    assert net_radiation_index(sun_deg, cloud, night) == index


def test_law_what_is_not_known_of_the_sky_never_mixes_better() -> None:
    for wind in (0.5, 2.0, 4.0, 6.0):
        for high, night in ((70, False), (20, False), (-10, True)):
            blank = mixing(wind, net_radiation_index(high, None, night))
            assert all(blank >= mixing(wind, net_radiation_index(high, cloud, night)) for cloud in range(0, 101, 5))


def test_published_height_of_the_sun() -> None:
    """Worked example of the NREL solar position algorithm (NREL/TP-560-34302), from memory: zenith 50.11162° on
    17 October 2003, 12:30:30 at UTC−7, 39.742476° N 105.1786° W. A tenth of a degree turns no class."""
    when = dt.datetime(2003, 10, 17, 12, 30, 30, tzinfo=dt.timezone(dt.timedelta(hours=-7)))
    assert sun.elevation(Observer(39.742476, -105.1786), when) == pytest.approx(90 - 50.11162, abs=0.1)


def test_refuses_a_sky_that_cannot_be() -> None:
    with pytest.raises(BadValue, match="cloud"):
        net_radiation_index(20, 130, False)
    with pytest.raises(BadValue):
        mixing(-1.0, 0)


@given(st.floats(0, 100), st.floats(0, 100))
def test_law_wetter_wood_never_smokes_less(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert 1 <= wetness_factor(low, 15, 40, 10) <= wetness_factor(high, 15, 40, 10) <= 10


def ground(rows: list[list[float]]) -> Terrain:
    z = np.array(rows, dtype=np.float32)
    return Terrain(Grid(0.0, 10.0 * len(rows), 10.0, *z.shape), z, 10.0)


VALLEY = [  # k the kiln at 20, f the farm at 5; a ridge of 40 shuts off the last column
    [60, 60, 60, 60, 60],
    [50, 20, 12, 40, 6],
    [60, 60, 8, 40, 6],
    [60, 60, 5, 40, 6],
]


def test_law_cold_air_runs_down_the_valley_and_not_over_the_ridge() -> None:
    terrain, kiln = ground(VALLEY), (15.0, 25.0)
    assert lie_of(terrain, kiln, (25.0, 5.0), 5.0) == ("below", 15.0)
    assert lie_of(terrain, kiln, (45.0, 5.0), 5.0)[0] == "not below"
    assert lie_of(terrain, kiln, (45.0, 5.0), 25.0)[0] == "below"  # over a rise of 20 m
    assert lie_of(terrain, kiln, (5.0, 25.0), 50.0)[0] == "not below"  # higher than the kiln
    assert lie_of(terrain, kiln, (500.0, 5.0), 5.0)[0] == "not known"


@given(st.lists(st.lists(st.integers(0, 9), min_size=5, max_size=5), min_size=5, max_size=5), st.integers(0, 3))
def test_agrees_with_walking_from_cell_to_cell(rows, depth) -> None:
    terrain = ground(rows)
    start, place = (2, 2), (4, 0)
    reached, waiting = {start}, [start]
    while waiting:
        row, column = waiting.pop()
        for near in ((row + i, column + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            inside = 0 <= near[0] < 5 and 0 <= near[1] < 5
            if inside and near not in reached and rows[near[0]][near[1]] <= rows[2][2] + depth:
                reached.add(near)
                waiting.append(near)
    below = place in reached and rows[4][0] < rows[2][2]
    assert lie_of(terrain, (25.0, 25.0), (5.0, 5.0), float(depth))[0] == ("below" if below else "not below")


def blown(made: SafeSite, wind_from: float | None = 225.0, **said: float) -> SafeSite:
    """A forecast whose every hour blows from there: the farm lies north-east of K1."""
    for row in forecast(made).member["forecast_hours"]:
        row |= said
        if wind_from is not None:
            row["wind_from_deg"] = wind_from
    return made


def test_law_by_the_forecast_smoke_arrives_only_where_it_blows() -> None:
    there = blown(SafeSite()).assessed().smoke[0].places[0]
    away = blown(SafeSite(), 45.0).assessed().smoke[0].places[0]
    unsaid = blown(SafeSite(), None).assessed().smoke[0].places[0]
    assert there.hours == unsaid.hours > 0
    assert there.by_forecast == unsaid.by_forecast
    assert there.by_forecast is not None
    assert (away.hours, away.by_forecast) == (0, None)
    calm = blown(SafeSite(), 45.0, wind_m_s=0.4).assessed().smoke[0].places[0]
    assert calm.hours == there.hours  # air that hardly moves carries it anywhere


def test_law_sun_mixes_by_day_cloud_by_night_and_stronger_wind_thins() -> None:
    def letters(**said: float) -> list[str]:
        a = blown(SafeSite(), **said).assessed()
        return [air.mixing for air in airs_of(a.source, a.plane, a.weather)]

    def most(**said: float) -> float:
        return blown(SafeSite(), **said).assessed().smoke[0].places[0].by_forecast or 0.0

    clear, grey = letters(cloud_pct=0), letters(cloud_pct=100)
    assert clear[0] < grey[0]
    assert clear[-1] > grey[-1]  # the last hour is evening
    assert most(wind_m_s=6.0, gust_m_s=8.0, cloud_pct=100) < most(wind_m_s=3.0, gust_m_s=5.0, cloud_pct=100)


def test_law_moisture_that_is_not_known_smokes_as_wet_wood_and_says_so() -> None:
    known = SafeSite().assessed().smoke[0]
    blank = SafeSite().put("p1", readings=None).put("p2", readings=None).assessed().smoke[0]
    assert blank.places[0].by_day > 5 * known.places[0].by_day
    assert any("reckoned as that of wet wood" in sentence(why) for why in blank.cautions)


def test_law_heights_say_whether_cold_air_runs_to_the_farm() -> None:
    made = SafeSite()
    plane = made.assessed().plane
    assert plane is not None
    rows = np.broadcast_to(np.linspace(0, 200, 300)[:, None], (300, 300))  # higher towards the south

    def told(heights: np.ndarray) -> str:
        terrain = Terrain(Grid(-1500.0, 1500.0, 10.0, 300, 300), heights.astype(np.float32), 10.0)
        a = assess(made.site(), terrain, on=dt.date(2026, 5, 20))
        return " ".join(sentence(why) for each in a.smoke for why in each.cautions)

    assert "FARM lies lower" in told(rows)
    assert "FARM" not in told(rows[::-1])
    assert "whether cold air of a calm evening carries smoke to FARM is not known" in " ".join(
        sentence(why) for why in made.assessed().smoke[0].cautions
    )


def test_law_an_evening_hour_of_the_burn_is_said_to_hardly_mix() -> None:
    made = blown(SafeSite(), wind_m_s=1.0, gust_m_s=2.0, cloud_pct=0)
    a = made.assessed()
    airs = airs_of(a.source, a.plane, a.weather)
    assert a.daylight is not None
    assert a.daylight.sunset is not None
    late = [air for air in airs if air.time > a.daylight.sunset - dt.timedelta(hours=1)]
    assert late
    assert {air.mixing for air in late} == {"F"}
    (told,) = {sentence(why) for why in a.smoke[0].cautions if "the air hardly mixes" in sentence(why)}
    told = told.partition(": ")[2].partition(",")[0]  # what must be done comes first: a full sheet cuts off the end
    assert told.endswith("quench all the same what glows")  # the clock says so too: only smoke is at stake
    (sheet,) = plan_of(a, ["decision"]).sheets
    assert any(told in said for said in every_word(sheet.blocks))  # what is signed says it


def test_law_a_column_of_cloud_is_known_by_its_name() -> None:
    raw = read_text("time,cloud_cover (%),cloud_cover_low (%),wind (m/s)\n2026-05-20 10:00,70,20,3\n")
    hours = hours_of(raw, guess(raw), "UTC")
    assert (hours[0].cloud_pct, hours[0].wind_m_s) == (70.0, 3.0)


def test_law_order_of_magnitude() -> None:
    """By hand: √10 divides the orders."""
    assert [order_of(each) for each in (0.9, 1.0, 3.1, 3.2, 31.0, 320.0)] == [None, 1, 1, 10, 10, 1000]


@given(st.floats(0, 359), st.floats(5, 180), st.floats(0, 359), st.floats(0.02, 0.9))
def test_agrees_a_wedge_holds_the_places_in_its_directions(begin, sweep, bearing, share) -> None:
    inner = (bearing - begin) % 360
    if min(inner, abs(inner - sweep), 360 - inner) < 2:
        return  # on the very edge a chord of the rim decides
    from shapely.geometry import Point

    angle = np.radians(bearing)
    place = Point(100 * share * np.sin(angle), 100 * share * np.cos(angle))
    found = wedge((0.0, 0.0), [(begin, (begin + sweep) % 360)], 100.0)
    assert found.covers(place) == (inner < sweep)


def test_law_the_map_sends_nobody_less_far_than_the_sheets_for_embers() -> None:
    """A gentle forecast does not shorten the patrol of decision sheet and crew card; a strong one lengthens it."""
    gentle, strong = (blown(SafeSite(), 270.0, gust_m_s=gust).assessed() for gust in (4.0, 12.0))
    assert sectors_of(gentle)[0].reach_m == gentle.safety.spots[0].patrol_m  # type: ignore[union-attr]
    assert (sectors_of(strong)[0].reach_m or 0.0) > (sectors_of(gentle)[0].reach_m or 0.0)


def test_law_embers_are_patrolled_downwind_as_far_as_a_strong_gust_of_the_forecast_carries() -> None:
    a = blown(SafeSite(), 270.0, gust_m_s=12.0).assessed()
    each = sectors_of(a)[0]
    assert each.by_forecast
    assert each.patrol is not None
    flame_m = a.safety.spots[0].flame_height_m  # type: ignore[union-attr]
    assert each.reach_m == pytest.approx(patrol_distance_m(flame_m, 12.0))
    west, south, east, north = each.patrol.bounds
    reach = each.reach_m or 0.0
    assert east == pytest.approx(reach, rel=0.01)
    assert west == pytest.approx(0.0, abs=1.0)
    assert (south, north) == pytest.approx((-reach / 2, reach / 2), rel=0.01)  # 30° to either side
    assert each.smoke is not None
    assert each.smoke.bounds[2] == pytest.approx(SMOKE_M, rel=0.01)


def test_law_without_a_forecast_embers_may_fly_everywhere() -> None:
    each = sectors_of(SafeSite().assessed())[0]
    assert not each.by_forecast
    assert each.smoke is None
    assert each.patrol is not None
    assert each.patrol.area == pytest.approx(np.pi * (each.reach_m or 0.0) ** 2, rel=0.01)


def test_law_sectors_stand_on_both_maps_and_the_cautions_on_paper() -> None:
    a = blown(SafeSite()).assessed()
    styles = [each.style for each in map_view(a, "x", a.source.get("k1")).overlays]
    assert {"patrol", "smoke", "bad wind"} <= set(styles)
    assert "patrol" not in [each.style for each in map_view(a, "x").overlays]
    drawn = map_svg(a) or ""
    assert "Patrol for embers" in drawn
    assert "Smoke, by the forecast" in drawn
    text = plan_of(a, ["calendar"]).text
    assert "FARM is not known" in text
    assert "not to be held against a value for 24 hours" in text


def test_law_the_command_line_says_when_and_from_where() -> None:
    text = summary_text(blown(SafeSite()).assessed())
    assert "\nWhen:\n- " in text
    assert "Last burn day" in text
    assert "keeps its smoke off" in text


def test_law_a_caution_is_said_once_for_all_the_kilns_it_holds_for() -> None:
    a = SafeSite().assessed()
    single = [why for each in a.smoke for why in each.cautions]
    together = cautions_of(a.smoke)
    assert len(together) < len(single)
    assert sentence(together[0]).startswith("Kilns K1 and K2: whether cold air")
    assert cautions_of(a.smoke[:1]) == a.smoke[0].cautions


def test_agrees_with_every_wind_and_minute_tried_on_what_kilns_bring_together() -> None:
    """The largest sum over winds of every half degree and hours of every ten minutes, kiln by kiln."""
    a = blown(SafeSite()).assessed()
    (found,) = a.smoke_together
    runs = {run.spot: run for run in a.kilns}
    seen = [(runs[each.spot], place) for each in a.smoke for place in each.places]
    begin = min(clock.light_by for run in runs.values() for clock in run.clocks)

    def blows(place: Reached, wind: float) -> bool:
        half = 30 + place.half_deg
        return inside(wind, [((place.bearing_deg + 180 - half) % 360, (place.bearing_deg + 180 + half) % 360)])

    def alight(minutes: int) -> list[Reached]:
        at = begin + dt.timedelta(minutes=minutes)
        return [place for run, place in seen if any(c.light_by <= at < c.no_steam_by for c in run.clocks)]

    tried = (
        sum(place.by_day for place in alight(minutes) if blows(place, wind / 2))
        for minutes in range(0, 720, 10)
        for wind in range(720)
    )
    assert found.by_day == pytest.approx(max(tried))
    assert found.kilns == ("K1", "K2")
    assert max(place.by_day for _, place in seen) < found.by_day
    assert found.by_forecast == pytest.approx(
        sum(place.by_forecast or 0.0 for _, place in seen)
    )  # the same air for both


def test_law_kilns_that_do_not_burn_together_do_not_add_up() -> None:
    a = SafeSite().assessed()
    apart = [
        replace(
            run,
            clocks=tuple(
                replace(c, light_by=c.light_by + n * DAY, no_steam_by=c.no_steam_by + n * DAY) for c in run.clocks
            ),
        )
        for n, run in enumerate(a.kilns)
    ]
    assert together_of(a.smoke, apart) == ()
    assert together_of(a.smoke, [replace(run, clocks=()) for run in a.kilns])  # no clock: at any hour
    moved = [replace(run, id="ring", never_twice=True) for run in a.kilns]
    assert together_of(a.smoke, moved) == ()


def test_law_what_kilns_bring_together_stands_on_paper() -> None:
    assert "2 kilns together" in plan_of(SafeSite().assessed(), ["calendar"]).text
