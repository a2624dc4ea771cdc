"""The lie of the land held against printed worked examples, reference libraries and real ground."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from matplotlib.cbook import get_sample_data
from pyproj import Transformer
from rasterio.transform import Affine
from scipy.ndimage import sobel
from shapely.geometry import LineString, Point

from sitemap.errors import BadFile, BadShape, BadValue
from sitemap.geodesy.plane import Plane
from sitemap.telling import tell
from sitemap.terrain.elevation import read_terrain
from sitemap.terrain.grid import Grid, grid_over
from sitemap.terrain.surface import gradient, slope_pct, surface_steps
from sitemap.terrain.terrain import Terrain, level_terrain
from tests.terrain.rasters import PLANE, geotiff, hill, on_plane, terrain


def notes_of(ground: Terrain) -> set[str]:
    return {note.what for note in ground.notes}


# --- slope -----------------------------------------------------------------------------------------------


def test_published_slope_of_a_cell() -> None:
    """A general map manual's worked example of Horn's formula, 5 m cells (seen in a second text, S):
    dz/dx 0.05, dz/dy -3.8 (southward), slope 75.25762°; five decimals are printed.
    """
    east, north = gradient(np.array([[50.0, 45, 50], [30, 30, 30], [8, 10, 10]]), 5.0)
    assert east[1, 1] == pytest.approx(0.05, abs=1e-7)
    assert north[1, 1] == pytest.approx(3.8, abs=1e-6)
    assert np.degrees(np.arctan(slope_pct(east, north)[1, 1] / 100)) == pytest.approx(75.25762, abs=5e-5)


def test_agrees_with_scipy_on_real_ground() -> None:
    """The fault elevation model among Matplotlib's sample data; Horn's weights are Sobel's over eight cells."""
    z = get_sample_data("jacksboro_fault_dem.npz")["elevation"].astype(float)
    east, north = gradient(z, 80.0)
    inside = np.s_[1:-1, 1:-1]
    np.testing.assert_allclose(east[inside], sobel(z, axis=1)[inside] / 640, atol=1e-6)
    np.testing.assert_allclose(north[inside], -sobel(z, axis=0)[inside] / 640, atol=1e-6)


@pytest.mark.parametrize(("towards_east", "towards_north"), [(0.2, 0), (0, 0.2), (-0.1, -0.1)])
def test_law_a_tilted_plane_has_one_slope_everywhere(towards_east: float, towards_north: float) -> None:
    x, y = Grid(0, 20, 2, 10, 12).centres()
    ground = terrain(100 + towards_east * x + towards_north * y, 2.0)
    assert np.hypot(towards_east, towards_north) * 100 == pytest.approx(ground.slope_pct, abs=1e-3)  # rim too
    assert ground.elevation(5.3, 11.1) == pytest.approx(100 + towards_east * 5.3 + towards_north * 11.1, abs=1e-4)
    assert ground.pad_slope_at(11, 11, 4.0) == pytest.approx(np.hypot(towards_east, towards_north) * 100, abs=1e-3)


def test_law_unknown_stays_unknown() -> None:
    z = np.full((9, 9), 50.0)
    z[4, 4] = np.nan
    ground = terrain(z)
    assert np.isnan(ground.elevation([4.5, 4.9, -1.0, 99.0], [4.5, 4.9, 3.0, 3.0])).all()
    assert ground.elevation(2.5, 2.5) == 50
    assert np.isnan(ground.slope_pct[5, 3]), "a neighbour of the hole"
    assert ground.slope_pct[6, 2] == 0
    assert np.isnan(ground.pad_slope_at(2.5, 2.5, 1.5)), "its disc reaches a cell without slope"
    assert ground.pad_slope_at(1.5, 1.5, 0.5) == 0


