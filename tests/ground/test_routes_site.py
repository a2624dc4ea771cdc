"""Which features of a site stand in the way, and what its machines may do."""

from __future__ import annotations

import json

import pytest

from sitemap.ground.plane import Plane
from sitemap.ground.travel import Machine
from sitemap.ground.ways import machine_of, obstacles_of
from sitemap.site.file import parse_site

POND = {"type": "Polygon", "coordinates": [[[0, 0], [0.001, 0], [0.001, 0.001], [0, 0]]]}
LINE = {"type": "LineString", "coordinates": [[0, 0], [0.001, 0.001]]}
POINT = {"type": "Point", "coordinates": [0.0005, 0.0005]}


def site_with(*features: tuple[str, dict | None], **member):
    drawn = [
        {"type": "Feature", "id": f"f{number}", "geometry": geometry, "properties": {"kind": kind}}
        for number, (kind, geometry) in enumerate(features)
    ]
    return parse_site(json.dumps({"type": "FeatureCollection", "site": {"format": 1, **member}, "features": drawn}))


def test_law_a_stream_stops_a_machine_but_not_a_hose() -> None:
    site = site_with(
        ("stream", LINE),
        ("structure", POND),
        ("water_source", POND),
        ("water_source", POINT),
        ("road", LINE),
        ("track", LINE),
        ("no_go", None),
        ("pile", POND),
    )
    plane = Plane(0.0, 0.0)
    machine, hose = obstacles_of(site, plane), obstacles_of(site, plane, hose=True)
    assert len(machine.closed) == len(hose.closed) == 2, "the building and the pond, not the tap"
    assert (len(machine.wet), len(hose.wet)) == (1, 0)
    assert (len(machine.tracks), len(machine.roads)) == (2, 1)
    assert machine.closed[0].bounds[2] == pytest.approx(111.32, abs=0.01)  # 0.001° on the equator, metres
    assert hash(machine) == hash(obstacles_of(site, plane))


def test_law_the_maker_goes_first_and_the_house_fills_in() -> None:
    site = site_with(equipment={"machines": [{"id": "m1", "name": "digger", "max_slope_pct": 22, "empty_km_h": 4}]})
    assert machine_of(site.item("machines", "m1")) == Machine(
        empty_km_h=4, loaded_up_pct=22, loaded_down_pct=22, empty_up_pct=22, empty_down_pct=22
    )
    assert machine_of(None) == Machine()
