"""Ways out, the refuge and the wood of the day."""

from __future__ import annotations

import datetime as dt

import pytest
import shapely
from shapely import LineString, Point, Polygon, box

from sitemap.day.actions import action_of
from sitemap.day.ways_out import Refuge, refuge_check, ways_check
from sitemap.day.wood import HeapWood, Reading, wood_check
from sitemap.site.seen import Day
from sitemap.telling import tell

OUT = LineString([(0, 0), (100, 0)])
BURN = dt.date(2026, 5, 20)


@pytest.mark.parametrize(
    ("ways", "verdict"),
    [
        ([], "not known"),
        ([OUT], "one way out"),
        ([OUT, shapely.reverse(OUT)], "one way out"),
        ([OUT, LineString([(0, 3), (100, 3)])], "one way out"),
        ([OUT, LineString([(0, 0), (0, 100)])], "two ways out"),
    ],
)
def test_law_two_ways_out_count_where_they_part(ways: list[LineString], verdict: str) -> None:
    assert ways_check(ways).verdict == verdict


def test_published_refuge_is_eight_times_the_fuel_times_slope_and_wind() -> None:
    """NWCG, safety zone research (P): 8 × height × factor from every edge; at 0.5 m and factor 5, 20 m."""
    assert refuge_check([Refuge("R", Point(0, 0).buffer(20.1))], 0.5, []).verdict == "refuge wide enough"
    assert refuge_check([Refuge("R", Point(0, 0).buffer(19.5))], 0.5, []).verdict == "refuge too small"


def test_law_what_to_do_about_a_refuge_fits_what_is_wrong_with_it() -> None:
    """Where none is drawn there is none to widen."""
    found = (
        refuge_check([], 0.5, []),
        refuge_check([Refuge("R", None)], 0.5, []),
        refuge_check([Refuge("R", Point(0, 0).buffer(30))], None, []),
        refuge_check([Refuge("R", Point(0, 0).buffer(5))], 0.5, []),
    )
    first_words = ["choose or make a refuge", "draw the refuge as an area", "enter how high", "widen the refuge"]
    assert [tell(action_of(each)).startswith(said) for each, said in zip(found, first_words, strict=True)] == [True] * 4


def test_law_trees_in_a_refuge_take_its_room() -> None:
    meadow = Refuge("R", box(0, 0, 50, 50))
    assert refuge_check([meadow], 0.5, []).verdict == "refuge wide enough"
    assert refuge_check([meadow], 0.5, [box(20, 20, 30, 30)]).verdict == "refuge too small"


@pytest.mark.parametrize("shape", [None, Point(0, 0), LineString([(0, 0), (50, 50)])])
def test_refuses_a_refuge_without_a_size(shape: Point | LineString | Polygon | None) -> None:
    assert refuge_check([Refuge("R", shape)], 0.5, []).verdict == "not known"
    assert refuge_check([], 0.5, []).verdict == "not known"
    assert refuge_check([Refuge("R", box(0, 0, 90, 90))], None, []).verdict == "not known"


def wood(*readings: Reading, fuel: str = "ready", rain: dt.date | None = None) -> str:
    return wood_check("k1", [HeapWood("P1", fuel, readings)], Day(BURN), rain).verdict


def read(days: int = 3, *, core: bool = True, wet: bool | None = False) -> Reading:
    return Reading(BURN - dt.timedelta(days=days), core, wet)


def test_law_wood_is_dry_by_two_fresh_readings_with_one_of_the_core() -> None:
    assert wood(read(), read(core=False)) == "wood dry"
    assert wood(read(14), read(14)) == "wood dry"


@pytest.mark.parametrize(
    "readings",
    [
        (),
        (read(),),
        (read(core=False), read(core=False)),
        (read(15), read(15)),
        (read(-1), read(-1)),
        (Reading(None, True, False), read()),
        (read(wet=None), read(core=False)),
    ],
)
def test_refuses_wood_on_readings_that_prove_nothing(readings: tuple[Reading, ...]) -> None:
    assert wood(*readings) == "not known"


def test_law_a_wet_core_or_rain_undoes_dry_skins() -> None:
    assert wood(*[read(core=False)] * 9, read(wet=True)) == "wood wet"
    assert wood(read(), read(), fuel="wet") == wood(read(), read(), fuel="drying") == "wood wet"
    assert wood(read(), read(), rain=BURN - dt.timedelta(days=1)) == "not known"
    assert wood_check("k1", [], Day(BURN)).verdict == "not known"