def test_law_the_pad_slope_of_a_place_is_that_of_its_cell() -> None:
    z = hill()
    z[3, 4] = np.nan
    ground = terrain(z)
    whole = ground.pad_slope(2.0)
    x, y = ground.grid.centres()
    each = [ground.pad_slope_at(float(a), float(b), 2.0) for a, b in zip(x.ravel(), y.ravel(), strict=True)]
    assert each == pytest.approx(whole.ravel(), rel=1e-6, nan_ok=True)
    assert np.isnan(whole).any()
    assert np.isnan(ground.pad_slope_at(-5.0, 1.0, 2.0)), "outside"


def test_law_a_terrain_is_known_by_its_heights_and_cells() -> None:
    assert terrain(hill()) == terrain(hill())
    assert hash(terrain(hill())) == hash(terrain(hill()))
    assert terrain(hill()) != terrain(hill(), cell_m=2.0)
    assert terrain(hill()) != terrain(hill(seed=8))
    with pytest.raises(ValueError, match="read-only"):
        terrain(hill()).elevation_m[0, 0] = 1


# --- profiles -------------------------------------------------------------------------------------------------------


def test_agrees_with_pythagoras_up_a_ramp() -> None:
    """A ramp of 75 %: 40 m level are 50 m over the ground (3-4-5)."""
    x, _ = Grid(0, 10, 1, 10, 60).centres()
    ground = terrain(0.75 * x)
    line = LineString([(10, 5), (50, 5)])
    distance, height = ground.profile(line, 7.0)
    assert distance[[0, -1]] == pytest.approx([0, 40])
    assert np.diff(distance).max() <= 7
    assert height[-1] - height[0] == pytest.approx(30, abs=1e-4)
    assert surface_steps(distance, height).sum() == pytest.approx(50, abs=1e-3)


def test_agrees_with_geodesic_over_level_ground() -> None:
    """geographiclib, a line of two kilometres: within the plane's 0.7 parts in a million."""
    ground = level_terrain((-1500, -1500, 1500, 1500), 10)
    ends = [(-1.0e3, -300.0), (850.0, 500.0)]
    (lon1, lat1), (lon2, lat2) = (PLANE.lonlat(*end) for end in ends)
    published = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"]
    assert surface_steps(*ground.profile(LineString(ends))).sum() == pytest.approx(published, rel=7e-7)


def test_refuses_a_profile_of_nothing() -> None:
    with pytest.raises(BadShape, match="line without length"):
        terrain(hill()).profile(LineString([(1, 1), (1, 1)]))
    with pytest.raises(BadValue, match=r"step along a line must be above 0 m; it is −1 m"):
        terrain(hill()).profile(LineString([(1, 1), (5, 1)]), -1)


# --- cells ----------------------------------------------------------------------------------------------------------


def test_law_outline_of_burned_cells_covers_the_shape() -> None:
    grid = Grid(-10, 10, 1, 20, 20)
    shape = Point(0.3, -0.2).buffer(5.1)
    burned = grid.burn([shape, None])
    outline = grid.outline(burned)
    assert outline.covers(shape)
    assert outline.area == pytest.approx(burned.sum())
    ragged = np.random.default_rng(3).random(grid.shape) < 0.5
    assert grid.outline(ragged).area == pytest.approx(ragged.sum())
    assert grid.outline(ragged).is_valid
    cells = np.flatnonzero(burned)
    assert (grid.cell_of(*grid.centre_of(cells)) == cells).all()
    assert grid.cell_of(10.0, 0.0) == -1


def test_law_a_large_window_gets_larger_cells() -> None:
    grid = grid_over((0, 0, 4000, 3001), 1.0)
    assert grid.size <= 1_000_000
    assert grid.cell_m == pytest.approx(3.4649, abs=0.01)
    assert grid.bounds[0] <= 0
    assert grid.bounds[2] >= 4000
    with pytest.raises(BadValue, match="width, a height and a cell above 0; they are 0 m"):
        grid_over((0, 0, 0, 5), 1.0)


