"""Coordinate systems: how far a change of datum may put a place off, and what has no place on Earth."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pyproj
import pytest
import shapely

from sitemap.errors import BadFile
from sitemap.geodesy import systems
from sitemap.geodesy.systems import carried, in_degrees, system_of


@pytest.mark.parametrize(("accuracy", "off_m"), [(-1.0, math.nan), (0.0, 0.0), (0.5, 0.0), (1.0, 0.0), (5.0, 5.0)])
def test_law_an_accuracy_nobody_knows_is_not_known_and_a_small_one_is_nothing(
    monkeypatch: pytest.MonkeyPatch, accuracy: float, off_m: float
) -> None:
    """PROJ says −1 where the registry gives none (its documentation; S)."""
    steps = SimpleNamespace(accuracy=accuracy, transform=lambda x, y: (x, y))
    monkeypatch.setattr(systems, "_steps", lambda *_: steps)
    assert carried([shapely.Point(1, 2)], "EPSG:32610").off_m == pytest.approx(off_m, nan_ok=True)


@pytest.mark.parametrize(
    ("places", "there"),
    [
        ([(180, 90), (-180, -90)], True),
        ([(180.1, 0), (0, 0)], False),
        ([(0, 0), (0, 90.1)], False),
        ([(0, 0), (0, math.inf)], False),
        ([(200, 100), (200, 100)], False),
    ],
)
def test_law_a_shape_with_one_corner_off_the_earth_has_no_place(
    monkeypatch: pytest.MonkeyPatch, places: list[tuple[float, float]], there: bool
) -> None:
    steps = SimpleNamespace(accuracy=0.0, transform=lambda *_: np.asarray(places, dtype=float).T)
    monkeypatch.setattr(systems, "_steps", lambda *_: steps)
    found = carried([shapely.LineString([(0, 0), (1, 1)]), None], "EPSG:32610").shapes
    assert (found[0] is not None, found[1]) == (there, None)


def test_agrees_with_pyproj_on_places_and_names() -> None:
    to = pyproj.Transformer.from_crs("EPSG:25832", "EPSG:4326", always_xy=True).transform(500_000, 5_300_000)
    found = carried([shapely.Point(500_000, 5_300_000, 88)], "EPSG:25832")
    assert shapely.get_coordinates(found.shapes[0], include_z=True)[0][:2] == pytest.approx(to, abs=1e-7)
    assert not shapely.has_z(found.shapes[0])
    assert found.system == pyproj.CRS("EPSG:25832").name
    assert in_degrees("OGC:CRS84")
    assert not in_degrees("EPSG:4267")
    assert system_of("EPSG:6349").is_geographic  # of a place and a height, the place


@pytest.mark.parametrize("said", ["EPSG:1", "no system", "EPSG:5703", "x" * 200])
def test_refuses_what_places_nothing(said: str) -> None:
    with pytest.raises(BadFile) as caught:
        system_of(said)
    assert said[:80] in str(caught.value) or "height" in str(caught.value)
    assert "x" * 81 not in str(caught.value)
