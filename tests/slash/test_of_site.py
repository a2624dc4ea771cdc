"""The slash of a Site: sums, ranges and what a blank means."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap.slash.heaps import row_of
from sitemap.slash.lots import blocks
from sitemap.slash.reading import heap_of
from sitemap.slash.result import Said
from sitemap.telling import tell
from tests.properties import examples
from tests.slash.builders import area, feature, line, note, pile, slash, whats

STEADY = examples(80)


# --- small cases by hand


def test_published_one_heap_by_pocket_calculator():
    """π·6·4·2/6 = 25.1327 m³; less 3 % earth 24.3788; × 0.12 = 2.92545 m³ wood; × 380 kg/m³ = 1.11167 t dry.

    Figures: tops 0.12 and earth 3 % (field defaults, C), ponderosa pine 380 (Hardy 1996 Table 2, P).
    """
    found = slash(pile("p1"), area("a", shapely.box(0, 0, 100, 50)))
    (item,) = found.items
    assert item.gross_m3.likely == pytest.approx(25.1327, abs=1e-4)
    assert item.wood_m3.likely == pytest.approx(2.92545, abs=1e-4)
    assert item.dry_t.likely == pytest.approx(1.11167, abs=1e-5)
    assert item.char_stock_dry_t.likely == pytest.approx(0.667, abs=1e-3)
    assert item.oversize_dry_t.likely == pytest.approx(0.3335, abs=1e-3)
    assert item.fines_dry_t.likely == pytest.approx(0.1112, abs=1e-3)
    assert found.logged_area_ha == pytest.approx(0.5, rel=1e-5)
    assert found.dry_t_per_ha.likely == pytest.approx(2.2233, abs=1e-3)
    assert whats(found.assumed) == set()
    assert whats(found.unknowns) == {"no_moisture"}


def test_published_windrow_by_pocket_calculator():
    """Triangle 4 × 1.8 m, 50 m drawn: 180 m³; 8 % earth, loose brush 0.08, western juniper 450 → 5.9616 t dry."""
    row = {"kind": "windrow", "section": "triangle", "width_m": 4.0, "height_m": 1.8, "packing": "loose_brush"}
    drawn = feature("w", shapely.LineString([(0, 0), (30, 40)]), **row, soil="some", wood="western juniper")
    found = slash(drawn)
    assert found.items[0].gross_m3.likely == pytest.approx(180, rel=1e-5)
    assert found.dry_t.likely == pytest.approx(5.9616, rel=1e-5)
    typed = slash(drawn.with_values(length_m=25.0))
    assert typed.dry_t.likely == pytest.approx(5.9616 / 2, rel=1e-5)
    assert "typed_length" in whats(typed.assumed)


def test_published_scattered_slash_by_pocket_calculator():
    """Pieces 10, 5 cm sound at 380 and 20 cm rotten at 300 kg/m³ (Hardy 1996, P) on a 50 m level line, 2 ha.

    1.2337006 × (125 × 380 + 400 × 300)/50 = 4132.9 kg/ha = 4.1329 t/ha; on 2 ha 8.2658 t.
    """
    pieces = [{"diameter_cm": 10.0}, {"diameter_cm": 5.0}, {"diameter_cm": 20.0, "rotten": True}]
    found = slash(
        line("t", taped="horizontal", length_m=50.0, wood="ponderosa pine", pieces=pieces),
        area("a", shapely.box(0, 0, 200, 100)),
    )
    assert found.dry_t.likely == pytest.approx(8.2658, rel=1e-4)
    assert found.dry_t_per_ha.likely == pytest.approx(4.1329, rel=1e-4)
    assert found.items[0].wood_m3.likely == pytest.approx(2 * 1.2337006 * 525 / 50, rel=1e-4)
    # 20 cm is above the 15 cm of the published piece limit (J. Vis. Exp. 65543, P): 120,000 of 167,500 is oversize
    assert found.oversize_dry_t.likely / found.dry_t.likely == pytest.approx(120_000 / 167_500, rel=1e-6)


def test_published_counted_classes_and_slope():
    """20 thumb pieces over 6 ft of level line are 6.0823 short tons/acre (Brown 1974, S) = 13.635 t/ha.

    Along a 75 % slope 1.25 m of tape are 1 m level: the same count on 6 ft of tape weighs 1.25 times as much.
    """
    classes = [{"size_class": "thumb", "count": 20, "length_m": 1.8288}]
    level = slash(line("t", taped="horizontal", length_m=30.0, area_ha=1.0, classes=classes))
    assert level.dry_t.likely == pytest.approx(13.635, abs=2e-3)
    steep = slash(line("t", taped="slope", slope_pct=75.0, length_m=30.0, area_ha=1.0, classes=classes))
    assert steep.dry_t.likely == pytest.approx(1.25 * level.dry_t.likely)


def test_published_several_lines_weighted_by_length():
    """Two lines of one wood: the sum of all d² over the sum of all lengths (Van Wagner 1968, S)."""
    together = slash(
        line("t1", taped="horizontal", length_m=40.0, wood="oak", pieces=[{"diameter_cm": 12.0}], area_ha=1.0),
        line("t2", taped="horizontal", length_m=20.0, wood="oak", pieces=[{"diameter_cm": 9.0}], area_ha=1.0),
    )
    assert together.dry_t.likely == pytest.approx(1.2337006 * (144 + 81) * 580 / 60 / 1000)
    assert [item.id for item in together.items] == ["scattered_slash"]


def test_published_moisture_to_green():
    """50 % of the wet weight is 100 % of the dry weight (definition, P): green weighs twice the dry wood."""
    found = slash(pile("p", moisture_pct=50.0, moisture_basis="wet"))
    assert found.green_t.likely == pytest.approx(2 * found.dry_t.likely)
    readings = [{"moisture_pct": value, "basis": "dry", "date": "2026-05-01", "wood_c": 21.1} for value in (30, 40, 50)]
    old = [{"moisture_pct": 90, "basis": "dry", "date": "2026-03-01"}]
    read = slash(pile("p", readings=old + readings))
    assert read.green_t.likely == pytest.approx(1.4 * read.dry_t.likely)


# --- ranges


def test_published_error_budget():
    """Spread of one heap: 37 % as sketched, 24 % once heaps were weighed (D, judgement; ± 4 points)."""
    plain = slash(pile("p", wood="softwood"))
    assert np.std(np.log(plain.dry_t.values)) == pytest.approx(0.37, abs=0.04)
    weighed = slash(pile("p", wood="softwood"), pile("w", wood="softwood", dry_t_weighed=1.2))
    assert np.std(np.log(weighed.items[0].dry_t.values)) == pytest.approx(0.24, abs=0.04)


def test_law_common_errors_do_not_average_out():
    """Forty heaps: packing, density and sorting stay, shape and size average out; the range narrows, not to nothing."""
    one = slash(pile("p0"))
    many = slash(*(pile(f"p{n}") for n in range(40)))
    spread_one, spread_many = (np.std(np.log(found.dry_t.values)) for found in (one, many))
    common = np.std(np.log(draws_of_packing()))
    assert common - 0.03 < spread_many < spread_one
    assert many.dry_t.likely == pytest.approx(40 * one.dry_t.likely)


def draws_of_packing():
    """The packing's own spread, ± 40 % at the 10th and 90th percentile, drawn here without the tool."""
    z = np.random.default_rng(1).standard_normal(200_000)
    return np.exp(z * np.where(z < 0, -np.log(0.6), np.log(1.4)) / 1.2816)


