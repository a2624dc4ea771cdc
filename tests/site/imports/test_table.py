"""Tables of a spreadsheet, pasted or as CSV."""

from __future__ import annotations

import csv
import io

import pytest

from sitemap.errors import BadFile
from sitemap.site.grid import columns
from sitemap.site.imports import bring, bring_text
from sitemap.site.imports.brought import Brought, counterparts, differences, keep
from sitemap.site.imports.headings import Column, column_of
from sitemap.site.kinds import KINDS
from sitemap.site.placing_text import settle
from sitemap.telling import tell
from tests.site.builders import site_of, thing

SITE = site_of()
US = site_of(site={"units": "us"})


def test_law_headings_are_read_with_and_without_units() -> None:
    same = ["Length (ft)", "length [ft]", "Length, ft", "LENGTH_ft", "length ft", "Length in ft", "Length (feet)"]
    assert [column_of(heading, "pile").key for heading in same] == ["length_m"] * len(same)
    assert {column_of(heading, "pile").unit for heading in same} == {"ft", "feet"}
    assert column_of("Length", "pile") == Column("length_m")
    assert column_of("length_m", "pile") == Column("length_m", "stored")
    assert column_of("Thickest piece (in)", "pile") == Column("thickest_cm", "in")
    assert column_of("Earth in it", "pile") == Column("soil")
    assert column_of("Length (kg)", "pile") is None
    assert column_of("Bearing (°)", "pile") == Column("bearing")
    assert column_of("", "pile") is None
    assert column_of("Longitud (m)", "pile") == Column("length_m", "m")  # one word in Spanish
    assert column_of("Longitud (°)", "pile") == column_of("Longitud", "pile") == Column("lon")


@pytest.mark.parametrize("kind", KINDS)
def test_law_every_key_and_label_is_a_heading(kind: str) -> None:
    """One schema drives grid and import: what the grid shows can be brought back."""
    for attribute in columns(kind, more=True):
        assert column_of(attribute.name, kind) == Column(attribute.name, "stored")
        assert column_of(attribute.label, kind) is not None


def test_law_what_fits_in_no_cell_is_no_heading() -> None:
    assert column_of("readings", "pile") is None
    assert column_of("profile", "hose_lay") is None


def test_law_a_table_in_feet_becomes_metres() -> None:
    """20 × 15 × 6 ft are 6.096 × 4.572 × 1.8288 m (NIST SP 811, S)."""
    text = "No\tShape\tLength (ft)\tWidth (ft)\tHeight (ft)\nP1\tdome\t20\t15\t6"
    (found,) = bring_text("pasted", text, SITE).candidates
    sizes = [found.feature.number(name) for name in ("length_m", "width_m", "height_m")]
    assert sizes == [6.096, 4.572, 1.8288]
    (plain,) = bring_text("pasted", text.replace(" (ft)", ""), US).candidates
    assert [plain.feature.number(name) for name in ("length_m", "width_m", "height_m")] == sizes


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_agrees_with_the_csv_writer(mark: str) -> None:
    """Quoted cells with the mark and a line break in them, as the standard library writes them (RFC 4180)."""
    out = io.StringIO()
    rows = [["Name", "Height", "Note"], ["P1", "2.5", f'two{mark} "three"\nfour']]
    csv.writer(out, delimiter=mark).writerows(rows)
    (found,) = bring("heaps.csv", out.getvalue().encode("utf-8-sig"), SITE).candidates
    assert found.feature.number("height_m") == 2.5
    assert found.feature.text("note") == rows[1][2]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_law_common_encodings_are_read(encoding: str) -> None:
    (found,) = bring("heaps.csv", "Name;Height\nMontón é;2,5".encode(encoding), SITE).candidates
    assert (found.feature.name, found.feature.number("height_m")) == ("Montón é", 2.5)


@pytest.mark.parametrize(
    "text",
    [
        "Name;Breite;Länge;Höhe (m)\nH;-35,4321;148,1234;2,5\n",  # sides of a heap too, in German
        "sep=;\r\nname;lat;lon;height (m)\r\nH;-35,4321;148,1234;2,5\r\n",  # as spreadsheets write it
        "Nome,Latitudine,Longitudine,Altezza\nH,-35.4321,148.1234,2.5\n",
        "Namn,Breddgrad,Längdgrad,Höjd\nH,-35.4321,148.1234,2.5\n",
        "Nimi,Leveysaste,Pituusaste,Korkeus\nH,-35.4321,148.1234,2.5\n",
        "Naam,Breedtegraad,Lengtegraad,Hoogte\nH,-35.4321,148.1234,2.5\n",
        "名前,緯度,経度,高さ\nH,-35.4321,148.1234,2.5\n",
        "name|lat|lon|height\nH|−35.4321|148.1234°|2.5\n",
    ],
)
def test_law_sheets_of_other_languages_and_programs_say_the_same(text: str) -> None:
    (found,) = settle(keep(SITE, bring("heaps.csv", text.encode(), SITE).candidates)).of_kind("pile")
    assert found.shape is not None
    assert (found.name, found.number("height_m"), found.shape.coords[0]) == ("H", 2.5, (148.1234, -35.4321))


