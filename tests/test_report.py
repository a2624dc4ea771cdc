"""The JSON report: its keys, its order, and what it says of kilns that may not burn where they stand."""

from __future__ import annotations

from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from tests.whole import BOX, HEAP, HERE, READY, at, line, off, point, polygon, report, thing

RING = {"id": "r", "name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9}
# The contract of the report, key by key; a list in it holds one example of its entries.
KEYS: dict[str, Any] = {
    "": "format made_with on site slash burn kilns spots sources assumed unknowns",
    "site": "name logged_area_ha",
    "slash": "dry_t green_t dry_t_per_ha char_stock_dry_t items",
    "slash.items": "id name kind gross_m3 dry_t basis",
    "burn": "batches days char_m3 char_t buckets bags quench_l reserve_l",
    "kilns": "id name spot batches hours_per_batch feed_dry_t_per_batch feed_dry_t_per_h char_m3_per_batch "
    "quench_l_per_batch clock",
    "kilns.clock": "light_by last_thick stop_feeding water_on checks",
    "spots": "id name verdict deciding checks setbacks water",
    "spots.checks": "check verdict effect about reason",
    "spots.setbacks": "feature kind distance_m error_m required_m margin_m verdict source",
    "spots.water": "source way line verdict flow_l_min nozzle_kpa route_m lift_m loads minutes_to_quench reason",
    "sources": "id litres_needed litres_there last_finish verdict",
    "assumed": "about what text",
    "unknowns": "about what text",
}


def whole() -> dict[str, Any]:
    return report(
        thing("structure", "far", point(at(0, 200)), use="own"),
        thing("pile", "p2", point(at(70, 0)), **HEAP),
        thing("structure", "near", point(at(0, 60)), use="own"),
        thing("kiln_spot", "k", point(HERE), kiln="Box", quench_method="raked_and_sprayed", serves=["p1", "p2"]),
        thing("pile", "p1", point(at(40, 0)), **HEAP),
        thing("water_source", "tank", point(at(-40, 0)), source="tank", volume_l=5000, **READY),
        equipment={"kilns": [BOX], "machines": [{"bucket_l": 80}]},
        timezone="America/Los_Angeles",
    )


def _at(found: Any, path: str) -> Any:
    for step in filter(None, path.split(".")):
        found = found[step][0] if isinstance(found[step], list) else found[step]
    return found


@pytest.mark.parametrize("path", KEYS, ids=lambda path: path or "whole")
def test_law_every_promised_key_is_there(path: str) -> None:
    assert set(KEYS[path].split()) <= set(_at(whole(), path))


def test_agrees_with_geodesics_on_every_feature_in_file_order() -> None:
    """geographiclib, from the circle through the box's corners; heaps as the circle through theirs."""
    (spot,) = whole()["spots"]
    rows = {row["feature"]: row for row in spot["setbacks"]}
    assert list(rows) == ["far", "p2", "near", "p1", "tank"][: len(rows)]
    for feature, place, radius_m in (
        ("far", (0, 200), 0.0),
        ("near", (0, 60), 0.0),
        ("p2", (70, 0), 5.0),
        ("p1", (40, 0), 5.0),
    ):
        lon, lat = at(*place)
        apart = Geodesic.WGS84.Inverse(HERE[1], HERE[0], lat, lon)["s12"]
        assert rows[feature]["distance_m"] == pytest.approx(apart - radius_m - (2.4**2 + 1.2**2) ** 0.5 / 2, rel=1e-5)
        assert rows[feature]["margin_m"] == pytest.approx(
            rows[feature]["distance_m"] - rows[feature]["required_m"], abs=2e-3
        )


def test_law_kilns_that_may_not_burn_are_counted_and_said() -> None:
    """A kiln among standing timber: its heap still has to be burned, so the sums keep it and the report says so."""
    wood = polygon(at(-300, -20), at(-200, -20), at(-200, 20), at(-300, 20))
    site = (
        thing("standing_timber", "wood", wood),
        thing("pile", "p1", point(at(40, 0)), name="East heap", **HEAP),
        thing("pile", "p2", point(at(-180, 0)), name="West heap", **HEAP),
        thing("kiln_spot", "good", point(HERE), kiln="Ring", serves=["p1"]),
        thing("kiln_spot", "bad", point(at(-250, 0)), kiln="Ring", serves=["p1", "p2"]),
    )
    found = report(*site, equipment={"kilns": [{**RING, "count": 2}]})
    assert [spot["verdict"] for spot in found["spots"]] == ["conditional", "ruled out"]
    assert [kiln["spot"] for kiln in found["kilns"]] == ["good", "bad"]
    assert found["burn"]["batches"][1] == sum(kiln["batches"][1] for kiln in found["kilns"])
    assert [note["about"] for note in found["assumed"] if note["what"] == "counted_as_if_moved"] == ["bad"]
    (waiting,) = [note for note in found["unknowns"] if note["what"] == "no_kiln_may_burn"]
    assert waiting["about"] == "bad"
    assert "West heap" in waiting["text"]
    assert "East heap" not in waiting["text"]


def test_law_a_row_of_rules_lists_the_setbacks_of_its_feature() -> None:
    """Edge to edge, from the rim of the kiln (0.75 m); a road of which nobody said how wide is taken 6 m wide."""
    road = line(at(-300, 50), at(300, 50))
    found = report(
        thing("road", "road", road, public=True),
        thing("kiln_spot", "k", point(HERE), kiln="Ring"),
        thing("no_go", "marsh", polygon(at(20, -5), at(30, -5), at(30, 5), at(20, 5))),
        thing("hazard_tree", "tree", point(off(HERE, 200, 90)), height_m=12),
        equipment={"kilns": [RING]},
    )
    rows = {row["feature"]: row for row in found["spots"][0]["setbacks"]}
    for feature, distance_m, required_m in (("road", 46.25, 30), ("marsh", 19.25, 0), ("tree", 89.25, 12)):
        assert rows[feature]["distance_m"] == pytest.approx(distance_m, abs=0.01)
        assert rows[feature]["required_m"] == required_m