def test_law_seeded_by_name():
    """Editing one heap leaves the draws of another; the same site twice gives the same numbers."""
    before = slash(pile("p1"), pile("p2"))
    after = slash(pile("p1", height_m=1.0), pile("p2"), pile("p0"))
    fresh = slash(pile("p2"))
    assert np.array_equal(fresh.items[0].dry_t.values, after.items[1].dry_t.values)
    assert np.array_equal(before.items[1].dry_t.values, after.items[1].dry_t.values)
    assert not np.array_equal(before.items[0].dry_t.values, before.items[1].dry_t.values)


def test_law_typed_range_is_the_range():
    typed = {"packing_ratio": 0.2, "packing_ratio_low": 0.16, "packing_ratio_high": 0.25}
    found = slash(pile("p", packing=None, **typed))
    (driver,) = [d for d in found.items[0].drivers if d.quantity == "packing"]
    assert driver.half_range == pytest.approx((0.25 - 0.16) / 2 / 0.2, rel=0.1)
    assert driver.basis == "measured"
    assert driver.about == "p"


def test_law_an_unknown_is_told_with_what_shares_it_where_that_says_more():
    told = [tell(driver.what) for driver in slash(pile("p", packing="loose_brush")).items[0].drivers]
    typed = [tell(driver.what) for driver in slash(pile("p", packing=None, packing_ratio=0.2)).items[0].drivers]
    assert "wood share of the heap (loose brush)" in told
    assert "wood share of the heap" in typed
    assert not any("()" in each or "(typed)" in each for each in (*told, *typed))


