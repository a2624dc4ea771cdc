"""Features as rows of text, rows of text as features."""

from __future__ import annotations

import pytest

from sitemap.site.grid import (
    blanks_text,
    columns,
    from_feet,
    headings,
    is_blank,
    notes_of,
    row_of,
    with_cells,
)
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site
from sitemap.telling import tell
from tests.site.builders import site_of, thing

US = {"units": "us"}


def pile(**values: object) -> Feature:
    return Feature.of("p", None, {"kind": "pile", **values})


def test_law_headings_carry_the_unit_of_the_system() -> None:
    assert headings("pile", "us")["length_m"] == "Length (ft)"
    assert headings("pile", "metric")["thickest_cm"] == "Thickest piece (cm)"
    assert next(iter(headings("pile", "metric"))) == "name"
    assert list(headings("pile", "metric"))[-1] == "place"


@pytest.mark.parametrize("kind", KINDS)
def test_law_every_kind_has_a_grid(kind: str) -> None:
    shown = {a.name for a in columns(kind)}
    assert shown <= {a.name for a in columns(kind, more=True)}
    assert all(a.type not in ("curve", "mapping") for a in columns(kind, more=True))


def test_law_a_row_is_typed_and_shown_in_the_units_of_the_site() -> None:
    """Twenty feet are 6.096 m (NIST SP 811)."""
    site = site_of(site=US)
    feature = with_cells(site, pile(), {"name": "P1", "length_m": "20", "shape": "dome", "wood": "Douglas fir"})
    assert feature.number("length_m") == 6.096
    assert row_of(site, feature, ("name", "length_m", "shape")) == {"name": "P1", "length_m": "20", "shape": "dome"}
    assert with_cells(site, feature, {"length_m": ""}).number("length_m") is None


def test_law_a_cell_that_cannot_be_read_is_kept_and_said() -> None:
    site = site_of()
    feature = with_cells(site, pile(width_m=4.0), {"height_m": "1,234", "shape": "egg", "length_m": "5"})
    assert (feature.values["height_m"], feature.values["shape"]) == ("1,234", "egg")
    assert (feature.number("height_m"), feature.choice("shape"), feature.number("length_m")) == (None, None, 5.0)
    notes = {note.column: tell(note.text) for note in notes_of(site, [feature])}
    assert set(notes) == {"height_m", "shape"}
    assert "decimal mark" in notes["height_m"]
    assert "none of dome" in notes["shape"]


def test_law_feet_in_a_column_of_metres_are_asked_about() -> None:
    """Heaps 12 m high. 12 ft are 3.6576 m (NIST SP 811)."""
    note = next(n for n in notes_of(site_of(), [pile(length_m=20, width_m=15, height_m=12)]) if n.what == "very_high")
    assert (note.row, note.column) == (1, "height_m")
    assert "12 m" in tell(note.text)
    assert "3.66 m" in tell(note.text)
    mended = from_feet(pile(length_m=20, width_m=15, height_m=12))
    assert mended.number("height_m") == 3.6576
    assert mended.number("length_m") == 6.096


def test_law_a_heap_higher_than_wide_and_a_number_twice_are_said() -> None:
    rows = [pile(name="P1", width_m=2, height_m=3), pile(name="P2"), pile(name="p1")]
    notes = notes_of(site_of(), rows)
    assert [(n.row, n.what) for n in notes] == [(1, "higher_than_wide"), (3, "twice")]
    assert "row 1" in tell(notes[1].text)


def test_law_a_sound_row_says_nothing() -> None:
    assert notes_of(site_of(), [pile(name="P1", length_m=6, width_m=5, height_m=2, shape="dome")]) == ()


def test_law_blank_cells_say_what_they_are_taken_as() -> None:
    said = blanks_text(pile(length_m=6, shape="cone"), "metric")
    assert "wood: mixed wood, 450 kg/m³" in said
    assert "earth in it: none to be seen, 3 %" in said
    assert "shape" not in said


def test_law_an_emptied_row_is_blank_and_a_placed_one_is_not() -> None:
    site = site_of(thing("a", name="P1"))
    assert is_blank(with_cells(site, pile(name="P1"), {"name": ""}))
    assert not is_blank(site.features[0].with_values(name=None))


def test_law_references_are_shown_by_name() -> None:
    kilns = {"equipment": {"kilns": [{"id": "k-9", "name": "Ring 5"}]}}
    site: Site = site_of(thing("s", "kiln_spot", name="K1"), site=kilns)
    spot = with_cells(site, site.features[0], {"kiln": "ring 5"})
    assert spot.text("kiln") == "k-9"
    assert row_of(site, spot, ("kiln",)) == {"kiln": "Ring 5"}


def test_law_what_a_cell_shows_is_not_written_back_rounded() -> None:
    """A tree trunk of 1/3 m shows as 0.333; typed over with the same, it stays a third."""
    site = site_of()
    feature = with_cells(site, pile(height_m=1 / 3), {"height_m": "0.333", "name": "P1"})
    assert feature.values["height_m"] == 1 / 3
    rich = Feature.of("t", None, {"kind": "transect", "pieces": [{"diameter_cm": 3.0, "wood": "oak"}]})
    assert with_cells(site, rich, {"pieces": "1 entered"}) == rich


def test_law_a_share_typed_in_a_column_of_percent_is_asked_about() -> None:
    """0.2 typed where % stand over the column is read as 0.2 %, a hundredth of the wood: asked, kept as typed."""
    site = site_of(thing("p", name="P1"))
    typed = with_cells(site, site.get("p"), {"packing_ratio": "0.2"})
    notes = [note for note in notes_of(site, (typed,)) if note.what == "very_low"]
    assert typed.number("packing_ratio") == pytest.approx(0.002)
    assert ["of 0.2%" in tell(note.text) and "it is 20%" in tell(note.text) for note in notes] == [True]
    assert not notes_of(site, (with_cells(site, site.get("p"), {"packing_ratio": "20"}),))
