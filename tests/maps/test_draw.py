"""What the map draws of an assessed site: distances, ground to keep clear of, ways of water, contours."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

import pytest
import shapely
from shapely.geometry import shape

from sitemap.assessment import Assessment, assess
from sitemap.maps.draw import EMPTY_CENTRE, KEEP_CLEAR_WITHIN_M, kiln_signs, map_view, way_geometry
from sitemap.maps.scene import Overlay
from sitemap.maps.verdicts import near_text
from sitemap.opened import opened
from sitemap.units import Toward
from tests.many.test_many import SAMPLES
from tests.safety.dangerous.safe_site import SafeSite
from tests.site.builders import site_of, thing


@cache
def safe() -> Assessment:
    return SafeSite().assessed()


@cache
def bench() -> Assessment:
    found = opened(SAMPLES / "juniper_bench.geojson")
    on = found.site.section("season").date("date")
    return assess(found.site, found.terrain, on=on, today=dt.date(2026, 7, 1))


def overlays(a: Assessment, chosen: str | None, *styles: str) -> list[Overlay]:
    selected = None if chosen is None else a.source.get(chosen)
    return [each for each in map_view(a, "p", selected).overlays if each.style in styles]


def on_plane(a: Assessment, geometry: Any) -> Any:
    assert a.plane is not None
    return a.plane.forward(shape(geometry))


def test_law_of_kilns_that_stand_well_only_the_chosen_one_shows_distances_the_nearest_four() -> None:
    a = safe()
    assert overlays(a, None, "nearest", "too close", "measure", "keep clear") == []
    lines = overlays(a, "k1", "nearest")
    spot = a.spot("k1")
    assert spot is not None
    drawn = sorted((each for each in spot.setbacks if each.line is not None), key=lambda each: each.margin_m or 0.0)
    assert len(lines) == min(4, len(drawn))
    assert {line.about for line in lines} == {"k1"}
    told = [near_text(each.distance_m or 0.0, "metric") for each in spot.setbacks if each.line is not None]
    for line in lines:
        assert line.label in told
        length = on_plane(a, line.geometry).length
        assert any(abs(length - (each.distance_m or 0.0)) < 0.01 for each in drawn)


def test_law_what_is_too_close_is_drawn_of_every_kiln() -> None:
    a = bench()
    ruled = {
        (spot.id, each.feature)
        for spot in a.spots
        for each in spot.setbacks
        if each.effect == "ruled out" and each.line
    }
    assert len(overlays(a, None, "too close")) == len(ruled)


def test_law_the_ground_to_keep_clear_of_ends_where_the_distance_and_the_kiln_itself_end() -> None:
    """The edge of the kiln keeps the distance of the rule, so its middle that and its radius; farther things do not
    matter to a drag."""
    a = safe()
    spot, kiln = a.spot("k1"), a.source.get("k1")
    assert spot is not None
    assert kiln is not None
    assert a.plane is not None
    (area,) = overlays(a, "k1", "keep clear")
    barred = on_plane(a, area.geometry)
    middle = a.plane.forward(kiln.shape.centroid)  # type: ignore[union-attr]
    assert not barred.contains(middle)
    radius = max(shapely.distance(middle, shapely.Point(each.line[0])) for each in spot.setbacks if each.line)
    for each in spot.setbacks:
        feature = a.source.get(each.feature)
        if not each.required_m or feature is None or feature.shape is None or each.margin_m is None:
            continue
        edge = a.plane.forward(feature.shape)
        ring = edge.buffer(0.97 * (each.required_m + radius))
        assert barred.contains(ring) == (each.margin_m < KEEP_CLEAR_WITHIN_M), each.feature
    assert overlays(a, "p1", "keep clear") == []


@pytest.mark.parametrize("chosen", [None, "k1", "k2"])
def test_law_every_kiln_shows_its_way_of_water_and_the_chosen_one_what_comes_out(chosen: str | None) -> None:
    a = safe()
    ways = overlays(a, chosen, "lay", "haul")
    assert a.water is not None
    assert {way.about for way in ways} == {each.spot_id for each in a.water.spots if each.quench.way is not None}
    for way in ways:
        best = a.water.of_spot(str(way.about)).quench  # type: ignore[union-attr]
        assert (way.style == "lay") == (best.way == "hose")
        assert bool(way.label) == (way.about == chosen and best.flow_l_min is not None)
        assert best.source is not None
        assert best.way is not None
        assert way.geometry == way_geometry(a, best.source, str(way.about), best.way)
    assert way_geometry(a, "nobody", "k1", "hose") is None
    assert way_geometry(a, "k1", "nobody", "hose") is None


def test_law_contours_are_drawn_where_heights_are_known_and_every_fifth_says_its_own() -> None:
    """Index contours, every fifth one, carry their height: usual of topographic maps (common practice, no source)."""
    a = bench()
    lines, index = overlays(a, None, "contour"), overlays(a, None, "index contour")
    assert lines
    assert {line.label for line in lines} == {""}
    heights = sorted(float(line.label.split()[0].replace(",", "")) for line in index)
    view = map_view(a, "p")
    step = float(view.ground.removeprefix("a contour every ").split()[0])
    assert all(height / (5 * step) == pytest.approx(round(height / (5 * step))) for height in heights)
    assert overlays(safe(), None, "contour", "index contour") == []
    assert map_view(safe(), "p").ground == "no heights known"


def test_law_a_map_without_a_place_looks_where_it_is_told_and_one_to_read_has_no_verdicts() -> None:
    empty = assess(site_of(thing("k1", "kiln_spot", None, name="K1")), None, on=None)
    assert map_view(empty, "p").centre == EMPTY_CENTRE
    assert map_view(empty, "p", look_at=(10.0, 45.0, 15.0)).centre == (10.0, 45.0)
    assert map_view(empty, "p").features == ()
    assert map_view(empty, "p", empty.source.get("k1")).overlays == ()
    a = safe()
    assert map_view(a, "p", look_at=(10.0, 45.0, 15.0)).centre == pytest.approx((a.plane.lon0, a.plane.lat0))  # type: ignore[union-attr]
    assert map_view(a, "p").kilns
    assert map_view(a, "p", tools=()).kilns == ()


@pytest.mark.parametrize(
    ("names", "signs"),
    [
        (["K1", "abc", "abcd"], ["K1", "abc", "#3"]),
        (["North 7", "7"], ["K7", "7"]),
        (["North 77", "North 777"], ["K77", "#2"]),
        (["K7", "North 7"], ["#1", "#2"]),
        (["1.5", "kiln 2.5", ""], ["1.5", "#2", "#3"]),
        ([" K1 ", "x"], ["K1", "x"]),
    ],
)
def test_law_a_sign_holds_three_letters_and_no_two_are_alike(names: list[str], signs: list[str]) -> None:
    assert list(kiln_signs({str(n): name for n, name in enumerate(names)}).values()) == signs


@pytest.mark.parametrize(
    ("metres", "units", "toward", "told"),
    [
        (9.94, "metric", "nearest", "9.9 m"),
        (9.96, "metric", "nearest", "10 m"),
        (10.4, "metric", "nearest", "10 m"),
        (10.6, "metric", "nearest", "11 m"),
        (2.04, "metric", "up", "2.1 m"),
        (2.06, "metric", "down", "2 m"),
        (14.1, "metric", "up", "15 m"),
        (14.9, "metric", "down", "14 m"),
        (2.0, "metric", "up", "2 m"),
        (3.048, "us", "down", "10 ft"),
        (3.0, "us", "nearest", "9.8 ft"),
        (0.0, "us", "up", "0 ft"),
    ],
)
def test_law_a_distance_is_told_in_tenths_below_ten_and_whole_above(
    metres: float, units: str, toward: Toward, told: str
) -> None:
    """A foot is 0.3048 m (NIST SP 811); what lies within a thousandth of the last digit is that digit."""
    assert near_text(metres, units, toward) == told


def test_law_what_is_burned_or_done_says_so_beside_its_name() -> None:
    a = SafeSite().put("p1", status="burned").assessed()
    labels = {each.id: each.label for each in map_view(a, "p").features}
    names = {each.id: each.name for each in a.source.features}
    assert "p1" in a.states
    for key, label in labels.items():
        assert label == (f"{names[key]} · {a.states[key]}" if key in a.states else names[key])