def test_law_drivers_name_the_widest_unknown():
    blank = slash(pile("p", packing=None, shape=None, char_stock_fraction=None))
    shares = [driver.share for driver in blank.items[0].drivers]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1)
    assert blank.items[0].drivers[0].quantity == "packing"
    assert {d.quantity: d.basis for d in blank.items[0].drivers}["shape"] == "assumed"
    assert blank.drivers[0].quantity == "packing"
    assert blank.items[0].basis == "assumed"
    assert slash(pile("p")).items[0].basis == "estimated"


@STEADY
@given(
    st.lists(st.tuples(st.floats(1, 20), st.floats(0.5, 8), st.floats(0.3, 6)), min_size=1, max_size=5),
    st.sampled_from(["oak", "softwood", None]),
    st.floats(0, 1),
)
def test_law_parts_make_the_whole(sizes, wood, char):
    """Char stock, oversize and fines make the dry mass, items make the sum, draw by draw; low ≤ likely ≤ high."""
    heaps = [
        pile(f"p{n}", length_m=a, width_m=b, height_m=c, wood=wood, char_stock_fraction=char)
        for n, (a, b, c) in enumerate(sizes)
    ]
    found = slash(*heaps)
    parts = found.char_stock_dry_t.values + found.oversize_dry_t.values + found.fines_dry_t.values
    assert np.allclose(parts, found.dry_t.values)
    assert np.allclose(sum(item.dry_t.values for item in found.items), found.dry_t.values)
    assert np.all(found.oversize_dry_t.values >= -1e-12)
    low, likely, high = found.dry_t.triple()
    assert 0 < low <= likely <= high


# --- blanks are said


def test_law_blanks_take_the_field_defaults_and_say_so():
    """Dome, tops 0.12, earth 3 %, mixed 450, 70 / 15 / 15 %: π·24·2/6... by hand 25.1327 × 0.97 × 0.12 × 0.45 t."""
    sizes = {"kind": "pile", "length_m": 6.0, "width_m": 4.0, "height_m": 2.0}
    found = slash(feature("p", None, **sizes))
    assert found.dry_t.likely == pytest.approx(25.1327 * 0.97 * 0.12 * 0.45, rel=1e-5)
    assert found.char_stock_dry_t.likely == pytest.approx(0.7 * found.dry_t.likely)
    assert found.oversize_dry_t.likely == pytest.approx(0.15 * found.dry_t.likely)
    low, likely, high = found.char_stock_dry_t.triple()
    assert low < 0.75 * likely
    assert high > 1.25 * likely
    assert whats(found.assumed) == {"shape", "packing", "earth", "density", "sorting"}
    assert {each.about for each in found.assumed} == {"p"}


