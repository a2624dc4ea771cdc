"""Whole sites from outside: slash, hectares, distances, kilns and the clock of the day.

No expected figure comes from the program: lengths and areas from geographiclib, the rest by pocket
calculator from published figures, the arithmetic beside each. Evidence letters as elsewhere: P, S, D, M, C.
"""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from tests.whole import BOX, HEAP, HERE, Place, at, line, off, point, polygon, report, thing

# A western, an austral, an arctic and two antimeridian sites, the seam of zones 10 and 11, the equator at Greenwich.
PLACES = [HERE, (172.0, -43.5), (16.0, 78.2), (179.9999, -16.5), (-179.9999, 66.5), (-120.0, 44.0), (0.0, 0.0)]

# ---------------------------------------------------------------- slash

WOOD = {"packing_ratio": 0.2, "soil_fraction": 0.1}


def test_published_heaps_windrow_and_hectares_of_a_whole_site() -> None:
    """Volumes by numerical integration (D), steps and densities of Hardy 1996 (P): gross · (1 − earth) · ratio · ρ."""
    sizes = {"length_m": 7, "width_m": 4, "height_m": 1.8}
    found = report(
        thing("logged_area", "area", polygon(at(0, 0), at(200, 0), at(200, 100), at(0, 100))),
        thing("pile", "a", point(at(20, 20)), shape="dome", wood="ponderosa pine", **sizes, **WOOD),
        thing("pile", "b", point(at(50, 20)), shape="Mound", wood="Douglas-fir", **sizes, **WOOD),
        thing("pile", "c", point(at(80, 20)), shape="cone", wood="western redcedar", **sizes, **WOOD),
        thing("windrow", "w", line(at(0, 60), at(50, 60)), section="triangle", wood="tanoak", width_m=4, height_m=1.8),
    )
    slash = found["slash"]
    expected = {
        # 26.38938 · 0.9 · 0.2 · 0.380     19.79203 · 0.18 · 0.450       13.19469 · 0.18 · 0.310
        "a": (26.38938, 1.805034),
        "b": (19.79203, 1.603154),
        "c": (13.19469, 0.736264),
        # 4 · 1.8 · 50 / 2 = 180 m³; blanks: earth none 0.03, look of tops 0.12: 180 · 0.97 · 0.12 · 0.580
        "w": (180.0, 12.15216),
    }
    for item in slash["items"]:
        gross, dry = expected[item["id"]]
        assert item["gross_m3"][1] == pytest.approx(gross, rel=2e-5)  # the meridians draw together over 60 m
        assert item["dry_t"][1] == pytest.approx(dry, rel=2e-5)
    total = 1.805034 + 1.603154 + 0.736264 + 12.15216  # 16.296612 t
    assert slash["dry_t"][1] == pytest.approx(total, rel=2e-5)
    # 200 m by 100 m by geodesics: 2.0000 ha, within 2e-5 of it by the convergence of meridians
    assert slash["dry_t_per_ha"][1] == pytest.approx(total / 2.0, rel=5e-5)
    assert slash["char_stock_dry_t"][1] == pytest.approx(0.7 * total, rel=2e-5)  # sorting 70 / 15 / 15 %, C
    for value in (slash["dry_t"], slash["dry_t_per_ha"], slash["char_stock_dry_t"]):
        assert value == sorted(value)


def test_published_line_intersect_on_a_slope() -> None:
    """Van Wagner 1968 (S): V = π²Σd²/8L; Σd² = 64 + 144 + 25 + 400 = 633 cm², 50 m taped along a slope of 40 %.

    1.2337006 · 633 / 50 · √1.16 = 16.82177 m³/ha; × 0.380 = 6.392272 t/ha (ponderosa pine, Hardy 1996, P).
    """
    pieces = [{"diameter_cm": d, "wood": "ponderosa pine"} for d in (8, 12, 5, 20)]
    found = report(
        thing("logged_area", "area", polygon(at(0, 0), at(200, 0), at(200, 100), at(0, 100))),
        thing("transect", "t", None, taped="slope", slope_pct=40, length_m=50, pieces=pieces),
    )
    assert found["slash"]["dry_t_per_ha"][1] == pytest.approx(6.392272, rel=1e-5)
    assert found["slash"]["dry_t"][1] == pytest.approx(2 * 6.392272, rel=1e-4)


