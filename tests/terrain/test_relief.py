"""Shaded relief, contours and pictures held against printed examples and plain geometry."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
import shapely
from matplotlib.cbook import get_sample_data
from matplotlib.colors import LightSource
from matplotlib.image import imread
from rasterio.io import MemoryFile
from rasterio.transform import Affine

from sitemap.errors import BadFile, BadValue
from sitemap.geodesy.plane import Plane
from sitemap.terrain.grid import Grid
from sitemap.terrain.relief import contour_interval, contours, hillshade, read_picture, relief_backdrop
from sitemap.terrain.surface import gradient
from sitemap.terrain.terrain import level_terrain
from tests.terrain.rasters import PLANE, geotiff, hill, on_plane, terrain


def pixels(png: bytes) -> np.ndarray:
    """(bands, rows, columns), 0 to 255."""
    return np.moveaxis(imread(BytesIO(png)) * 255, -1, 0).round().astype(int)


def test_published_hillshade_of_a_cell() -> None:
    """A general map manual's worked example, 5 m cells, light from 315° at 45° (seen in a second text, S): 154, to
    whole numbers.
    """
    east, north = gradient(np.array([[2450.0, 2461, 2483], [2452, 2461, 2483], [2447, 2455, 2477]]), 5.0)
    assert round(float(hillshade(east, north)[1, 1])) == 154


def test_agrees_with_matplotlib_on_real_ground() -> None:
    """The same light on the fault elevation model. The other library takes plain differences and stretches the
    contrast, so the two are compared by their correlation, where the ground is not in the dark.
    """
    z = get_sample_data("jacksboro_fault_dem.npz")["elevation"].astype(float)
    ours = hillshade(*gradient(z, 80.0))[2:-2, 2:-2]
    theirs = LightSource(315, 45).hillshade(z, dx=80, dy=80)[2:-2, 2:-2]
    assert np.corrcoef(ours.ravel(), theirs.ravel())[0, 1] > 0.97


def test_law_level_ground_is_lit_by_the_height_of_the_light_alone() -> None:
    assert hillshade(np.zeros(1), np.zeros(1), 10, 90) == pytest.approx(255)
    assert hillshade(np.zeros(1), np.zeros(1), 10, 30) == pytest.approx(127.5)
    assert hillshade(np.array(1.0), np.array(0.0), 90, 20) == 0, "rising steeply towards a low light: its own shadow"
    with pytest.raises(BadValue, match="height of the light must lie between 0° and 90°; it is −5°"):
        hillshade(np.zeros(1), np.zeros(1), 315, -5)


def test_agrees_with_circles_round_a_cone() -> None:
    """A cone of 20 %: its 5 m contours are circles 25 m apart."""
    x, y = Grid(-100, 100, 1, 200, 200).centres()
    drawn = contours(terrain(100 - 0.2 * np.hypot(x, y), x0_m=-100, y0_m=100), 5)
    ring = next(contour for contour in drawn if contour.height_m == 90)
    distance = np.hypot(*shapely.get_coordinates(ring.lines).T)
    assert distance == pytest.approx(50, abs=0.02)
    assert ring.lines.length == pytest.approx(2 * np.pi * 50, rel=1e-3)
    assert not ring.index
    assert {contour.height_m for contour in drawn if contour.index} == {75, 100} & {c.height_m for c in drawn}


def test_law_contours_keep_to_known_ground() -> None:
    z = hill()
    z[30:50, 30:60] = np.nan
    hole = shapely.box(31, 31, 59, 49)
    drawn = contours(terrain(z))
    assert len(drawn) > 4
    assert not any(contour.lines.intersects(hole) for contour in drawn)
    assert contours(level_terrain((0, 0, 20, 20))) == ()
    assert [contour_interval(0, range_m) for range_m in (6, 29, 75, 800)] == [0.5, 2, 5, 100]


def test_law_relief_covers_its_ground_and_no_more() -> None:
    z = hill()
    z[:, :50] = np.nan
    for plane in (PLANE, Plane(180 - 1e-4, -17.0)):
        backdrop = relief_backdrop(terrain(z, x0_m=-50, y0_m=40), plane)
        picture = pixels(backdrop.png)
        assert picture.shape[0] == 4
        half = picture.shape[2] // 2
        assert (picture[3, :, : half - 3] == 0).all(), "transparent where the height is not known"
        assert (picture[3, 3:-3, half + 4 : -3] == 255).all()
        east, north = plane.xy(backdrop.east, backdrop.north)
        west, south = plane.xy(backdrop.west, backdrop.south)
        assert (west, south, east, north) == pytest.approx((-50, -40, 50, 40), abs=1.5)
        assert backdrop.west < backdrop.east


def test_law_pictures_keep_their_colours() -> None:
    rows, columns = 60, 80
    here = Affine(0.5, 0, -20, 0, -0.5, 15)
    colours = np.zeros((3, rows, columns), dtype=np.uint8)
    colours[0, :, :40], colours[2, :, 40:] = 200, 150
    west_is_red = read_picture(geotiff(colours, here, PLANE.definition), PLANE)
    picture = pixels(west_is_red.png)
    middle = picture.shape[1] // 2
    assert tuple(picture[:, middle, 8]) == (200, 0, 0, 255)
    assert tuple(picture[:, middle, -8]) == (0, 0, 150, 255)
    grey = pixels(read_picture(geotiff((colours[:1] * 300.0).astype(np.uint16), here, PLANE.definition), PLANE).png)
    assert tuple(grey[:, middle, 8]) == (255, 255, 255, 255)


def test_law_a_palette_is_looked_up() -> None:
    here = Affine(0.5, 0, -20, 0, -0.5, 15)
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff", count=1, height=60, width=80, dtype="uint8", transform=here, crs=PLANE.definition
        ) as file:
            file.write(np.full((1, 60, 80), 7, dtype=np.uint8))
            file.write_colormap(1, {7: (12, 150, 90, 255)})
        picture = pixels(read_picture(bytes(memory.read()), PLANE).png)
    assert tuple(picture[:, picture.shape[1] // 2, picture.shape[2] // 2]) == (12, 150, 90, 255)


def test_refuses_pictures_in_one_sentence() -> None:
    flat = np.zeros((3, 9, 9), dtype=np.uint8)
    with pytest.raises(BadFile, match="has no coordinate system"):
        read_picture(geotiff(flat, Affine(1, 0, 5, 0, -1, 5), None), PLANE)
    with pytest.raises(BadFile, match="has no coordinate system"):
        read_picture(relief_backdrop(terrain(hill()), PLANE).png, PLANE)
    with pytest.raises(BadFile, match="damaged or of another kind"):
        read_picture(b"GIF89a but not really", PLANE)
    with pytest.raises(BadFile, match="does not show the site"):
        read_picture(geotiff(flat, Affine(1, 0, 90_000, 0, -1, 5), PLANE.definition), PLANE)
    with pytest.raises(BadFile, match="web map ends at 85°"):
        relief_backdrop(terrain(hill()), Plane(0.0, 88.0))


def test_law_odd_pictures_are_shown_or_refused_in_a_sentence() -> None:
    """A palette of 65,536 colours (TIFF 6.0, 16 bits, M), floats with NaN, two bands; no colours at all."""
    palette = {value: (value % 256, 0, 0, 255) for value in range(65_536)}
    deep = np.full((20, 20), 700, dtype=np.uint16)
    assert read_picture(on_plane(deep, photometric="palette", palette=palette), PLANE).png
    empty = np.full((20, 20), np.nan, dtype=np.float32)
    assert read_picture(on_plane(empty), PLANE).png
    assert read_picture(on_plane(np.ones((2, 20, 20), dtype=np.uint8)), PLANE).png
    with pytest.raises(BadFile, match="holds nothing to show"):
        read_picture(on_plane(np.ones((20, 20), dtype=np.complex64)), PLANE)