def test_law_many_heaps_share_a_sentence_and_each_finds_it():
    found = slash(*(pile(f"p{n}", packing=None) for n in range(9)))
    notes = [each for each in found.assumed if each.what == "packing"]
    assert [each.about for each in notes] == [f"p{n}" for n in range(9)]
    assert len({each.told() for each in notes}) == 1
    assert "P0, P1, P2, P3, P4, 4 more" in notes[0].told()


@pytest.mark.parametrize(
    ("unsound", "says"),
    [
        ({"packing_ratio": 3.0}, "packing ratio"),
        ({"shape": "pyramid"}, "shape"),
        ({"soil_fraction": "0.1"}, "earth by volume"),
        ({"density_kg_m3": 0.38}, "density of the dry wood"),
    ],
)
def test_refuses_what_sets_the_mass_and_cannot_be(unsound, says):
    """A heap with a packing of 3 is not a heap of unknown packing: it stays out of the sums and is named."""
    found = slash(pile("p1"), pile("p2", **unsound))
    assert found.dry_t.likely == slash(pile("p1")).dry_t.likely
    assert note(found.unknowns, "unsound").about == "p2"
    assert says in note(found.unknowns, "unsound").told()


def test_law_mixture_and_rotten_wood():
    """0.7 × 380 + 0.3 × 450 = 401; a quarter rotten (300): 375.75 kg/m³ (Hardy 1996, national list, P)."""
    mix = [{"wood": "ponderosa_pine", "share": 0.7}, {"wood": "western_juniper", "share": 0.3}]
    plain = slash(pile("p")).dry_t.likely
    assert slash(pile("p", wood_mix=mix)).dry_t.likely == pytest.approx(plain * 401 / 380)
    assert slash(pile("p", wood_mix=mix, rotten_fraction=0.25)).dry_t.likely == pytest.approx(plain * 375.75 / 380)


def test_law_one_reading_of_a_meter_has_the_range_of_the_meter():
    """One reading of 40 % (dry basis) is good to ± 2 points (standard error), so P10 and P90 lie 1.2816 × 2 off."""
    read = slash(pile("p", readings=[{"moisture_pct": 40.0, "basis": "dry", "wood_c": 21.1}]))
    water = read.green_t.values / read.dry_t.values - 1
    assert water[0] == pytest.approx(0.40)
    assert np.percentile(water[1:], [10, 90]) == pytest.approx([0.40 - 0.02563, 0.40 + 0.02563], abs=0.002)
    apart = slash(
        pile("p", readings=[{"moisture_pct": value, "basis": "dry", "wood_c": 21.1} for value in (20.0, 40.0, 60.0)])
    )
    wide = apart.green_t.values / apart.dry_t.values - 1
    assert np.std(wide[1:]) == pytest.approx(
        0.20 / np.sqrt(3), rel=0.1
    )  # the scatter of the readings, where it is more


def test_law_counted_pieces_are_as_uncertain_in_volume_as_in_mass():
    """By class only the size of a piece is unknown: volume and mass move together, draw by draw."""
    counts = [{"size_class": "thumb", "count": 50}]
    found = slash(line("t", taped="horizontal", length_m=30.0, classes=counts, area_ha=1.0)).items[0]
    assert found.wood_m3.values / found.wood_m3.values[0] == pytest.approx(found.dry_t.values / found.dry_t.values[0])
    assert np.std(np.log(found.wood_m3.values[1:])) > 0.15


