"""One more like another: what may be copied, and what belongs to the one it was seen, read or allowed at.

Against FIELD: a fact belongs to a place and a day; less knowledge never helps.
"""

from __future__ import annotations

import pytest

from sitemap.site.alike import ALIKE, described
from sitemap.site.kinds import KINDS
from sitemap.site.seen import FACTS
from tests.site.builders import site_of, thing


@pytest.mark.parametrize("kind", list(ALIKE))
def test_law_what_is_copied_stands_in_the_schema_and_is_no_fact_of_a_place(kind: str) -> None:
    assert all(KINDS[kind].attribute(name) is not None for name in ALIKE[kind])
    assert set(ALIKE[kind]).isdisjoint(FACTS.get(kind, ()))
    assert set(ALIKE[kind]).isdisjoint({"note", "status", "position_error_m", "elevation_m", "permission", "hose"})


def test_law_what_others_own_is_copied_in_nothing() -> None:
    """A shed of one's own says nothing of the next shed: its blank takes the careful value."""
    others = [kind.key for kind in KINDS.values() if kind.group == "What a fire must keep clear of"]
    assert others
    assert ALIKE.keys().isdisjoint(others)


def test_law_a_heap_like_another_has_its_sizes_and_wood_and_none_of_its_readings() -> None:
    said = {"shape": "ridge", "length_m": 6.0, "wood": "ponderosa pine", "packing": "loose_brush", "thickest_cm": 20}
    own = {
        "note": "by the gate",
        "status": "burned",
        "moisture_pct": 15,
        "moisture_basis": "dry",
        "readings": [{"moisture_pct": 15, "basis": "dry", "date": "2026-11-20"}],
        "month_felled": "2025-03",
        "covered": True,
        "turned_on": "2026-05-01",
        "dry_t_weighed": 3.0,
        "staged_feed": True,
        "seen": {"*": {"on": "2026-11-20"}},
    }
    (heap,) = site_of(thing("p", name="P1", **said, **own)).features
    assert described(heap) == said


def test_law_nobody_has_measured_the_second_one() -> None:
    measured = {"length_m": 6.0, "length_m_low": 5.9, "length_m_high": 6.1, "length_m_basis": "measured"}
    taken_so = {"width_m": 4.0, "width_m_low": 3.9, "width_m_high": 4.1}  # a range alone says the same
    guessed = {"height_m": 2.0, "height_m_low": 1.0, "height_m_high": 4.0, "height_m_basis": "assumed"}
    (heap,) = site_of(thing("p", **measured, **taken_so, **guessed)).features
    assert described(heap) == {
        "length_m": 6.0,
        "length_m_basis": "estimated",
        "width_m": 4.0,
        "width_m_basis": "estimated",
        **guessed,
    }
