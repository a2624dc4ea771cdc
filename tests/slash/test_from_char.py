"""Wood share of a heap by the char it gave."""

from __future__ import annotations

import pytest

from sitemap.errors import BadValue
from sitemap.slash.from_char import packing_from_char
from sitemap.slash.packing import dry_mass, wood_volume


def test_agrees_with_the_chain_run_forwards() -> None:
    """100 m³ of heap, 20 % earth, packing 0.25, 400 kg/m³: 8 t (Hardy 1996 steps, P). All of it in the kiln at a yield
    of 0.20 and 150 kg/m³ gives 10.67 m³ of char (derived here, D)."""
    dry_t = dry_mass(wood_volume(100.0, 0.25, 0.2), 400.0)
    char_m3 = 1000 * dry_t * 0.20 / 150
    assert packing_from_char(char_m3, 100.0, 400.0, 0.2).likely == pytest.approx(0.25, rel=1e-12)
    assert packing_from_char(0.7 * char_m3, 100.0, 400.0, 0.2, 0.7).likely == pytest.approx(0.25, rel=1e-12)


def test_law_the_range_holds_the_yields_seen_and_a_weighed_bucket_narrows_it() -> None:
    """Yields of 14 to 25 % (derived here, D), so no better than a quarter either way."""
    rough = packing_from_char(2.0, 25.0, 400.0)
    weighed = packing_from_char(2.0, 25.0, 400.0, char_kg_m3=150.0)
    assert rough.likely == weighed.likely
    assert rough.low < weighed.low < weighed.likely < weighed.high < rough.high
    assert weighed.high / weighed.likely > 0.20 / 0.14 * 0.95


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"char_m3": 0.0}, "volume of char must be above 0 m³"),
        ({"kiln_fraction": 1.2}, "between 0 and 1"),
        ({"char_m3": 50.0}, "must lie between 0 and 0.9"),
        ({"char_m3": 12.01}, r"must lie between 0 and 0.9; it is 0.90075"),  # 12.01 m³ · 150 kg/m³ / 0.20 / 10,000 kg
        ({"char_kg_m3": -1.0}, "density of loose char"),
    ],
)
def test_refuses_what_no_heap_can_be(more: dict[str, float], told: str) -> None:
    with pytest.raises(BadValue, match=told):
        packing_from_char(**{"char_m3": 2.0, "gross_m3": 25.0, "density_kg_m3": 400.0, **more})


def test_law_the_likely_share_alone_says_what_no_heap_can_be() -> None:
    """0.89 by the figures above; draws of the same numbers lie beyond."""
    found = packing_from_char(11.87, 25.0, 400.0)
    assert found.likely == pytest.approx(0.89, abs=0.001)
    assert found.high > 0.9