def test_law_no_order_of_a_file_makes_a_shared_error_look_better_known():
    """What one heap or line says and another leaves blank alike is known no better than by the worse of them."""
    heaps = [pile("a", packing="tops"), pile("b", packing=None)]
    tally = {"taped": "horizontal", "length_m": 30.0, "pieces": [{"diameter_cm": 12}]}
    lines = [line("s", wood="mixed", **tally), line("t", **tally)]
    for order in (1, -1):
        drivers = slash(*heaps[::order]).drivers
        assert {each.basis for each in drivers if each.quantity == "packing"} == {"assumed"}
        assert slash(*lines[::order], area("l", shapely.box(0, 0, 100, 100))).items[0].basis == "assumed"


def test_law_many_heaps_are_the_sum_of_each_alone():
    """Sums by lots in blocks against every heap reckoned by itself, over all that makes heaps differ."""
    heaps = [
        pile(
            f"p{n}",
            length_m=4.0 + n % 5,
            packing=("tops", "loose_brush", None)[n % 3],
            soil=("none", "much", None)[n % 4 % 3],
            rotten_fraction=0.2 if n % 7 == 0 else None,
            wood_mix=[{"wood": "oak", "share": 0.5}, {"wood": "softwood", "share": 0.5}] if n % 11 == 0 else None,
            soil_fraction=0.1 if n % 13 == 0 else None,
            char_stock_fraction=(0.6, 0.5, None)[n % 3],
            dry_t_weighed=1.5 if n % 50 == 49 else None,
            moisture_pct=40.0,
            moisture_basis="dry",
        )
        for n in range(200)
    ]
    found = slash(*heaps)
    for name in ("dry_t", "green_t", "char_stock_dry_t", "oversize_dry_t", "fines_dry_t"):
        alone = sum(getattr(item, name).values for item in found.items)
        assert getattr(found, name).values == pytest.approx(alone, rel=1e-12)


def test_agrees_with_numpy_how_large_each_heap_may_be():
    """What is found of a lot at once, one heap after another: its likely value, and NumPy's percentile of its draws."""
    heaps = [pile(f"p{n}", length_m=4.0 + n % 5, packing=("tops", "loose_brush")[n % 2]) for n in range(80)]
    weighed = [pile("w", dry_t_weighed=1.5), pile("no size", length_m=None, dry_t_weighed=2.0)]
    items = {item.id: item for item in slash(*heaps, *weighed).items}
    assert len(items) == 82
    assert items["no size"].large_m3 is None
    for item in items.values():
        assert item.large_t == pytest.approx(np.percentile(item.dry_t.values[1:], 90), rel=1e-12)
        if item.large_m3 is not None:
            gross = item.gross_m3.values
            assert item.large_m3 == pytest.approx((gross[0], np.percentile(gross[1:], 90)), rel=1e-12)


def test_agrees_with_numpy_what_an_error_of_one_heap_alone_is_worth():
    """Its variance [t²]: NumPy's, of the char stock when that input alone is drawn and all else is likely."""
    heaps = (pile("p"), pile("q", length_m=9.0, shape=None))
    (block,) = blocks([(heap_of(heap), None) for heap in heaps], ())
    assert block.own
    for own in block.own:
        row = row_of(*own.of, (), Said())
        each = next(each for each in row.inputs if each.stream == own.stream)
        char_t = next(item.char_stock_dry_t.likely for item in block.items if item.id == row.heap.id)
        assert own.variance == pytest.approx(np.var(char_t * each.factor / each.factor[0]), rel=1e-6)


def test_law_an_edit_makes_its_own_block_anew():
    """Of five hundred heaps one is edited, then one taken away: the items of nearly all others are the very same."""
    heaps = [pile(f"p{n}") for n in range(500)]
    before = slash(*heaps)
    after = slash(*heaps[:250], heaps[250].with_values(height_m=1.0), *heaps[251:])
    fewer = slash(*heaps[:250], *heaps[251:])
    kept = {id(item) for item in before.items}
    assert sum(id(item) not in kept for item in after.items) < 250
    assert sum(id(item) not in kept for item in fewer.items) < 250
    assert after.dry_t.likely == pytest.approx(before.dry_t.likely - before.items[250].dry_t.likely / 2)