# --- reading --------------------------------------------------------------------------------------------------------


def test_agrees_with_the_raster_read() -> None:
    z = hill()
    ground = read_terrain(on_plane(z), PLANE)
    assert ground.grid == Grid(-50, 40, 1, 80, 100)
    np.testing.assert_allclose(ground.elevation_m, z, atol=1e-3)
    assert ground.notes == ()


def test_agrees_with_real_ground_in_degrees() -> None:
    """The fault elevation model in degrees (its own bounds and cell), read onto a plane: heights at its cell centres,
    and the slope by numpy's central differences with the lengths of a degree from geographiclib.
    """
    data = get_sample_data("jacksboro_fault_dem.npz")
    z, step = data["elevation"], float(data["dx"])
    transform = Affine(step, 0, float(data["xmin"]), 0, -step, float(data["ymax"]))
    lon, lat = float(data["xmin"]) + 200.5 * step, float(data["ymax"]) - 150.5 * step
    plane = Plane(lon, lat)
    ground = read_terrain(geotiff(z, transform, "EPSG:4326"), plane, (-900, -900, 900, 900))
    assert {"terrain_coarse"} <= notes_of(ground)
    assert ground.coarse
    assert ground.grid.cell_m <= 5
    degree = Geodesic.WGS84.Inverse(lat, lon, lat, lon + step)["s12"], Geodesic.WGS84.Inverse(lat, lon, lat + step, lon)
    assert ground.source_cell_m == pytest.approx(np.sqrt(degree[0] * degree[1]["s12"]), rel=1e-3)
    for row in range(145, 157, 3):
        for column in range(196, 206, 3):
            x, y = plane.xy(float(data["xmin"]) + (column + 0.5) * step, float(data["ymax"]) - (row + 0.5) * step)
            assert ground.elevation(x, y) == pytest.approx(float(z[row, column]), abs=0.6)  # facets meet at a centre


def test_agrees_across_the_antimeridian() -> None:
    """A tilted raster that starts west of 180° and ends east of it, its longitudes running on to 180.02°."""
    step = 0.0001
    rows, columns = 200, 400
    tilt = np.tile(100 + 0.05 * np.arange(columns, dtype=np.float32), (rows, 1))
    raster = geotiff(tilt, Affine(step, 0, 179.98, 0, -step, 0.01), "EPSG:4326")
    ground = read_terrain(raster, Plane(-180.0, 0.0), (-500, -500, 500, 500))
    assert np.isfinite(ground.elevation_m).all()
    across = ground.elevation([-200.0, 200.0], [0.0, 0.0])
    assert np.diff(across)[0] == pytest.approx(400 / (111_319.49 * step) * 0.05, rel=1e-3)


def test_law_feet_are_read_as_feet() -> None:
    z = hill()
    metres = read_terrain(on_plane(z), PLANE).elevation_m
    for raster, unit in ((on_plane(z / 0.3048), "ft"), (on_plane(z / 0.3048, units="US survey foot"), None)):
        np.testing.assert_allclose(read_terrain(raster, PLANE, unit=unit).elevation_m, metres, atol=1e-2)


def test_law_feet_taken_for_metres_are_doubted() -> None:
    """A slope of 40 % in feet reads as 131 %."""
    x, _ = Grid(0, 60, 1, 60, 60).centres()
    assert "terrain_steep" in notes_of(read_terrain(on_plane(0.4 * x / 0.3048), PLANE))
    assert "terrain_steep" not in notes_of(read_terrain(on_plane(0.4 * x), PLANE))


