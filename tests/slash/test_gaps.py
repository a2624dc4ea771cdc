"""What is unfinished or wrong on a Site: named in the notes, and the rest works."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.properties import examples
from tests.slash.builders import area, feature, line, note, pile, slash, whats


def test_refuses_nothing_heap_without_height_is_left_out():
    found = slash(pile("p1"), pile("p2", height_m=None))
    assert [item.id for item in found.items] == ["p1"]
    assert note(found.unknowns, "no_size").about == "p2"
    assert "height not known" in note(found.unknowns, "no_size").told()


def test_refuses_nothing_higher_than_wide_is_a_warning():
    found = slash(pile("p", height_m=5.0))
    assert note(found.unknowns, "higher_than_wide").about == "p"
    assert len(found.items) == 1


def test_refuses_unknown_wood_with_nearest_names_and_counts_on():
    found = slash(pile("p", wood="ponderossa pine"))
    assert "nearest: ponderosa pine" in note(found.unknowns, "unknown_wood").told()
    assert note(found.assumed, "density").about == "p"
    assert found.items[0].basis == "assumed"


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"moisture_pct": 140.0, "moisture_basis": "wet"}, "below 100%"),
        ({"moisture_pct": 140.0}, "needs its basis"),
        ({"readings": [{"moisture_pct": 30.0}]}, "needs its basis"),
    ],
)
def test_refuses_moisture_without_basis_and_leaves_green_open(values, said):
    found = slash(pile("p", **values))
    assert said in note(found.unknowns, "moisture").told()
    assert found.green_t is None
    assert found.dry_t.likely > 0


def test_refuses_shares_above_the_whole():
    found = slash(pile("p", char_stock_fraction=0.8, oversize_fraction=0.4, fines_fraction=0.4))
    assert "160%" in note(found.unknowns, "shares").told()
    assert found.char_stock_dry_t.likely == pytest.approx(0.5 * found.dry_t.likely)


def test_law_burned_heaps_are_out_and_still_teach():
    """A heap weighed, then burned, sets the packing of its look: 1.11167 t was 0.12, so 2 t is 0.2159."""
    found = slash(pile("p1"), pile("p2", status="burned", dry_t_weighed=2.0), pile("p3", status="cold"))
    assert [item.id for item in found.items] == ["p1"]
    assert found.dry_t.likely == pytest.approx(2.0, rel=1e-6)
    assert "P2, P3" in note(found.assumed, "burned").told()
    assert "0.216" in note(found.assumed, "packing_weighed").told()


def test_law_a_weight_overrides_the_size():
    found = slash(pile("p", dry_t_weighed=2.5))
    assert found.dry_t.likely == pytest.approx(2.5)
    assert found.items[0].basis == "measured"
    green = slash(pile("p", mass_green_t=3.0, moisture_pct=50.0, moisture_basis="dry"))
    assert green.dry_t.likely == pytest.approx(2.0)
    unclear = slash(pile("p", mass_green_t=3.0))
    assert "weighed_moisture" in whats(unclear.unknowns)
    assert unclear.dry_t.likely == pytest.approx(1.11167, abs=1e-5)


def test_refuses_a_weight_no_heap_can_have():
    found = slash(pile("p1"), pile("p2", dry_t_weighed=40.0))
    assert "bad_weight" in whats(found.unknowns)
    assert found.items[0].dry_t.likely == pytest.approx(1.11167, abs=1e-5)


def test_law_outline_gives_the_missing_sides():
    """A turned rectangle of 12 × 5 m on the ground, height typed: a ridge of π·12·5·2/4 m³."""
    drawn = shapely.affinity.rotate(shapely.box(0, 0, 12, 5), 30)
    found = slash(pile("p", drawn, shape="ridge", length_m=None, width_m=None))
    assert found.items[0].gross_m3.likely == pytest.approx(np.pi / 4 * 120, rel=1e-4)
    assert "size_from_outline" in whats(found.assumed)
    assert "footprint_differs" not in whats(found.unknowns)


def test_law_outline_against_typed_sizes():
    ellipse = shapely.affinity.scale(shapely.Point(0, 0).buffer(1.0), 3.0, 2.0)
    assert "footprint_differs" not in whats(slash(pile("p", ellipse)).unknowns)
    twice = shapely.affinity.scale(ellipse, 1.5, 1.5)
    found = slash(pile("p", twice))
    assert "2.2 times" in note(found.unknowns, "footprint_differs").told()
    assert found.dry_t.likely == pytest.approx(1.11167, abs=1e-5)


def test_law_overlapping_areas_count_once():
    """Two squares of 1 ha sharing half: 1.5 ha.

    +----+----+----+
    |  a |both|  b |
    +----+----+----+
    """
    found = slash(pile("p"), area("a", shapely.box(0, 0, 100, 100)), area("b", shapely.box(50, 0, 150, 100)))
    assert found.logged_area_ha == pytest.approx(1.5, rel=1e-5)
    assert {each.about for each in found.unknowns if each.what == "overlap"} == {"a", "b"}
    beside = slash(pile("p"), area("a", shapely.box(0, 0, 100, 100)), area("b", shapely.box(100, 0, 150, 100)))
    assert beside.logged_area_ha == pytest.approx(1.5, rel=1e-5)
    assert "overlap" not in whats(beside.unknowns)


def test_refuses_crossed_area_and_keeps_the_rest():
    bow_tie = shapely.Polygon([(0, 0), (100, 100), (100, 0), (0, 100)])
    found = slash(pile("p"), area("a", bow_tie), area("b", shapely.box(200, 0, 300, 100)))
    assert found.logged_area_ha == pytest.approx(1.0, rel=1e-5)
    assert note(found.unknowns, "bad_shape").about == "a"


def test_refuses_nothing_lines_without_area_add_nothing():
    found = slash(pile("p"), line("t", length_m=30.0, taped="horizontal", wood="oak", pieces=[{"diameter_cm": 9.0}]))
    assert found.dry_t.likely == pytest.approx(1.11167, abs=1e-5)
    assert found.dry_t_per_ha is None
    assert {"no_area", "no_logged_area"} <= whats(found.unknowns)


def test_refuses_nothing_sizes_too_small_are_none():
    """Half a centimetre is a slip; a ridge shorter than its rounded ends is counted as if they met, a dome."""
    assert "height not known" in note(slash(pile("p", height_m=0.005)).unknowns, "no_size").told()
    ends = {"width_b_m": 4.0, "height_b_m": 2.0}
    found = slash(pile("p", shape="rounded_ridge", length_m=3.0, **ends))
    assert "too_short" in whats(found.unknowns)
    assert found.items[0].gross_m3.likely == pytest.approx(np.pi / 6 * 4 * 4 * 2)


def test_refuses_nothing_odd_lines_are_named():
    found = slash(
        line("t1", length_m=30.0, area_ha=1.0),
        line("t2", area_ha=2.0, pieces=[{"diameter_cm": 9.0}]),
        line(
            "t3",
            length_m=30.0,
            pieces=[{"diameter_cm": 2.0, "wood": "oack"}],
            classes=[{"size_class": "thumb", "count": 5}, {"size_class": "logs", "count": 2}],
        ),
    )
    assert {"no_tally", "no_length", "areas_differ", "double_tally", "bad_class", "unknown_wood"} <= whats(
        found.unknowns
    )
    assert {"taped", "slope"} <= whats(found.assumed)
    assert found.dry_t.likely > 0


def test_law_a_line_that_crosses_nothing_counts_as_nothing_and_says_so():
    found = slash(line("t", length_m=30.0, taped="horizontal", pieces=[], area_ha=1.0))
    assert found.dry_t.likely == 0
    assert "nothing_crossed" in whats(found.unknowns)


def test_law_nothing_entered_is_not_known():
    found = slash()
    assert not found.counted
    assert found.dry_t_per_ha is None
    assert "no_slash" in whats(found.unknowns)


def test_law_without_a_plane_typed_sizes_still_count():
    found = slash(pile("p", shapely.Point(0, 0)), area("a", shapely.box(0, 0, 100, 100)), plane=None)
    assert found.dry_t.likely == pytest.approx(1.11167, abs=1e-5)
    assert found.logged_area_ha is None


def test_law_moisture_of_scattered_slash_is_that_of_the_heaps():
    tally = {"length_m": 30.0, "taped": "horizontal", "wood": "oak", "pieces": [{"diameter_cm": 9.0}], "area_ha": 1.0}
    found = slash(pile("p", moisture_pct=40.0, moisture_basis="dry"), line("t", **tally))
    assert found.green_t.likely == pytest.approx(1.4 * found.dry_t.likely)
    assert "scattered_moisture" in whats(found.assumed)


NUMBERS = st.one_of(st.none(), st.floats(-5, 40, allow_nan=False), st.just("x"), st.just(float("nan")), st.booleans())
ANY = st.fixed_dictionaries(
    {},
    optional={
        **{
            f"{name}{end}": NUMBERS
            for name in ("length_m", "width_m", "height_m", "packing_ratio", "soil_fraction", "char_stock_fraction")
            for end in ("", "_low", "_high")
        },
        **dict.fromkeys(
            ("width_b_m", "height_b_m", "length_b_m", "oversize_fraction", "fines_fraction", "moisture_pct"), NUMBERS
        ),
        **dict.fromkeys(("density_kg_m3", "rotten_fraction", "mass_green_t", "dry_t_weighed", "slope_pct"), NUMBERS),
        "shape": st.sampled_from(["dome", "rounded_ridge", "tapered_ridge", "block", "mean_block", "?"]),
        "section": st.sampled_from(["round", "triangle", 3]),
        "moisture_basis": st.sampled_from(["dry", "wet", "x"]),
        "wood": st.sampled_from(["oak", "", "zzz", 3]),
        "wood_mix": st.lists(
            st.fixed_dictionaries({"wood": st.sampled_from(["oak", "?"]), "share": NUMBERS}), max_size=2
        ),
        "readings": st.lists(st.fixed_dictionaries({"moisture_pct": NUMBERS, "basis": st.just("dry")}), max_size=2),
        "pieces": st.lists(st.fixed_dictionaries({"diameter_cm": NUMBERS, "rotten": st.booleans()}), max_size=3),
        "classes": st.lists(
            st.fixed_dictionaries(
                {"size_class": st.sampled_from(["thumb", "x"]), "count": NUMBERS, "length_m": NUMBERS}
            ),
            max_size=2,
        ),
        "status": st.sampled_from(["built", "burned", "?"]),
    },
)


@examples(150)
@given(st.lists(st.tuples(st.sampled_from(["pile", "windrow", "transect"]), ANY), min_size=1, max_size=3))
def test_law_whatever_is_entered_gives_finite_numbers(entered):
    """No entry, however wrong, raises; every figure is finite and not below zero."""
    shapes = {"pile": shapely.box(0, 0, 6, 4), "windrow": shapely.LineString([(0, 0), (20, 0)])}
    features = [
        feature(f"f{n}", shapes.get(kind, shapes["windrow"]), **{**values, "kind": kind})
        for n, (kind, values) in enumerate(entered)
    ]
    found = slash(*features, area("a", shapely.box(0, 0, 100, 100)))
    for figure in (found.dry_t, found.char_stock_dry_t, found.oversize_dry_t, found.fines_dry_t):
        assert np.all(np.isfinite(figure.values))
        assert np.all(figure.values >= -1e-9)
    for each in (*found.assumed, *found.unknowns):
        assert each.told().endswith(".")
        assert not each.told().endswith("..")


@pytest.mark.parametrize(
    "tally",
    [
        {"classes": "50 thumbs"},
        {"classes": {"thumb": "50"}},
        {"pieces": [{"diameter_cm": 9.0}, {"diameter_cm": "12"}]},
        {"classes": [{"size_class": "thumb", "count": -1}]},
    ],
)
def test_refuses_a_tally_that_cannot_be_read_instead_of_counting_nothing(tally):
    found = slash(pile("p"), line("t", length_m=30.0, taped="horizontal", area_ha=1.0, **tally))
    assert [item.id for item in found.items] == ["p"]
    assert note(found.unknowns, "unsound").about == "t"


def test_published_ridges_taped_by_height_or_by_width_alone():
    """Half frustum of a cone and the same with rounded ends (Hardy 1996, PNW-GTR-364 P; integrated numerically D)."""
    sizes = {"width_m": None, "height_m": None}
    tapered = slash(pile("p", shape="tapered_ridge", **(sizes | {"length_m": 7.0, "height_m": 1.2}), height_b_m=2.0))
    assert tapered.items[0].gross_m3.likely == pytest.approx(28.73510, rel=1e-6)
    rounded = slash(pile("p", shape="rounded_ridge", **(sizes | {"length_m": 10.2, "width_m": 2.4}), width_b_m=4.0))
    assert rounded.items[0].gross_m3.likely == pytest.approx(38.92224, rel=1e-6)
    assert "half_round" in whats(rounded.assumed)


def test_refuses_a_tally_of_unknown_classes_as_if_nothing_lay_there():
    """What was crossed is not known: neither zero nor said to be nothing."""
    found = slash(line("t", length_m=50.0, area_ha=1.0, classes=[{"size_class": "thum", "count": 3}]))
    assert found.items == ()
    assert "bad_class" in whats(found.unknowns)
    assert "nothing_crossed" not in whats(found.unknowns)