@pytest.mark.parametrize(
    "tally",
    [
        {"classes": [{"size_class": "thumb", "count": 50}, {"size_class": "wrist", "count": 10}]},
        {"classes": {"thumb": 50, "wrist": 10}},
        {"size_classes": {"thumb": {"count": 50, "length_m": 15.24}, "10-h": 0, "wrist": 10}},
        {"counts": [{"class": "thumb", "number": 50}, {"class": "100-h", "number": 10}]},
    ],
)
def test_published_counts_by_size_class_however_they_are_written(tally: dict[str, Any]) -> None:
    """Brown 1974, INT-16 (S; s and a of the wrist M): 11.64·n·d²·s·a/L with L = 50 ft, × 2.2417 t/ha.

    11.64 · (50 · 0.289 · 0.48 · 1.13 + 10 · 2.76 · 0.40 · 1.13) / 50 = 4.728838 short tons per acre = 10.60064 t/ha.
    """
    found = report(thing("transect", "t", None, taped="horizontal", length_m=15.24, area_ha=1, **tally))
    assert found["slash"]["dry_t"][1] == pytest.approx(10.60064, rel=1e-5)
    said = {note["what"] for note in found["unknowns"] if note["about"] == "t"}
    assert said == {"not_placed", "no_moisture"}