@pytest.mark.parametrize("declared", [True, False])
def test_law_holes_are_counted_and_do_not_bleed(declared: bool) -> None:
    z = hill()
    z[20:30, 40:60] = -9999
    ground = read_terrain(on_plane(z, nodata=-9999) if declared else on_plane(z), PLANE)
    assert np.isnan(ground.elevation_m).sum() == 200
    assert np.nanmin(ground.elevation_m) > 480
    (note,) = (note for note in ground.notes if note.what == "terrain_holes")
    assert "200 of 8,000 cells (2.5%)" in note.told()
    raster = on_plane(z, nodata=-9999) if declared else on_plane(z)
    between_cells = read_terrain(raster, PLANE, (-49.96, -39.96, 49.96, 39.96)).elevation_m
    assert np.nanmin(between_cells) > 490, "no height is a mixture of ground and void"


def test_law_a_huge_raster_is_read_by_its_window() -> None:
    """10,000 × 10,000 cells, almost all of them not even stored; only the window is filled."""
    from rasterio.io import MemoryFile
    from rasterio.windows import Window

    transform = Affine(1, 0, -5000, 0, -1, 5000)
    profile = {"driver": "GTiff", "count": 1, "height": 10_000, "width": 10_000, "dtype": "float32", "nodata": -1}
    with MemoryFile() as memory:
        with memory.open(
            transform=transform, crs=PLANE.definition, tiled=True, compress="deflate", sparse_ok=True, **profile
        ) as file:
            file.write(np.full((1, 400, 400), 321, dtype=np.float32), window=Window(4800, 4800, 400, 400))
        ground = read_terrain(memory.read(), PLANE, (-150, -150, 150, 150))
    assert ground.grid == Grid(-150, 150, 1, 300, 300)
    assert (ground.elevation_m == 321).all()


def test_law_a_raster_that_covers_half_says_so() -> None:
    ground = read_terrain(on_plane(hill()), PLANE, (-50, -40, 150, 40))
    assert "does not cover 50%" in ground.notes[0].told()
    assert np.isnan(ground.elevation(120, 0))


def test_law_more_than_a_million_cells_are_thinned_and_said() -> None:
    ground = read_terrain(on_plane(hill(400, 300), 1.0), PLANE, max_cells=10_000)
    assert ground.grid.size <= 10_000
    (note,) = ground.notes
    assert note.what == "terrain_resampled"
    assert "3.4" in note.told()
    slightly = read_terrain(on_plane(hill(400, 300), 1.0), PLANE, max_cells=112_000)  # 4 % larger is said too
    assert "terrain_resampled" in {each.what for each in slightly.notes}
    assert ground.elevation(0, 0) == pytest.approx(float(hill(400, 300)[200, 150]), abs=0.2)


def test_refuses_rasters_in_one_sentence(tmp_path) -> None:
    here = Affine(1, 0, -40, 0, -1, 40)
    cases = {
        "has no coordinate system": geotiff(hill(), here, None),
        "1 × 1 cells": geotiff(hill()[:1, :1], here, PLANE.definition),
        "does not cover the site": geotiff(hill(), Affine(1, 0, 90_000, 0, -1, 40), PLANE.definition),
        "has no heights where the site lies": on_plane(np.full((9, 9), -9999.0), nodata=-9999),
        "lies nowhere near the site": geotiff(hill(), Affine(1e-5, 0, 45.1, 0, -1e-5, -122.3), "EPSG:4326"),
        "damaged or of another kind": b"not a raster at all",
    }
    for sentence, raster in cases.items():
        with pytest.raises(BadFile, match=sentence) as caught:
            read_terrain(raster, PLANE)
        assert "\n" not in str(caught.value)
    with pytest.raises(BadFile, match="damaged or of another kind"):
        read_terrain(tmp_path / "missing.tif", PLANE)
    with pytest.raises(BadFile, match="cut short or lacks a part"):
        read_terrain(on_plane(hill())[:3000], PLANE)
    with pytest.raises(BadFile, match="m or ft; the unit given is yards"):
        read_terrain(on_plane(hill()), PLANE, unit="yards")


