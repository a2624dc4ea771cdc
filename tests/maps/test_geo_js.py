"""What the map's script measures by itself, against geodesics and against the shapes library."""

import itertools
from pathlib import Path

import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from geographiclib.polygonarea import PolygonArea

from sitemap.geodesy.plane import Plane
from tests.javascript import called

SCRIPT = Path(__file__).parents[2] / "sitemap" / "maps" / "script"
WGS84 = Geodesic.WGS84
LATITUDES = (-75.0, -41.36, 0.0, 44.05, 69.5)


def test_agrees_with_geographiclib_on_legs_and_areas(tmp_path: Path) -> None:
    """Legs of 5 m to 3 km in all directions and a ring of a few hectares, by Karney's geodesics (geographiclib)."""
    rng = np.random.default_rng(13)
    legs, rings = [], []
    for lat in LATITUDES:
        for m in (5.0, 120.0, 3000.0):
            bearing = float(rng.uniform(0, 360))
            legs.append((lat, bearing, m, WGS84.Direct(lat, 10.0, bearing, m)))
        corners = [WGS84.Direct(lat, 10.0, turn, far) for turn, far in ((10, 90), (100, 140), (190, 60), (300, 150))]
        rings.append([[each["lon2"], each["lat2"]] for each in corners])
    calls = [("legOf", [[10.0, lat], [end["lon2"], end["lat2"]]]) for lat, _, _, end in legs]
    calls += [("beyond", [[10.0, lat], bearing, m]) for lat, bearing, m, _ in legs]
    calls += [("areaOf", [ring]) for ring in rings] + [("lengthOf", [ring]) for ring in rings]
    answers = iter(called(SCRIPT / "geo.js", calls, tmp_path))
    for _, bearing, m, _ in legs:
        leg = next(answers)
        assert leg["m"] == pytest.approx(m, rel=1e-4)
        turned = (leg["bearing"] - bearing + 180) % 360 - 180
        assert abs(turned) < 0.1
    for _, _, m, end in legs:
        lon, lat = next(answers)
        assert WGS84.Inverse(lat, lon, end["lat2"], end["lon2"])["s12"] < max(0.001, m * 2e-3)
    for ring in rings:
        exact = PolygonArea(WGS84)
        for lon, lat in ring:
            exact.AddPoint(lat, lon)
        assert next(answers) == pytest.approx(abs(exact.Compute()[2]), rel=1e-4)
    for ring in rings:
        far = sum(WGS84.Inverse(a[1], a[0], b[1], b[0])["s12"] for a, b in itertools.pairwise(ring))
        assert next(answers) == pytest.approx(far, rel=1e-4)


def test_agrees_with_shapely_on_the_nearest_point(tmp_path: Path) -> None:
    """Points, lines, and an area with a hole, on the site's plane; the hole is outside."""
    plane = Plane(10.0, 44.0)
    shapes = [
        shapely.Point(30, 40),
        shapely.LineString([(-50, 20), (60, 25), (90, -40)]),
        shapely.Polygon([(-60, -60), (60, -70), (55, 60), (-50, 65)], [[(-10, -10), (12, -9), (8, 11), (-9, 10)]]),
    ]
    places = [shapely.Point(0, 0), shapely.Point(30, 0), shapely.Point(200, -130), shapely.Point(-80, 70)]
    pairs = [(shape, place) for shape in shapes for place in places]
    calls = [
        ("nearest", [shapely.geometry.mapping(plane.inverse(shape)), list(plane.inverse(place).coords[0])])
        for shape, place in pairs
    ]
    for (shape, place), answer in zip(pairs, called(SCRIPT / "geo.js", calls, tmp_path), strict=True):
        assert answer["m"] == pytest.approx(shape.distance(place), abs=0.02)
        there = plane.forward(shapely.Point(answer["at"]))
        assert there.distance(shape) < 0.02


def test_law_a_leg_is_read_as_written_or_not_at_all(tmp_path: Path) -> None:
    typed = ["120 35", "120° 35 m", "7,5, 60 ft", "359/12,5", "400 3", "12", "north 3", "90 5 yards", "90 0"]
    read = called(SCRIPT / "saying.js", [("legTyped", [each, "metric"]) for each in typed], tmp_path)
    assert read[:2] == [{"bearing": 120, "m": 35}] * 2
    assert read[2] == {"bearing": 7.5, "m": pytest.approx(60 * 0.3048)}  # the international foot
    assert read[3] == {"bearing": 359, "m": 12.5}
    assert read[4:] == [None] * 5


def test_law_the_scale_bar_is_round_and_as_long_as_it_says(tmp_path: Path) -> None:
    """Feet and miles by the international foot (0.3048 m exactly, NIST Handbook 44)."""
    sizes = [(float(per), units) for per in 10 ** np.linspace(-2, 4.5, 60) for units in ("metric", "us")]
    unit_m = {"m": 1.0, "km": 1000.0, "ft": 0.3048, "mi": 5280 * 0.3048}
    for (per_px, units), bar in zip(
        sizes, called(SCRIPT / "scale.js", [("scaleOf", list(each)) for each in sizes], tmp_path), strict=True
    ):
        assert bar["name"] in (("m", "km") if units == "metric" else ("ft", "mi"))
        assert bar["px"] * per_px == pytest.approx(bar["whole"] * unit_m[bar["name"]])
        assert bar["part"] * bar["parts"] == pytest.approx(bar["whole"])
        assert f"{bar['whole']:e}"[0] in "125"
        assert 168 / 2.5 * (1 - 1e-6) <= bar["px"] <= 168 * (1 + 1e-6)  # the next rounder one would not fit


def test_law_long_names_that_begin_alike_are_told_apart_on_the_map(tmp_path: Path) -> None:
    names = [f"Heap by the old landing no. {n}" for n in range(1, 41)]
    short = called(
        SCRIPT / "saying.js", [("shortened", [name]) for name in (*names, "Gate", "Own cabin · burned")], tmp_path
    )
    assert len(set(short)) == len(short)
    assert short[:1] == ["Heap by th…ing no. 1"]
    assert short[-2:] == ["Gate", "Own cabin · burned"]