@pytest.mark.parametrize("place", PLACES)
def test_agrees_with_geodesics_on_area_and_distance(place: Place) -> None:
    """geographiclib; kiln a ring of 1.5 m, so 0.75 m from its middle to its edge. The plane is true to 0.7 ppm (D)."""
    ring = [{"name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9}]
    corners = [at(e, n, place) for e, n in ((-100, -100), (100, -100), (100, 100), (-100, 100))]
    area = Geodesic.WGS84.Polygon()
    for lon, lat in corners:
        area.AddPoint(lat, lon)
    found = report(
        thing("logged_area", "area", polygon(*corners)),
        thing("kiln_spot", "k", point(place), kiln="Ring"),
        thing("structure", "west", point(off(place, 270, 120)), use="own"),
        thing("hazard_tree", "tree", point(off(place, 37, 60)), height_m=20),
        thing("pile", "heap", point(off(place, 180, 40)), shape="cone", length_m=2, width_m=2, height_m=1),
        equipment={"kilns": ring},
    )
    assert found["site"]["logged_area_ha"] == pytest.approx(abs(area.Compute()[2]) / 1e4, rel=1e-5)
    setbacks = {row["feature"]: row for row in found["spots"][0]["setbacks"]}
    assert setbacks["west"]["distance_m"] == pytest.approx(120 - 0.75, abs=2e-3)
    assert setbacks["tree"]["distance_m"] == pytest.approx(60 - 0.75, abs=2e-3)
    assert setbacks["tree"]["required_m"] == 20  # one tree length (D)
    # a heap 2 m long and wide is the circle through its corners, √2 m: how it lies is not known
    assert setbacks["heap"]["distance_m"] == pytest.approx(40 - math.sqrt(2) - 0.75, abs=2e-3)


# ---------------------------------------------------------------- kilns


def test_published_a_box_from_heap_to_quench_and_clock() -> None:
    """Yield 0.20, char 150 kg/m³, fill entered 0.85, 60 kg/h m², 275 L/m³ (all D or judgement), daylight NREL SPA (S).

    stock  π·8·6·2.5/6 · 0.95 · 0.2 · 0.380 · 0.7 = 3.175522 t
    char   2.4 · 1.2 · 0.9 · 0.85 = 2.2032 m³ a batch; feed 2.2032 · 150 / 0.20 = 1652.4 kg; rate 60 · 2.88 = 172.8 kg/h
    hours  1652.4 / 172.8 = 9.5625 from lighting to water, start-up and burn-down in it
    all    ⌈3175.522 / 1652.4⌉ = 2 batches; 3175.522 · 0.20 / 150 = 4.234029 m³ char, 635.1044 kg; ⌈4234.029 / 20⌉ = 212
    clock  sunset 19:13:58 at UTC−7; no steam an hour before it, water on an hour before that: 17:14
    """
    place = (-105.179, 39.742)
    found = report(
        thing("kiln_spot", "k", point(place), kiln="box", serves=["Heap"], quench_method="raked_and_sprayed"),
        thing("pile", "p", point(off(place, 90, 40)), name="Heap", **HEAP),
        equipment={"kilns": [BOX]},
        timezone="America/Phoenix",  # UTC−7 all the year, as the published times are
        on=dt.date(2015, 8, 2),
    )
    (kiln,) = found["kilns"]
    assert kiln["char_m3_per_batch"][1] == pytest.approx(2.2032)
    assert kiln["feed_dry_t_per_batch"][1] == pytest.approx(1.6524)
    assert kiln["feed_dry_t_per_h"][1] == pytest.approx(0.1728)
    assert kiln["hours_per_batch"][1] == pytest.approx(9.5625, rel=1e-5)
    assert kiln["quench_l_per_batch"][1] == pytest.approx(2.2032 * 275)
    assert kiln["batches"][1] == 2
    burn = found["burn"]
    assert burn["char_m3"][1] == pytest.approx(4.234029, rel=1e-5)
    assert burn["char_t"][1] == pytest.approx(0.6351044, rel=1e-5)
    assert (burn["buckets"][1], burn["bags"][1]) == (212, 7)  # 4234 L in bags of 703 L
    assert burn["quench_l"][1] == pytest.approx(2 * 2.2032 * 275)
    assert burn["reserve_l"] == pytest.approx(2.2032 * 275)  # one working quench, 400 L at least (C)
    moments = {key: dt.datetime.fromisoformat(kiln["clock"][key]) for key in ("water_on", "light_by", "last_thick")}
    assert abs(moments["water_on"] - dt.datetime.fromisoformat("2015-08-02T17:13:58-07:00")) < dt.timedelta(minutes=3)
    burning = (moments["water_on"] - moments["light_by"]).total_seconds() / 3600
    assert burning == pytest.approx(9.5625, abs=0.02)
    soak = (moments["water_on"] - moments["last_thick"]).total_seconds() / 60
    assert soak == pytest.approx(12 / 2 * 25, abs=1.01)  # the thickest piece, 12 cm


@pytest.mark.parametrize(
    ("kiln", "volume_m3"),
    [
        # prismatoid 0.9/6 · (2·2.88 + 2·1.6 + 2.4·0.8 + 2.0·1.2) (D)
        ({"shape": "trough", "length_m": 2.4, "width_m": 1.2, "length_bottom_m": 2.0, "width_bottom_m": 0.8}, 1.992),
        # 59 and 24 inches, 24 high: 563.5 L (D)
        ({"shape": "frustum", "diameter_m": 1.4986, "diameter_bottom_m": 0.6096, "height_m": 0.6096}, 0.5635),
        ({"shape": "frustum", "top_diameter_m": 1.4986, "bottom_diameter_m": 0.6096, "depth_m": 0.6096}, 0.5635),
        ({"shape": "ring", "diameter_m": 1.5}, 1.590431),  # π/4 · 1.5² · 0.9
    ],
)
def test_published_kiln_volumes(kiln: dict[str, Any], volume_m3: float) -> None:
    named = {"name": "Kiln", "height_m": 0.9, **kiln}
    if "depth_m" in kiln:
        del named["height_m"]
    found = report(thing("kiln_spot", "k", point(HERE), kiln="Kiln"), equipment={"kilns": [named]})
    assert found["kilns"][0]["char_m3_per_batch"][1] == pytest.approx(0.80 * volume_m3, rel=1e-4)


def test_law_daylight_at_the_ends_of_the_world() -> None:
    """Svalbard: no sunset in June, no sunrise in December; both are said, the rest works."""
    place = (16.0, 78.2)
    features = (
        thing("kiln_spot", "k", point(place), kiln="Box", quench_method="raked_and_sprayed"),
        thing("pile", "p", point(off(place, 90, 40)), **HEAP),
    )
    member = {"equipment": {"kilns": [BOX]}, "timezone": "Arctic/Longyearbyen"}
    for day, what in ((dt.date(2026, 6, 20), "no_sunset"), (dt.date(2026, 12, 20), "no_sunrise")):
        found = report(*features, on=day, **member)
        assert found["kilns"][0]["clock"] is None
        assert what in {note["what"] for note in found["unknowns"]}
        assert found["burn"]["batches"][1] == 2
    hours = report(*features, **member, season={"day_starts": "07:00", "day_ends": "20:00"})
    # the crew's own hours bound the day: 20:00 less an hour, less an hour
    assert hours["kilns"][0]["clock"]["water_on"] == "2026-06-20T18:00+02:00"
