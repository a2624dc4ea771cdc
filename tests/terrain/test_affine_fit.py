"""Laying a picture on the ground by points, against general-purpose libraries for georeferenced rasters."""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
import pytest
import rasterio
import rasterio.warp
from affine import Affine
from hypothesis import given
from hypothesis import strategies as st
from rasterio.control import GroundControlPoint
from rasterio.errors import NotGeoreferencedWarning
from rasterio.transform import from_gcps

from sitemap.errors import BadFile, BadValue
from sitemap.geodesy.plane import Plane
from sitemap.terrain.affine_fit import fitted
from sitemap.terrain.relief import laid, read_picture
from sitemap.terrain.world_file import corner_points

PLANE = Plane(-120.6, 44.3)
SEEN = np.array([[12.0, 30.0], [940.0, 55.0], [910.0, 700.0], [40.0, 660.0], [500.0, 333.0]])


def six(fit: object) -> list[float]:
    return [getattr(fit, letter) for letter in "abcdef"]


@given(st.floats(0.02, 5), st.floats(-180, 180), st.floats(-3000, 3000), st.floats(-3000, 3000))
def test_agrees_with_affine_on_two_points(pixel_m: float, turned: float, east: float, north: float) -> None:
    """The package affine composes moving, turning and scaling; rows run down, hence the minus."""
    truth = Affine.translation(east, north) * Affine.rotation(turned) * Affine.scale(pixel_m, -pixel_m)
    pixels = SEEN[[0, 2]]
    fit = fitted(pixels, np.array([truth * tuple(pair) for pair in pixels]))
    assert six(fit) == pytest.approx(list(truth)[:6], abs=1e-6)
    assert fit.pixel_m == pytest.approx(pixel_m)


@given(st.lists(st.floats(-2, 2), min_size=10, max_size=10))
def test_agrees_with_rasterio_on_points_that_do_not_quite_fit(errors: list[float]) -> None:
    """GDAL's least squares of ground control points, called by rasterio.transform.from_gcps."""
    truth = Affine(0.5, 0.04, -200.0, 0.03, -0.48, 150.0)
    places = np.array([truth * tuple(pair) for pair in SEEN]) + np.array(errors).reshape(-1, 2)
    gcps = [GroundControlPoint(row=r, col=c, x=x, y=y) for (c, r), (x, y) in zip(SEEN, places, strict=True)]
    fit = fitted(SEEN, places)
    assert six(fit) == pytest.approx(list(from_gcps(gcps))[:6], abs=1e-6)
    assert fit.misfit_m is not None


@pytest.mark.parametrize("turned", [0, 90, 180, 270, 45])
def test_law_a_picture_may_lie_turned_but_never_mirrored(turned: int) -> None:
    truth = Affine.rotation(turned) * Affine.scale(0.5, -0.5)
    assert six(fitted(SEEN, np.array([truth * tuple(pair) for pair in SEEN]))) == pytest.approx(
        list(truth)[:6], abs=1e-9
    )
    mirrored = Affine.rotation(turned) * Affine.scale(0.5, 0.5)
    with pytest.raises(BadValue, match="mirrored"):
        fitted(SEEN, np.array([mirrored * tuple(pair) for pair in SEEN]))


def test_agrees_with_the_misfit_of_four_corners_by_hand() -> None:
    """An affine map through four corners has one equation to spare: 4 m at one corner leave 1 m at each of them."""
    pixels = np.array([[0.0, 0], [100, 0], [100, 100], [0, 100]])
    assert fitted(pixels, pixels * (1, -1) + [[4, 0], [0, 0], [0, 0], [0, 0]]).misfit_m == pytest.approx(1.0)
    assert fitted(pixels, pixels * (1, -1) + [[8, 0], [0, 0], [0, 0], [0, 0]]).misfit_m == pytest.approx(2.0)


def test_law_the_worst_point_is_named() -> None:
    places = np.array([Affine.scale(0.5, -0.5) * tuple(pair) for pair in SEEN])
    places[3] += 9.0
    assert fitted(SEEN, places).worst == 3


