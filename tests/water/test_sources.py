"""What a source holds and where it lies: dug pond, nearest of several sources, altitude for suction."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from sitemap.geodesy.plane import Plane
from sitemap.site.model import Feature
from sitemap.telling import tell
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from sitemap.water.budget import stock_of
from sitemap.water.of_site import altitude_m
from sitemap.water.reading import source_of
from tests.water.test_of_site import POND, lay, need, water

DAY = dt.date(2026, 11, 25)
CUBIC_FOOT = 28.316846592  # [L]
SIDES = {"length_m": 30.48, "width_m": 21.336, "depth_m": 3.6576}
DUG = {"kind": "water_source", "name": "dug pond", "source": "pond", **SIDES}


def source(**values: object) -> Feature:
    return Feature.of("w", None, DUG | values)


def test_published_dug_pond_of_a_site() -> None:
    """Farm pond handbook example (P): 100 × 70 ft at the surface, 12 ft deep, sides 2:1, 44,256 ft³; all of it usable
    as entered, half of it where nothing was said (C)."""
    whole = stock_of(source_of(source(usable_fraction=1.0)), DAY)
    assert whole.litres is not None
    assert whole.litres[0] / CUBIC_FOOT == pytest.approx(44_256, abs=0.5)
    half = stock_of(source_of(source()), DAY)
    assert half.litres is not None
    assert half.litres[0] == pytest.approx(whole.litres[0] / 2)
    assert {note.what for note in half.assumed} == {"usable_fraction", "pond_shape"}
    assert any("2 to 1" in note.told() for note in half.assumed)
    assert np.std(half.litres[1:]) / np.mean(half.litres[1:]) == pytest.approx(0.3, rel=0.1)


def test_law_an_area_wins_over_sides_and_a_side_missing_is_not_known() -> None:
    """A third of area times depth where the area is known (D); one side alone tells nothing."""
    bowl = stock_of(source_of(source(area_m2=100.0, usable_fraction=1.0)), DAY)
    assert bowl.litres is not None
    assert bowl.litres[0] == pytest.approx(0.33 * 100 * 3.6576 * 1000)
    assert stock_of(source_of(source(width_m=None)), DAY).litres is None


def test_refuses_a_dug_pond_whose_sides_meet() -> None:
    """12 ft deep with 2:1 sides asks for 14.6 m of width."""
    shallow = stock_of(source_of(source(width_m=10.0)), DAY)
    assert shallow.litres is None
    assert any("sides of the pond meet" in note.told() for note in shallow.unknowns)


def test_law_a_dug_pond_is_budgeted() -> None:
    """Two ponds alike but for their depth: the one of 5 cm holds 16 m³ and half of it, the other too little."""
    dug = {key: value for key, value in POND.items() if key != "volume_l"}
    sides = {"length_m": 4.0, "width_m": 3.0}
    some = water(pond=dug | sides | {"depth_m": 0.7}).spots[0].quench
    little = water(pond=dug | sides | {"depth_m": 0.05}).spots[0].quench
    assert (some.verdict, little.verdict) == ("enough on paper", "short")
    assert "lacks" in tell(little.reason)


PLANE = Plane(7.0, 46.0)


def at(x: float, y: float, **values: object) -> Feature:
    lon, lat = PLANE.lonlat(x, y)
    place = {"type": "Point", "coordinates": [float(lon), float(lat)]}
    return Feature.of(f"w{x:g}", place, {"kind": "water_source", "source": "pond", **values})


def test_law_the_altitude_for_suction_is_that_of_the_raster_at_the_source() -> None:
    """Ground of 1,203 m in the west and 2,497 m in the east: the source in the west draws as at 1,210 m (next 10 m),
    beside one in the east the higher counts, a typed elevation wins; over a void or beside the raster none is known.
    """
    heights = np.full((100, 100), 1203.0, dtype=np.float32)
    heights[:, 50:] = 2497.0
    heights[:10, :] = np.nan
    ground = Terrain(Grid(-100.0, 100.0, 2.0, 100, 100), heights, 2.0)
    west, east, void, beside = at(-50, 0), at(50, 0), at(-50, 95), at(500, 0)
    assert altitude_m((west,), PLANE, ground) == 1210.0
    assert altitude_m((west, east), PLANE, ground) == 2500.0
    assert altitude_m((west, void, beside), PLANE, ground) == 1210.0
    assert altitude_m((void, beside), PLANE, ground) is None
    assert altitude_m((at(-50, 0, elevation_m=700), east), PLANE, ground) == 700.0
    assert altitude_m((west,), PLANE, None) is None


def test_law_a_second_farther_source_changes_no_best_line() -> None:
    """House rule: best over sources; a far one beside a near one takes nothing from it."""
    far = Feature.of("far", None, POND | {"name": "far pond"})
    alone = water([need()], [lay()]).spots[0].quench
    both = water([need()], [lay(source="far", length=180.0), lay()], more=[far]).spots[0].quench
    assert both.source == "w"
    assert both.minutes_to_quench == alone.minutes_to_quench


def test_law_sea_level_is_said_where_nobody_told_how_high_a_pump_draws() -> None:
    def said(**changes: object) -> bool:
        found = water(pond=POND | changes)
        return "altitude" in {note.what for note in (*found.assumed, *found.unknowns)}

    assert said()
    assert not said(suction_lift_m=None)  # no suction, no air pressure that matters