@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 117.0])
def test_law_a_turned_raster_keeps_a_planes_slope(turn_deg: float) -> None:
    """A plane rising 7 % east and falling 12 % north slopes √(0.07² + 0.12²) = 13.892 % everywhere (Pythagoras),
    however the raster lies; sampled by plain arithmetic at the middle of every cell."""
    n, cos, sin = 300, 2 * np.cos(np.radians(turn_deg)), 2 * np.sin(np.radians(turn_deg))  # cells of 2 m
    turned = Affine(cos, sin, -(cos + sin) * n / 2, sin, -cos, (cos - sin) * n / 2)
    column, row = np.meshgrid(np.arange(n) + 0.5, np.arange(n) + 0.5)
    x = cos * column + sin * row + turned.c
    y = sin * column - cos * row + turned.f
    raster = geotiff((800 + 0.07 * x - 0.12 * y).astype(np.float32), turned, PLANE.definition)
    read = read_terrain(raster, PLANE, (-150, -150, 150, 150))
    assert np.abs(read.slope_pct - 13.892).max() < 0.02


@pytest.mark.parametrize("void", [0.0, 9999.0, 32767.0, -32768.0, 1e38])
def test_law_a_void_nobody_declared_is_not_known_ground(void: float) -> None:
    """A pond of 20 × 20 cells filled with a number far off the ground at 500 m: nothing there is a height, and no cell
    beside it is drawn towards it."""
    heights = np.full((100, 100), 500.0, dtype=np.float32) + np.arange(100, dtype=np.float32) / 10
    heights[40:60, 40:60] = void
    read = read_terrain(on_plane(heights), PLANE, (-50, -50, 50, 50))
    assert int(np.isnan(read.elevation_m).sum()) == pytest.approx(400, abs=90)
    assert float(np.nanmin(read.elevation_m)) >= 499.9
    assert float(np.nanmax(read.elevation_m)) <= 510.0
    assert "terrain_holes" in {note.what for note in read.notes}


@pytest.mark.parametrize(
    ("declared", "other"), [(-32768.0, -9999.0), (np.nan, -9999.0), (None, -9999.0), (-9999.0, 0.0)]
)
def test_law_a_second_void_beside_the_one_declared_is_not_known_ground(declared: float | None, other: float) -> None:
    """Two sheets joined, each with a void of its own: no cell is drawn towards either."""
    heights = np.full((100, 100), 500.0, dtype=np.float32) + np.arange(100, dtype=np.float32) / 10
    heights[20:30, 20:30], heights[40:60, 40:60] = -32768.0 if declared is None else declared, other
    content = on_plane(heights, nodata=declared)
    read = read_terrain(content, PLANE, (-50, -50, 50, 50))
    assert int(np.isnan(read.elevation_m).sum()) == pytest.approx(500, abs=180)
    assert float(np.nanmin(read.elevation_m)) >= 499.9
    assert float(np.nanmax(read.elevation_m)) <= 510.0


@pytest.mark.parametrize("unit", ["km", "yd", "percent", "degree"])
def test_law_a_unit_nobody_knows_is_asked_about(unit: str) -> None:
    heights = np.full((100, 100), 500.0, dtype=np.float32) + np.arange(100, dtype=np.float32) / 10
    content = on_plane(heights, units=unit)
    asked = [note.text for note in read_terrain(content, PLANE).notes if note.what == "terrain_unit"]
    assert [unit in tell(text) for text in asked] == [True]
    assert "terrain_unit" not in {note.what for note in read_terrain(content, PLANE, unit="m").notes}


def test_refuses_depths_and_a_picture_of_sixteen_bits() -> None:
    """EPSG 6357 counts depths below NAVD 88 (EPSG registry)."""
    heights = np.full((100, 100), 500.0, dtype=np.float32)
    with pytest.raises(BadFile, match="counts downwards"):
        read_terrain(geotiff(heights, Affine(1, 0, 500000, 0, -1, 4900000), "EPSG:26910+6357"), PLANE)
    with pytest.raises(BadFile, match="is a picture"):
        read_terrain(on_plane(np.stack([heights.astype("uint16")] * 3), photometric="RGB"), PLANE)