@pytest.mark.parametrize(
    ("pixels", "places", "said"),
    [
        (SEEN[:1], SEEN[:1], "2 points at least; 1 is known"),
        (SEEN[[0, 0]], SEEN[:2], "1 and 2 lie too near"),
        (SEEN[:2], SEEN[[0, 0]], "1 and 2 are said to lie at one place"),
        (np.array([[0.0, 0], [100, 0], [200, 0]]), SEEN[:3], "on one line"),
        (SEEN[:4], SEEN[:4], "mirrored"),
    ],
)
def test_refuses_points_by_which_nothing_can_be_laid(pixels: np.ndarray, places: np.ndarray, said: str) -> None:
    with pytest.raises(BadValue, match=said):
        fitted(pixels, places)


def written(folder: Path, **kept: object) -> Path:
    path = folder / "ground.png"
    picture = np.random.default_rng(1).integers(0, 255, (3, 60, 80), dtype=np.uint8)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(path, "w", driver="PNG", width=80, height=60, count=3, dtype="uint8", **kept) as file:
            file.write(picture)
    return path


def test_agrees_with_rasterio_on_a_world_file(tmp_path: Path) -> None:
    """GDAL reads the .pgw beside a PNG; here its corners in UTM zone 10 N, the zone of the site."""
    path = written(tmp_path)
    text = "0.5\n0.1\n0.1\n-0.5\n691234.25\n4907654.75\n"
    path.with_suffix(".pgw").write_text(text)
    with rasterio.open(path) as file:
        read = file.transform
    points = corner_points(text, 80, 60, PLANE)
    to_utm = rasterio.warp.transform("EPSG:4326", "EPSG:32610", [p[2] for p in points], [p[3] for p in points])
    assert np.column_stack(to_utm) == pytest.approx(np.array([read * p[:2] for p in points]), abs=1e-3)


def test_law_a_picture_laid_by_its_corners_lies_as_one_that_says_its_place(tmp_path: Path) -> None:
    transform = Affine(1.5, 0.0, -60.0, 0.0, -1.5, 45.0)
    corners = [(c, r, *PLANE.lonlat(*(transform * (c, r)))) for c, r in ((0, 0), (80, 0), (80, 60), (0, 60))]
    path = written(tmp_path)
    own = read_picture(path, PLANE, tuple(corners))
    assert laid(PLANE, tuple(corners)).misfit_m == pytest.approx(0.0, abs=1e-3)
    tif = tmp_path / "own.tif"
    with (
        warnings.catch_warnings(),
        rasterio.open(
            tif,
            "w",
            driver="GTiff",
            width=80,
            height=60,
            count=3,
            dtype="uint8",
            crs=PLANE.definition,
            transform=transform,
        ) as file,
    ):
        file.write(np.zeros((3, 60, 80), dtype=np.uint8))
    said = read_picture(tif, PLANE)
    edges = [(p.west, p.south, p.east, p.north) for p in (own, said)]
    assert edges[0] == pytest.approx(edges[1], abs=2e-5)  # 1.5 m, a pixel


def test_refuses_a_world_file_that_cannot_be_read() -> None:
    for text, system, said in (("0.5 0 0", "", "6 lines"), ("1 0 0 -1 5 5", "abc", "no coordinate system abc")):
        with pytest.raises(BadFile, match=said):
            corner_points(text, 10, 10, PLANE, system)
    with pytest.raises(BadFile, match="does not say its coordinate system"):
        corner_points("1 0 0 -1 500000 5000000", 10, 10, None)


@pytest.mark.parametrize(
    ("text", "corners"),
    [
        ("1 0 0 -1 -179.5 89.5", [(-180.0, 90.0), (180.0, 90.0), (180.0, -90.0), (-180.0, -90.0)]),
        ("1 0 0 -1 0.5 89.5", [(0.0, 90.0), (360.0, 90.0), (360.0, -90.0), (0.0, -90.0)]),
    ],
)
def test_law_a_picture_may_show_the_whole_earth(text: str, corners: list[tuple[float, float]]) -> None:
    """A degree to the pixel, 360 by 180, from longitude −180 or from 0; the pole is a corner (RFC 7946: ±90)."""
    found = corner_points(text, 360, 180, None, "EPSG:4326")
    assert np.array([point[2:] for point in found]) == pytest.approx(np.array(corners))


@pytest.mark.parametrize("text", ["1 0 0 -1 -179.5 90.5", "1 0 0 -1 1.6 89.5", "1 0 0 -1 0.5 88.4"])
def test_refuses_a_picture_beyond_the_earth(text: str) -> None:
    with pytest.raises(BadFile):
        corner_points(text, 360, 180, None, "4326")
