"""Sizes in the wrong unit, and a raster in the wrong unit: said, and no kiln may be lit."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from sitemap import tables
from sitemap.assessment import Assessment, assess
from sitemap.between import slopes_of
from sitemap.day.raster import FEET, raster_checks
from sitemap.day.sizes import size_checks, unusual
from sitemap.geodesy.plane import Plane
from sitemap.safety.permission import Check
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import read_site
from sitemap.site.frozen import FrozenDict
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Feature, Item, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.terrain import Terrain
from sitemap.units import UNITS
from tests.safety.dangerous.safe_site import SafeSite
from tests.terrain.rasters import terrain

ROOT = Path(__file__).resolve().parents[2]
ATTRIBUTES = {
    f"{key}.{attribute.name}": attribute
    for key, kind in {**KINDS, **EQUIPMENT, **SECTIONS, **RECORDS}.items()
    for attribute in kind.attributes
}


@pytest.mark.parametrize("key", tables.load("usual_sizes"))
def test_law_a_usual_size_is_that_of_an_attribute_and_lies_within_what_a_field_takes(key: str) -> None:
    row, attribute = tables.load("usual_sizes")[key], ATTRIBUTES[key]
    assert row["unit"] == attribute.unit
    assert row["least"] < row["most"]
    assert attribute.fault([row["most"]] if attribute.type == "numbers" else row["most"]) is None


@pytest.mark.parametrize(
    "typed", [{"moisture_pct": 0.22}, {"readings": [{"moisture_pct": 14}, {"moisture_pct": 0.22}]}]
)
def test_law_a_share_typed_as_per_cent_is_asked_about(typed: dict[str, object]) -> None:
    """0.22 for 22 %: as typed the wood would be bone dry."""
    heap = Feature.of("h", None, {"kind": "pile", "name": "H", **typed})
    checks = size_checks(Site(features=(heap,)))
    assert [(check.about, check.verdict) for check in checks] == [("h", "unlikely size")]
    sound = Feature.of("h", None, {"kind": "pile", "name": "H", "moisture_pct": 22, "readings": [{"moisture_pct": 14}]})
    assert not size_checks(Site(features=(sound,)))


FEET_OR_INCHES = {  # what somebody reads off in US units, typed into a metric form: usual things of the trade
    "pile.height_m": 28.0,  # a machine heap of 28 ft
    "hoses.bore_mm": 1.5,  # 1½ in
    "nozzles.bore_mm": 0.5,
    "pumps.suction_bore_mm": 2.0,
    "pumps.max_head_m": 250.0,  # 250 ft
    "hazard_tree.height_m": 110.0,  # 110 ft
    "hoses.lengths_m": 200.0,  # 200 ft
    "nozzles.rated_pressure_kpa": 7.0,  # 7 bar
    "hoses.rated_kpa": 20.0,  # 20 bar
    "kilns.plate_thickness_mm": 0.1875,  # 3/16 in
}


@pytest.mark.parametrize("key", FEET_OR_INCHES)
def test_law_a_size_typed_in_another_unit_lies_outside_the_usual(key: str) -> None:
    row = tables.load("usual_sizes")[key]
    assert not row["least"] <= FEET_OR_INCHES[key] <= row["most"]
    assert UNITS[row["unit"]].metric != UNITS[row["unit"]].us


def test_law_a_size_that_was_measured_is_taken_as_it_is() -> None:
    odd = SafeSite().put("p1", height_m=9)
    assert "unlikely size" in {bar.verdict for bar in odd.assessed().decisions[1].because}
    measured = odd.put("p1", height_m_basis="measured")
    assert "unlikely size" not in {bar.verdict for bar in measured.assessed().decisions[1].because}


def doubts(site: Site, plane: Plane, ground: Terrain | None) -> tuple[Check, ...]:
    return raster_checks(site, plane, ground, dict(slopes_of(site.of_kind("kiln_spot"), plane, ground)))


def of(sample: str, unit: str | None = None) -> Assessment:
    site = read_site(ROOT / "sample_sites" / f"{sample}.geojson")
    ground = terrain_of(site, str(ROOT / "sample_sites" / f"{sample}.tif"), unit)
    return assess(site, ground, on=dt.date.fromisoformat(site.section("season").values["date"]))


@pytest.mark.parametrize("sample", ["juniper_bench", "farm_dam", "birch_shore"])
def test_law_a_raster_in_its_own_unit_is_not_doubted(sample: str) -> None:
    a = of(sample)
    assert a.plane is not None
    assert doubts(a.source, a.plane, a.terrain) == ()


def tilted(slope_pct: float, base_m: float) -> tuple[SafeSite, Terrain, Plane]:
    """The safe site on a slope to the east, and the ground under it."""
    site = SafeSite().put("k1", slope_pct=4).put("k2", slope_pct=4)
    plane = plane_of_site(site.site())
    assert plane is not None
    east = np.arange(-100.0, 100.0)
    heights = np.tile(base_m + east * slope_pct / 100, (200, 1))
    return site, terrain(heights, 1.0, -100.0, 100.0), plane


def test_law_slopes_three_times_those_typed_are_feet_read_as_metres() -> None:
    site, ground, plane = tilted(4 * FEET, 300.0)
    (check,) = doubts(site.site(), plane, ground)
    assert check.effect == "conditional"
    assert "feet read as metric" in check.told()
    _, true, _ = tilted(4.4, 300.0)
    assert doubts(site.site(), plane, true) == ()
    small = dataclasses.replace(true, elevation_m=(true.elevation_m * np.float32(0.3048)))
    (check,) = doubts(site.site(), plane, small)
    assert "the other way round" in check.told()


@pytest.mark.parametrize(
    ("typed", "says"), [(300.0, None), (984.0, "feet"), (91.4, "feet"), (420.0, "by what was typed")]
)
def test_law_a_height_typed_is_held_against_the_raster(typed: float, says: str | None) -> None:
    """300 m are 984 ft (0.3048 m to the foot, exact)."""
    site, ground, plane = tilted(4.0, 300.0)
    found = doubts(site.put("k1", elevation_m=typed).site(), plane, ground)
    assert [says in check.told() for check in found] == [True] * bool(says)


def test_law_an_unusual_size_is_said_beside_its_field_and_a_usual_one_is_not() -> None:
    """A heap 500 m long, also where it counts as measured; a hose of 1½ (inches) typed as millimetres."""
    heap = Feature.of("p", None, {"kind": "pile", "length_m": 500, "length_m_basis": "measured", "width_m": 4})
    hose = Item(FrozenDict({"bore_mm": 1.5}), EQUIPMENT["hoses"].attributes)
    crew = Entry(FrozenDict({"bucket_l": 20}), SECTIONS["crew"].attributes)
    asked = ((heap, "length_m"), (heap, "width_m"), (hose, "bore_mm"), (crew, "bucket_l"))
    said = {name: unusual(entry, entry.attribute(name)) for entry, name in asked}
    assert {name: why.code for name, why in said.items() if why is not None} == {
        "length_m": "day.unlikely_fact",
        "bore_mm": "day.unlikely_fact",
    }