def test_law_a_side_of_a_heap_is_no_degree_in_german_either() -> None:
    (found,) = bring("heaps.csv", "Name;Breite;Länge\nH;2,5;4\n".encode(), SITE).candidates
    assert (found.feature.number("width_m"), found.feature.number("length_m")) == (2.5, 4)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("<!DOCTYPE html><html><body>Log in</body></html>", "is a web page"),
        ('<?xml version="1.0"?><rows><row/></rows>', "XML of another kind"),
        ("%PDF-1.4\n1 0 obj", "is no text"),
    ],
)
def test_refuses_what_a_server_or_a_program_gives_in_place_of_a_file(text: str, told: str) -> None:
    with pytest.raises(BadFile, match=told):
        bring("heaps.csv", text.encode(), SITE)


def test_law_rows_of_several_kinds_are_told_apart() -> None:
    text = "Name,Kind,Height,Notes\nP1,,2,\nTall snag,,20,\nX,kiln spot,,by the gate\nY,pile,3,"
    found = bring_text("t", text, SITE).candidates
    assert [c.feature.kind for c in found] == ["pile", "hazard_tree", "kiln_spot", "pile"]
    assert found[1].feature.number("height_m") == 20


@pytest.mark.parametrize(
    ("heads", "row", "place"),
    [
        ("Name\tPlace", "P1\t44.05, -121.3", "44.05, -121.3"),
        ("Name\tLat\tLon", "P1\t44.05\t-121.3", "44.05, -121.3"),
        ("Name\tBearing\tPaces\tFrom", "P1\t120\t35\tGate", "bearing 120, 35 paces from Gate"),
        ("Name\tAzimuth\tDistance\tFrom", "P1\t120\t35\tGate", "bearing 120, 35 m from Gate"),
        ("Name\tAzimuth\tDistance (ft)\tFrom", "P1\t120\t35\tGate", "bearing 120, 35 ft from Gate"),
    ],
)
def test_law_the_place_is_kept_in_words(heads: str, row: str, place: str) -> None:
    (found,) = bring_text("t", f"{heads}\n{row}", SITE).candidates
    assert found.feature.values["place"] == place


def test_law_a_table_without_headings_is_read_in_the_order_of_the_grid() -> None:
    found = bring_text("t", "P1\tdome\t6\t5\t2\nP2\tcone\t4\t4\t2", SITE, kind="pile")
    assert [n.what for n in found.notes] == ["no_headings"]
    first = found.candidates[0].feature
    assert (first.name, first.choice("shape"), first.number("length_m"), first.number("height_m")) == (
        "P1",
        "dome",
        6.0,
        2.0,
    )


def test_law_a_bad_cell_is_said_at_its_row_and_the_rest_is_kept() -> None:
    text = "Name\tWidth\tHeight\tColour\n\nP1\t5\t12\tred\nP2\t2\t3\t\nP2\t1,234\t2\t"
    found = bring_text("t", text, SITE)
    said = {(n.row, n.column, n.what) for n in found.notes}
    assert said == {
        (0, "Colour", "unknown_column"),
        (3, "height_m", "very_high"),  # the line of the file, as a spreadsheet counts
        (3, "height_m", "higher_than_wide"),
        (4, "height_m", "higher_than_wide"),
        (5, "width_m", "bad_value"),
        (5, "name", "twice"),
    }
    assert "row 4" in next(tell(n.text) for n in found.notes if n.what == "twice")
    assert [c.feature.number("height_m") for c in found.candidates] == [12.0, 3.0, 2.0]
    assert found.candidates[0].feature.text("note") == "Colour: red"
    assert found.candidates[2].feature.values["width_m"] == "1,234"


def test_law_free_words_are_no_table() -> None:
    text = "The gate is locked, ask at the farm.\nSnow on the north side until March."
    assert bring_text("words.txt", text, SITE) == Brought("words.txt", words=text)


def test_law_a_name_on_the_site_is_filled_in_and_a_name_twice_gives_two() -> None:
    site = site_of(thing("p", name="P1", height_m=2.0))
    found = bring_text("t", "Name,Height,Width\nP1,3,4\nP1,5,6\nP2,1,2", site)
    old = counterparts(site, found.candidates)[0]
    assert old is not None
    assert differences(old, found.candidates[0].feature) == ("height_m",)
    kept = keep(site, found.candidates)
    assert [(f.name, f.number("height_m")) for f in kept.features] == [("P1", 3.0), ("P1", 5.0), ("P2", 1.0)]
    assert kept.get("p").shape is not None


def test_law_nothing_is_kept_twice_by_id() -> None:
    rows = "\n".join(f"P{n},2" for n in range(40))
    kept = keep(SITE, bring_text("t", f"Name,Height\n{rows}", SITE).candidates)
    assert len({f.id for f in kept.features}) == 40


@pytest.mark.parametrize(
    ("text", "told"),
    [("", "nothing in it"), ("\n \n", "nothing in it"), ("a\x00b", "no text"), ("a,b\n" * 3000, "2,000 rows")],
)
def test_refuses_tables_that_are_none(text: str, told: str) -> None:
    with pytest.raises(BadFile, match=told):
        bring_text("t.csv", text, SITE)