def test_law_a_cliff_is_no_void() -> None:
    """Two terraces 40 m apart stay what they are."""
    heights = np.where(np.arange(100) < 50, 500.0, 540.0).astype(np.float32) * np.ones((100, 1), dtype=np.float32)
    assert not np.isnan(read_terrain(on_plane(heights), PLANE, (-50, -50, 50, 50)).elevation_m).any()


def test_law_heights_of_no_said_unit_on_a_map_in_feet_are_asked_about() -> None:
    """EPSG 2269 measures places in feet and says nothing of heights: read as metres, and said; told, nothing is said.
    In EPSG 32610, in metres, there is nothing to ask."""
    plane = Plane(-122.0, 45.0)
    heights = np.full((200, 200), 2000.0, dtype=np.float32)

    def notes(crs: str, unit: str | None) -> set[str]:
        x, y = Transformer.from_crs("EPSG:4326", crs, always_xy=True).transform(-122.0, 45.0)
        raster = geotiff(heights, Affine(6, 0, x - 600, 0, -6, y + 600), crs)
        return {note.what for note in read_terrain(raster, plane, (-100, -100, 100, 100), unit).notes}

    assert "terrain_unit" in notes("EPSG:2269", None)
    assert "terrain_unit" not in notes("EPSG:2269", "ft")
    assert "terrain_unit" not in notes("EPSG:32610", None)


def test_law_a_block_of_nothing_stays_not_known_in_larger_cells() -> None:
    """Of four cells the mean of those known; where none is known there is no height, least of all 0 m."""
    z = np.full((4, 4), 500.0)
    z[:2, :2] = np.nan
    z[0, 2] = np.nan
    z[1, 2] = 530.0
    coarse = terrain(z).coarsened(2).elevation_m
    assert np.isnan(coarse[0, 0])
    np.testing.assert_allclose(coarse[[0, 1, 1], [1, 0, 1]], [510.0, 500.0, 500.0])


def test_law_two_by_two_cells_are_the_least_a_slope_needs() -> None:
    here = Affine(10, 0, -10, 0, -10, 10)
    assert read_terrain(geotiff(np.full((2, 2), 500.0), here, PLANE.definition), PLANE).elevation(0, 0) == 500.0
    for rows, columns in ((1, 2), (2, 1)):
        with pytest.raises(BadFile, match=f"{columns} × {rows} cells"):
            read_terrain(geotiff(np.full((rows, columns), 500.0), here, PLANE.definition), PLANE)


@pytest.mark.parametrize(
    ("unit", "part"), [("dm", 0.1), ("cm", 0.01), ("Centimeters", 0.01), ("mm", 0.001), ("m", 1.0)]
)
def test_law_a_raster_in_parts_of_a_metre_is_read_in_metres(unit: str, part: float) -> None:
    """Parts of a metre are exact (SI)."""
    heights = np.linspace(500.0, 510.0, 400).reshape(20, 20)
    read = read_terrain(on_plane(np.round(heights / part).astype(np.int32), units=unit), PLANE)
    assert np.nanmax(np.abs(read.elevation_m - heights)) < 0.6  # whole metres at the coarsest


def test_refuses_a_picture_as_elevation_and_doubts_heights_all_alike() -> None:
    with pytest.raises(BadFile, match="is a picture"):
        read_terrain(on_plane(np.full((20, 20), 100, dtype=np.uint8)), PLANE)
    with pytest.raises(BadFile, match="cannot be read"):
        read_terrain(b"", PLANE)
    level = read_terrain(on_plane(np.zeros((20, 20), dtype=np.float32)), PLANE)
    assert [note.what for note in level.notes] == ["terrain_alike"]
