"""Fuel verdict of a heap, and the units of the sentences."""

from __future__ import annotations

import re

import pytest

from sitemap.slash.of_site import slash_of
from tests.slash.builders import PLANE, line, note, pile, whats


def readings(*values, basis="wet", date="2026-11-20"):
    return [{"moisture_pct": value, "basis": basis, "date": date, "wood_c": 21.1} for value in values]


def heaps(*features):
    return slash_of(tuple(features), (), (), PLANE)


def item(**values):
    found = heaps(pile("p", **values))
    return found.items[0], found


@pytest.mark.parametrize(
    ("values", "fuel"),
    [
        ({}, "not known"),
        ({"readings": readings(12, 13, 14, 12)}, "ready"),
        ({"readings": readings(14, 17, 23, 16)}, "drying"),
        ({"readings": readings(19, 24, 23, 28)}, "wet"),
        ({"readings": readings(12, 13, 14, basis=None)}, "not known"),
        ({"readings": [*readings(12, 13, 14, 12), *readings(40, 42, date="2026-11-25")]}, "wet"),
        ({"readings": readings(11)}, "drying"),
        ({"moisture_pct": 12.0, "moisture_basis": "wet", "moisture_pct_basis": "measured"}, "ready"),
        ({"moisture_pct": 12.0, "moisture_basis": "wet"}, "drying"),
        ({"moisture_pct": 12.0, "moisture_basis": "wet", "moisture_pct_basis": "assumed"}, "not known"),
        ({"moisture_pct": 45.0, "moisture_basis": "wet"}, "wet"),
        ({"moisture_pct": 12.0}, "not known"),
    ],
)
def test_law_fuel_is_never_ready_where_nobody_measured(values, fuel):
    """House rule: 20 % of the wet weight, nine pieces of ten below it; blank is not known, never ready."""
    found, _ = item(**values)
    assert found.fuel == fuel


def bare(*values):
    """Readings nobody has said a basis of."""
    return [{"moisture_pct": value, "date": "2026-11-20", "wood_c": 21.1} for value in values]


@pytest.mark.parametrize(("counted", "water"), [("wet", 1 / 3), ("dry", 0.25), (None, None)])
def test_law_readings_without_a_basis_are_counted_as_the_heap_is(counted, water):
    """25 % of the wet weight is 25 parts of water to 75 of wood, of the dry weight 25 to 100; with neither said it is
    not known. A basis of its own wins, and one that cannot be read is not passed over."""
    found, slash = item(readings=bare(25.0, 25.0), moisture_basis=counted)
    if counted is None:
        assert found.green_t is None
        assert "moisture" in whats(slash.unknowns)
        return
    assert found.green_t.likely / found.dry_t.likely == pytest.approx(1 + water, rel=1e-9)
    own, _ = item(readings=readings(20.0, 20.0, basis="wet"), moisture_basis=counted)
    assert own.green_t.likely / own.dry_t.likely == pytest.approx(1.25, rel=1e-9)
    odd, _ = item(readings=readings(20.0, 20.0, basis="odd"), moisture_basis=counted)
    assert odd.green_t is None


def test_law_readings_too_wet_are_counted_and_said():
    found, slash = item(readings=readings(14, 17, 23, 16))
    assert note(slash.unknowns, "too_wet").told().startswith("P: 1 of 4 readings above 20% of the wet weight")
    assert 0.1 < found.share_too_wet < 0.5
    dry, quiet = item(readings=readings(12, 13, 14, 12))
    assert dry.share_too_wet < 0.1
    assert "too_wet" not in whats(quiet.unknowns)
    # 25 % of the dry weight is 20 % of the wet weight
    assert item(readings=readings(25.0, 25.0, basis="dry"))[0].share_too_wet == pytest.approx(0.5)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_law_sentences_follow_the_units_of_the_site(system):
    """House rule: what a person reads is in the units of the site; the figures stay metric."""
    odd = (
        pile("a", wood=None),
        pile("b", wood="xyzzy"),
        pile("c", height_m=5.0),
        pile("d", dry_t_weighed=90.0, packing=None),
        pile("e", readings=readings(14, 30), moisture_pct=None),
        pile("f", moisture_pct=140.0),
        pile("g", length_m=None),
        pile("h", shape="rounded_ridge", length_m=2.0, width_b_m=4.0),
    )
    bad = line("t", length_m=30.0, classes=[{"size_class": "huge", "count": 3}])
    found = slash_of(odd, (bad,), (), PLANE)
    texts = [each.told(system) for each in (*found.assumed, *found.unknowns)]
    other = r"\d (ft|in|lb|lb/ft³)\b|feet" if system == "us" else r"\d (lb|ft|in)\b"
    metric = r"\d (m|cm|m³|kg|kg/m³|t)\b|kg/m³|tonnes"
    for text in texts:
        assert text[0].isupper()
        assert text.endswith(".")
        assert len(re.findall(r"[.?!] ", text)) == 0, text
        if system == "us":
            assert not re.search(metric, text), text
        else:
            assert not re.search(other, text), text
    figure = {"metric": "450 kg/m³ ± 12%", "us": "28 lb/ft³ ± 12%"}[system]
    assert any(figure in text for text in texts)
