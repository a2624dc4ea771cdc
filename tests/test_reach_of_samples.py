"""The area of reach and a spot's own verdict say the same at places drawn by chance on the sample sites."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from sitemap.assessment import assess
from sitemap.site.file import read_site
from sitemap.site.on_plane import near_shape
from sitemap.siting.of_site import reaches_of
from sitemap.terrain.of_site import obstacles_of, terrain_of

SAMPLES = Path(__file__).parent.parent / "sample_sites"
SURE = {"enough on paper"}
TIGHT = {"enough on paper", "tight"}  # a cell tight at worst may hold a place that is not
OUT = {"short"}


@pytest.mark.parametrize("name", ["birch_shore", "farm_dam", "juniper_bench"])
def test_law_area_and_spot_never_disagree(name: str) -> None:
    """ENGINEERING 1.4, found lays only: without drawn lays, typed lifts and bucket tests, at places on open ground."""
    site = read_site(SAMPLES / f"{name}.geojson").with_member("links", [])
    terrain = terrain_of(site, str(SAMPLES / f"{name}.tif"))
    kept, *others = site.of_kind("kiln_spot")
    for feature in (*others, *site.of_kind("hose_lay")):
        site = site.without(feature.id)
    for kiln in site.equipment("kilns"):  # one kiln alone: what several share is no matter of the ground
        site = site.with_item("kilns", kiln.values.put(count=1))
    draw, asked = np.random.default_rng(11), 0
    while asked < 6:
        a = assess(site, terrain, on=dt.date(2026, 11, 25))
        assert a.plane is not None
        area = near_shape(site.of_kind("logged_area")[0], a.plane)
        assert area is not None
        low_x, low_y, high_x, high_y = area.bounds
        lon, lat = a.plane.lonlat(draw.uniform(low_x, high_x), draw.uniform(low_y, high_y))
        spot = kept.with_geometry({"type": "Point", "coordinates": [float(lon), float(lat)]})
        a = assess(site.put(spot.with_values(elevation_m=None)), terrain, on=dt.date(2026, 11, 25))
        place = near_shape(spot, a.plane)
        closed = obstacles_of(tuple(f for f in site.features if f.kind != "kiln_spot"), a.plane, True)
        if any(shape.distance(place) < 15 for shape in (*closed.closed, *closed.wet)):
            continue  # a spot drawn into water or a building is taken at its rim, the area says closed
        asked += 1
        for reach in reaches_of(a, a.source.item("kilns", spot.text("kiln"))):
            said = reach.at(place.x, place.y)
            word = next(
                entry.verdict
                for entry in a.spot(spot.id).water
                if (entry.source, entry.way, entry.line) == (reach.source_id, reach.way, "quench")
            )
            edge = {"tight"} if reach.area.distance(place) < 2 * reach.grid.cell_m else set()
            assert word in (OUT | edge if not said.reached else TIGHT if said.tight else SURE), (reach.way, said, word)
