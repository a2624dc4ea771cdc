"""Wood, packing, sorting, moisture, footprint and calibration against published values and small cases by hand."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
import scipy  # stats is dear to load: only where it is asked
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.slash import calibrate, dryness, footprint, moisture, packing, wood
from sitemap.telling import tell
from tests.properties import examples

PUBLISHED = Path(__file__).parents[1] / "published"
STEADY = examples(60)


def density_rows():
    with (PUBLISHED / "slash_wood_density.csv").open(encoding="utf-8") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", density_rows(), ids=lambda row: row["key"])
def test_published_density(row):
    """Hardy 1996 Table 2 (P), the US national list (P), IPCC 2006 Table 4.14 (S), as printed."""
    assert wood.density_of(row["key"])["value"] == float(row["density_kg_m3"])


def test_published_density_rows_bear_their_own_source():
    """The row names the publication its value was read in."""
    titles = {"hardy": "Hardy 1996", "national": "US national species list", "ipcc": "IPCC 2006"}
    for row in density_rows():
        assert titles[row["source"]] in wood.density_of(row["key"]).source


@pytest.mark.parametrize(
    ("latin", "expected"),
    # Names as Hardy 1996 Table 2 prints them (P) with its densities; Picea abies from the national list (P).
    [
        ("Thuja plicata", 310),
        ("Abies procera", 370),
        ("Picea sitchensis", 370),
        ("Pinus ponderosa", 380),
        ("Tsuga heterophylla", 420),
        ("Acer macrophyllum", 440),
        ("Pseudotsuga menziesii", 450),
        ("larix occidentalis", 480),
        ("Picea abies", 360),
    ],
)
def test_published_latin_names(latin, expected):
    assert wood.density_of(latin)["value"] == expected


def test_law_latin_names_are_each_one_wood():
    latin = [row["latin"] for row in tables.load("wood_density").values() if row.get("latin")]
    assert len(latin) == len(set(latin))


@pytest.mark.parametrize(("group", "expected"), [("softwood", 400), ("hardwood", 550), ("mixed", 450)])
def test_published_groups_as_the_field_page_has_them(group, expected):
    """Defaults for a blank, common practice, no source: softwood / hardwood / mixed 400 / 550 / 450 ± 12 %."""
    row = wood.density_of(group)
    assert (row["value"], row["spread"], row.evidence) == (expected, 0.12, "C")


def test_law_groups_lie_inside_their_species():
    """A group's default is no stranger to the species it stands for."""
    rows = tables.load("wood_density").values()
    for group in ("softwood", "hardwood"):
        species = [row["value"] for row in rows if row["group"] == group and row["rank"] == "species"]
        assert np.percentile(species, 25) <= wood.density_of(group)["value"] <= np.percentile(species, 75)


def test_published_mixture_by_hand():
    """Seven tenths ponderosa pine 380 and three tenths western juniper 450: 266 + 135 = 401 kg/m³."""
    assert wood.mixture_density([380.0, 450.0], [0.7, 0.3]) == pytest.approx(401)
    assert wood.mixture_density([580.0], [1.0]) == pytest.approx(580)


@STEADY
@given(st.lists(st.floats(200, 900), min_size=2, max_size=5), st.floats(0, 1))
def test_law_mixture_between_its_parts(densities, rotten):
    mixed = wood.mixture_density(densities, [1 / len(densities)] * len(densities))
    assert min(densities) - 1e-9 <= mixed <= max(densities) + 1e-9
    both = wood.with_rotten(mixed, rotten, 300.0)
    assert min(mixed, 300.0) - 1e-9 <= both <= max(mixed, 300.0) + 1e-9


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("ponderossa pine", "ponderosa pine"),
        ("juniper", "western juniper"),
        ("duglas fir", "Douglas-fir"),
        ("Oaks", "oak"),
        ("Pinus ponderossa", "ponderosa pine"),
    ],
)
def test_refuses_unknown_wood_and_offers_the_nearest(typed, offered):
    with pytest.raises(BadValue, match=f"{typed}.*nearest: .*{offered}.*softwood, hardwood, mixed"):
        wood.density_of(typed)


