"""What does not belong to the site, and lines walked with a receiver."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic
from shapely.geometry import shape

from sitemap.geodesy.plane import Plane
from sitemap.site.far_off import far_notes, tidied
from sitemap.site.model import Feature
from sitemap.telling import tell

HOME = Plane(-120.0, 44.0)


def at(lon: float, lat: float, name: str = "P1") -> Feature:
    return Feature.of("", {"type": "Point", "coordinates": [lon, lat]}, {"kind": "pile", "name": name})


@pytest.mark.parametrize(
    ("lon", "lat", "told"),
    [
        (-120.0, -44.0, "south of the equator.*sign of the latitude"),
        (120.0, 44.0, "east of Greenwich.*sign of the longitude"),
        (120.0, -44.0, "both signs"),
        (44.0, -120.0 + 90, "from the site"),
        (-119.0, 44.0, "80 km from the site"),
    ],
)
def test_agrees_with_geographiclib_on_what_is_far(lon: float, lat: float, told: str) -> None:
    """Geodesic distance on WGS 84, said to two digits."""
    import re

    (note,) = far_notes(HOME, [(7, at(lon, lat))])
    assert (note.row, note.what) == (7, "far_away")
    assert re.search(told, tell(note.text))
    away_km = Geodesic.WGS84.Inverse(44.0, -120.0, lat, lon)["s12"] / 1000
    said_km = float(re.search(r"lies ([\d,]+) km", tell(note.text))[1].replace(",", ""))
    assert said_km == pytest.approx(away_km, rel=0.05)


def test_law_what_is_near_is_not_mentioned() -> None:
    """0.6 degrees of longitude at 44° are 48 km, within the 50 km."""
    assert far_notes(HOME, [(1, at(-119.4, 44.0))]) == ()
    assert far_notes(None, []) == ()


def test_law_without_a_site_the_stray_is_the_one_that_is_told() -> None:
    rows = [(n, at(-120.0 + n / 1000, 44.0)) for n in range(1, 6)] + [(6, at(120.0, 44.0, "P6"))]
    assert [note.about for note in far_notes(None, rows)] == ["P6"]
    assert " mi " in tell(far_notes(None, rows)[0].text, "us")


def test_law_a_round_that_crosses_itself_where_it_closes_becomes_an_area() -> None:
    """
    a square of 80 × 111 m whose end oversteps its beginning by a metre
    """
    ring = [[-120, 44], [-119.999, 44], [-119.999, 44.001], [-120, 44.001], [-119.99999, 43.99999], [-120, 44]]
    crossed = {"type": "Polygon", "coordinates": [ring]}
    assert not shape(crossed).is_valid
    mended = shape(tidied(crossed))
    assert mended.is_valid
    assert mended.area == pytest.approx(0.001 * 0.001, rel=0.03)  # square degrees of the square


def test_law_a_walk_of_many_points_is_thinned_within_a_metre() -> None:
    """A circle of 100 m walked in 600 steps; a sagitta of 1 m bridges 28 m of it, 1/22 of the round (geometry, D)."""
    steps = [2 * math.pi * n / 600 for n in range(600)]
    ring = [[-120 + 0.00125 * math.cos(a), 44 + 0.0009 * math.sin(a)] for a in steps]
    thin = tidied({"type": "Polygon", "coordinates": [[*ring, ring[0]]]})
    assert 20 <= len(thin["coordinates"][0]) <= 60
    assert shape(thin).area == pytest.approx(math.pi * 0.00125 * 0.0009, rel=0.02)
    few = {"type": "LineString", "coordinates": [[-120, 44], [-120, 44.0001], [-120, 44.0002]]}
    assert tidied(few) == few
