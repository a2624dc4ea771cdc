"""What is drawn round a kiln: sectors by their directions, the gust to patrol for, words beside distances."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from functools import cache

import pytest
from shapely import Point

from sitemap.assessment import Assessment
from sitemap.maps.scene import MapFeature, MapView, why_no_map
from sitemap.maps.sectors import _gust, sector_overlays, sectors_of, wedge
from sitemap.maps.verdicts import check_rows, to_turning
from sitemap.safety.near import FAR_ENOUGH, MEASURE, TOO_CLOSE
from sitemap.season.airs import Air
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_window import forecast

MOST_GUST = 18 * 0.44704  # [m/s] 18 mph, the most we burn in


@cache
def windy() -> Assessment:
    return forecast(SafeSite()).signed().assessed()


@pytest.mark.parametrize(
    ("arcs", "inside", "outside"),
    [
        ([(0.0, 90.0)], (45, 1, 89), (91, 180, 359)),
        ([(90.0, 180.0)], (135, 91, 179), (45, 181, 270)),
        ([(315.0, 45.0)], (0, 316, 44), (46, 180, 314)),
        ([(0.0, 10.0), (180.0, 190.0)], (5, 185), (11, 90, 179, 191)),
        ([(20.0, 380.0)], (0, 90, 180, 270), ()),
        ([(0.0, 360.0)], (0, 90, 180, 270), ()),
    ],
)
def test_law_a_sector_is_the_ground_in_its_directions(
    arcs: list[tuple[float, float]], inside: tuple[int, ...], outside: tuple[int, ...]
) -> None:
    """Bearings run clockwise from north; the rim is drawn by chords of three degrees, 0.04 % inside the circle."""
    found = wedge((5.0, 7.0), arcs, 100.0)
    for bearing, held in (*((b, True) for b in inside), *((b, False) for b in outside)):
        turned = math.radians(bearing)
        for far, there in ((10.0, held), (99.9, held), (100.1, False)):
            assert found.contains(Point(5.0 + far * math.sin(turned), 7.0 + far * math.cos(turned))) == there, bearing
    swept = sum((end - begin) % 360 or 360 for begin, end in arcs)
    assert found.area == pytest.approx(math.pi * 100**2 * swept / 360, rel=2e-3)


def air(gust: float | None) -> Air:
    return Air(dt.datetime(2026, 5, 20, 9, tzinfo=dt.UTC), 3.0, 90.0, gust, "D")


@pytest.mark.parametrize(
    ("gusts", "told"),
    [
        ([], (MOST_GUST, False)),
        ([5.0], (MOST_GUST, True)),
        ([5.0, None], (MOST_GUST, False)),
        ([12.0, 5.0], (12.0, True)),
        ([None, 12.0], (12.0, False)),
    ],
)
def test_law_who_patrols_goes_as_far_as_the_worst_gust_and_never_less(
    gusts: list[float | None], told: tuple[float, bool]
) -> None:
    assert _gust(tuple(map(air, gusts))) == (pytest.approx(told[0]), told[1])


def test_law_each_kiln_has_its_own_sectors_and_the_chosen_one_is_drawn() -> None:
    a = windy()
    assert a.plane is not None
    found = {each.spot: each for each in sectors_of(a)}
    assert set(found) == {"k1", "k2"}
    for key, each in found.items():
        kiln = a.plane.forward(a.source.get(key).shape).centroid  # type: ignore[union-attr]
        assert each.patrol is not None
        assert each.reach_m is not None
        assert kiln.distance(each.patrol.centroid) < each.reach_m
        assert max(kiln.distance(Point(corner)) for corner in each.patrol.exterior.coords) == pytest.approx(
            each.reach_m
        )
        if each.barred is not None:
            compass = max(kiln.distance(Point(corner)) for corner in each.barred.exterior.coords)
            away = next(smoke for smoke in a.smoke if smoke.spot == key).places[0].away_m
            assert compass == pytest.approx(min(max(away / 4, 15.0), 60.0))
        drawn = {overlay.style: overlay for overlay in sector_overlays(a, key)}
        assert {overlay.about for overlay in drawn.values()} == {key}
        assert ("patrol" in drawn, "smoke" in drawn) == (True, each.smoke is not None)
        assert drawn["patrol"].label.endswith(" m")
        assert float(drawn["patrol"].label.split()[0]) >= each.reach_m
    assert list(sector_overlays(a, None)) == list(sector_overlays(a, "p1")) == []


def test_law_what_is_tight_by_its_errors_comes_before_what_is_near() -> None:
    spot = windy().spots[0]
    plain = next(each for each in spot.setbacks if each.margin_m is not None)
    rows = [
        replace(plain, feature=name, margin_m=margin, error_m=error, effect=effect, verdict=verdict)
        for name, margin, error, effect, verdict in (
            ("roomy", 20.0, 1.0, "passes", FAR_ENOUGH),
            ("doubted", 21.0, 5.0, "passes", FAR_ENOUGH),
            ("measure", 2.0, 5.0, "conditional", MEASURE),
            ("asked", 3.0, 1.0, "conditional", "not known"),
            ("close", -1.24, 1.0, "ruled out", TOO_CLOSE),
            ("exact", 0.0, 0.0, "passes", FAR_ENOUGH),
        )
    ]
    rows.append(
        replace(plain, feature="blank", margin_m=None, distance_m=None, effect="conditional", verdict="not known")
    )
    told = [(row.about, row.spare) for row in check_rows(replace(spot, setbacks=tuple(rows)), windy())]
    assert told == [
        ("blank", "not known"),
        ("measure", "2 m: measure"),
        ("close", "1.3 m short"),
        ("asked", "not known"),
        ("exact", "0 m"),
        ("doubted", "21 m"),
        ("roomy", "20 m"),
    ]
    assert [row.feature for row in sorted(rows, key=to_turning)] == [feature for feature, _ in told]


@pytest.mark.parametrize(("lat", "shown"), [(85.0, True), (-85.0, True), (86.0, False), (-86.0, False)])
def test_law_the_web_map_ends_near_the_poles(lat: float, shown: bool) -> None:
    """The square of the Web Mercator map ends at 85.06° (EPSG 3857; S)."""
    place = {"type": "Point", "coordinates": [10.0, lat]}
    there = MapFeature("a", "gate", "A", "A", place)
    assert (why_no_map(MapView("p", (10.0, lat), ())) is None) == shown
    assert (why_no_map(MapView("p", (10.0, 45.0), (there,))) is None) == shown