def test_refuses_wood_like_nothing_and_shares_that_are_no_whole():
    with pytest.raises(BadValue, match="type softwood, hardwood, mixed"):
        wood.density_of("xyzzy")
    with pytest.raises(BadValue, match=r"add up to 1; they add up to 0.9"):
        wood.mixture_density([580.0, 510.0], [0.5, 0.4])
    with pytest.raises(BadValue, match="must not be below 0"):
        wood.mixture_density([580.0, 510.0], [1.5, -0.5])


def test_published_sketches():
    """Field defaults 0.08 / 0.12 / 0.15 / 0.30 ± 40 % (C; the machine heap as Hardy 1996 for short needles, M)."""
    sketches = {"loose_brush": 0.08, "tops": 0.12, "machine_heap": 0.15, "stacked_poles": 0.30}
    for key, expected in sketches.items():
        row = packing.packing_of(key)
        assert row["value"] == expected
        assert (row["low"], row["high"]) == pytest.approx((0.6 * expected, 1.4 * expected))


def test_published_bulk_density():
    """Packing 0.10 to 0.25 of wood of 350 to 560 gives 35 to 140 kg dry/m³ (D)."""
    for ratio, density, expected in ((0.10, 350.0, 35), (0.25, 560.0, 140)):
        dry_t = packing.dry_mass(packing.wood_volume(10.0, ratio, 0.0), density)
        assert 1000 * dry_t / 10.0 == pytest.approx(expected)


@STEADY
@given(st.floats(0, 1), st.floats(0, 5), st.floats(0, 5))
def test_law_sorted_shares_make_the_whole(char, thick, fine):
    shares = packing.sorted_shares(char, (thick, fine))
    assert sum(shares) == pytest.approx(1)
    assert all(share >= -1e-12 for share in shares)


def test_refuses_packing_of_three_and_unknown_looks():
    with pytest.raises(BadValue, match=r"packing ratio.*between 0 and 0.9; it is 3"):
        packing.wood_volume(10.0, 3.0, 0.0)
    with pytest.raises(BadValue, match=r"packing ratio.*must be above 0"):
        packing.wood_volume(10.0, 0.0, 0.0)
    with pytest.raises(BadValue, match=r"loose_brush, tops.*it is 'heaped'"):
        packing.packing_of("heaped")
    with pytest.raises(BadValue, match="none, some, much"):
        packing.earth_of("lots")


def test_published_moisture_of_a_sample():
    """Briggs 1994 (P), printed to 1 %: 40.0 g green, 22.3 g kiln-dry, 19.4 g oven-dry → 106 %, 15 % of dry weight."""
    assert moisture.dry_basis((40.0 - 19.4) / 40.0) == pytest.approx(1.06, abs=0.005)
    assert moisture.dry_basis((22.3 - 19.4) / 22.3) == pytest.approx(0.15, abs=0.005)


def test_published_basis_pairs():
    """20 % dry basis = 16.7 % wet; 20 % wet = 25 % dry (D, printed to 0.1 %)."""
    assert moisture.wet_basis(0.20) == pytest.approx(0.167, abs=0.0005)
    assert moisture.dry_basis(0.20) == pytest.approx(0.25)


@STEADY
@given(st.floats(0, 2.9))
def test_law_basis_round_trip_and_conservation(u):
    assert moisture.dry_basis(moisture.wet_basis(u)) == pytest.approx(u, abs=1e-12)
    green = moisture.green_mass(10.0, u)
    assert green * moisture.wet_basis(u) == pytest.approx(green - 10.0, abs=1e-9)


def test_agrees_with_prediction_of_one_further_piece():
    """scipy.stats.t about the mean, widened by √(1 + 1/n): the textbook prediction of one further reading (M)."""
    readings = [14.0, 19.0, 23.0, 17.0, 25.0, 18.0]
    expected = scipy.stats.t(5, np.mean(readings), np.std(readings, ddof=1) * np.sqrt(7 / 6)).sf(20.0)
    assert dryness.share_too_wet(readings, 20.0) == pytest.approx(expected)
    assert dryness.share_too_wet([40.0, 41.0, 42.0], 20.0) > 0.9
    assert dryness.share_too_wet(readings, 25.0) < dryness.share_too_wet(readings, 20.0)


