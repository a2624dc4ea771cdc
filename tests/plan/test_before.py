"""The list before leaving home follows from what is missing."""

from __future__ import annotations

import pytest

from sitemap.plan.before import GROUPS, HEAPS_A_SHEET, MOST_SHEETS, before, heap_sheets
from sitemap.site.model import Site
from tests.site.builders import SQUARE, point, site_of, thing

LOOKED = {"kind": "structure", "within_m": 90, "who": "Ann", "when": "2026-11-01"}
ASKED = {"name": "Office", "date": "2026-11-01", "answer": "yes"}


def keys(site: Site, group: str) -> set[str]:
    return {item.key for item in before(site) if item.group == group}


def test_law_an_empty_site_misses_everything() -> None:
    site = site_of()
    assert keys(site, "fetch") == {"elevation", "picture", "area", "timezone", "known_place"}
    assert keys(site, "ask") == {"authority", "neighbour"}
    assert {"structure", "power_line", "stream", "property_line"} <= keys(site, "look")
    assert keys(site, "measure") == {"pace_count"}


def test_law_what_is_there_is_not_asked_for() -> None:
    site = site_of(
        thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]}),
        thing("g", "gate", name="Gate"),
        thing("r", "road", {"type": "LineString", "coordinates": SQUARE[:2]}),
        site={
            "files": {"terrain": {"name": "t.tif", "sha256": "x"}, "image": {"name": "i.tif", "sha256": "y"}},
            "timezone": "America/Denver",
            "crew": {"pace_m": 0.75},
            "asked": [{"whom": "authority", **ASKED}, {"whom": "neighbour", **ASKED}],
            "looked": [LOOKED, {**LOOKED, "kind": "road"}],
        },
    )
    assert keys(site, "fetch") == keys(site, "ask") == keys(site, "measure") == set()
    assert not {"structure", "road"} & keys(site, "look")


def test_law_a_look_too_short_or_without_a_name_does_not_count() -> None:
    for change in ({"within_m": 50}, {"who": None}, {"when": None}):
        entry = {key: value for key, value in {**LOOKED, **change}.items() if value is not None}
        assert "structure" in keys(site_of(site={"looked": [entry]}), "look")


def test_law_gaps_are_told_by_name() -> None:
    site = site_of(
        thing("p", name="P1", geometry=None, length_m=5, width_m=4),
        thing("q", name="P2", length_m=5, width_m=4, height_m=2, thickest_cm=9, moisture_pct=20),
        thing("k", "kiln_spot", name="K1", ground="peat"),
        thing("s", "water_source", name="Pond", source="pond"),
        thing("l", "power_line", {"type": "LineString", "coordinates": SQUARE[:2]}),
    )
    said = {item.key: item.text for item in before(site)}
    assert "P1" in said["sizes"]
    assert "P2" not in said["sizes"]
    assert "P1" in said["thickest"]
    assert "P1, P2" in said["how_full"]  # what the amount rests on most
    assert "P1, P2" in said["armfuls"]
    assert "P1" in said["places"]
    assert "K1" in said["under"]
    assert "Pond" in said["bucket"]
    assert "Pond" in said["lift"]
    assert "Pond" in said["permission"]
    assert {"line_owner", "stick"} <= said.keys()
    assert "moisture" not in said  # one heap was read


def test_law_a_tested_source_is_not_tested_again() -> None:
    link = {"source": "s", "spot": "k", "bucket_litres": 20, "bucket_seconds": 60, "lift_m": 3}
    tap = thing("s", "water_source", name="Tap", source="tap", permission="yes")
    said = {item.key for item in before(site_of(tap, site={"links": [link]}))}
    assert not {"bucket", "lift", "permission", "stick"} & said


@pytest.mark.parametrize(("heaps", "sheets"), [(0, 2), (10, 2), (16, 3), (40, 5)])
def test_law_there_is_room_for_every_heap_and_half_a_sheet_more(heaps: int, sheets: int) -> None:
    site = site_of(*(thing(str(n), name=f"P{n}", geometry=point()) for n in range(heaps)))
    assert heap_sheets(site) == sheets
    assert sheets * HEAPS_A_SHEET >= heaps + HEAPS_A_SHEET / 2


def test_law_of_very_many_heaps_as_many_sheets_are_printed_as_somebody_carries_and_it_says_so() -> None:
    """At the last that has room nothing is said; one heap more is."""
    held = MOST_SHEETS * HEAPS_A_SHEET
    for heaps, again in ((held, False), (held + 1, True)):
        site = site_of(*(thing(str(n), name=f"P{n}", geometry=point()) for n in range(heaps)))
        assert heap_sheets(site) == MOST_SHEETS
        for language in ("en", "es"):
            told = {item.key: item.text for item in before(site, language)}
            assert (str(heaps) in told.get("heap_sheets_again", "")) == again


def test_law_long_lists_are_cut_and_say_so() -> None:
    site = site_of(*(thing(str(n), name=f"P{n}") for n in range(40)))
    for language, tail in (("en", "and 28 more"), ("es", "y 28 más")):
        assert tail in {i.key: i.text for i in before(site, language)}["sizes"]


def test_law_groups_come_in_their_order() -> None:
    found = [GROUPS.index(item.group) for item in before(site_of())]
    assert found == sorted(found)


def test_law_the_print_list_counts_heaps_not_sheets() -> None:
    """Two sheets of ten."""
    told = {item.key: item.text for item in before(site_of(), "en")}
    assert "2 ×" in told["heap_sheets"]
    assert f"{2 * HEAPS_A_SHEET} heaps" in told["heap_sheets"]