@pytest.mark.parametrize(
    ("value", "basis", "said"),
    [
        (140.0, "wet", "must stay below 100%; it is 140%; if it is of the dry weight"),
        (140.0, None, "needs its basis, .*only be of the dry weight"),
        (30.0, None, "of the dry weight or of the wet weight"),
        (350.0, "dry", "must lie between 0 and 3; it is 3.5"),
        (-1.0, "dry", "it is -0.01"),
    ],
)
def test_refuses_moisture_without_or_beyond_its_basis(value, basis, said):
    with pytest.raises(BadValue, match=said):
        moisture.as_dry_basis(value, basis)


def test_law_moisture_of_140_is_allowed_on_dry_basis():
    assert moisture.as_dry_basis(140.0, "dry") == pytest.approx(1.4)


def test_refuses_to_judge_by_one_reading():
    with pytest.raises(BadValue, match=r"At least 2 moisture readings .* there are 1"):
        dryness.share_too_wet([18.0], 20.0)


def test_agrees_with_shapely_footprints():
    """A drawn ellipse (circle of 1 m scaled, shapely's 4 × 64 corners) and a drawn rectangle."""
    ellipse = shapely.affinity.scale(shapely.Point(0, 0).buffer(1.0, quad_segs=64), 3.0, 2.0)
    assert footprint.typed_footprint("dome", 6.0, 4.0) == pytest.approx(ellipse.area, rel=1e-3)
    box = shapely.affinity.rotate(shapely.box(0, 0, 12, 5), 33)
    assert footprint.typed_footprint("ridge", 12.0, 5.0) == pytest.approx(box.area)
    assert footprint.sides_of(box) == pytest.approx((12, 5))


def test_law_footprints_that_differ_are_said():
    assert footprint.compare(100.0, 81.0) is None
    assert footprint.compare(125.0, 100.0) is None  # a quarter is still the same, a hair more is not
    assert footprint.compare(125.1, 100.0) is not None
    assert "2.5 times" in tell(footprint.compare(200.0, 80.0))


def test_published_packing_back_from_a_weight():
    """By hand: 100 m³ with a fifth earth, 400 kg/m³, 8 t dry → 8 / (80 × 0.4) = 0.25; two heaps by their sums."""
    assert calibrate.packing_from_weighed(8.0, 100.0, 400.0, 0.2) == pytest.approx(0.25)
    both = calibrate.packing_from_weighed(np.array([8.0, 2.0]), np.array([80.0, 40.0]), np.array([400.0, 400.0]))
    assert both == pytest.approx(10 / (120 * 0.4))


@STEADY
@given(st.floats(1, 500), st.floats(0.02, 0.8), st.floats(250, 700), st.floats(0, 0.5))
def test_law_calibration_undoes_the_chain(gross, ratio, density, earth):
    dry = packing.dry_mass(packing.wood_volume(gross, ratio, earth), density)
    assert calibrate.packing_from_weighed(dry, gross, density, earth) == pytest.approx(ratio)


def test_refuses_a_weight_no_heap_can_have():
    with pytest.raises(BadValue, match=r"limit is 0.9.*check their sizes"):
        calibrate.packing_from_weighed(10.0, 10.0, 500.0)
    with pytest.raises(BadValue, match="char yield"):
        calibrate.dry_mass_from_char(1.0, 150.0, 0.9)


def test_law_what_is_not_char_stock_may_be_fines_alone() -> None:
    assert packing.sorted_shares(0.7, (0.0, 1.0)) == pytest.approx((0.7, 0.0, 0.3))
    assert packing.sorted_shares(0.7, (0.0, 0.0)) == pytest.approx((0.7, 0.15, 0.15)), "halves where neither is known"
