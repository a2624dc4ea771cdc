"""Tables as spreadsheets and hands of many countries write them: read rightly, or refused in a sentence."""

from __future__ import annotations

import pytest

from sitemap.errors import BadFile, BadValue
from sitemap.geodesy.coordinates import parse
from sitemap.site.cells import number_of
from sitemap.site.imports import bring, bring_text
from sitemap.site.imports.brought import keep
from sitemap.site.imports.looking import notes_at
from sitemap.site.model import Feature
from sitemap.site.placing_text import settle
from tests.site.builders import site_of

SITE = site_of()


def things(text: str, kind: str | None = None) -> tuple[Feature, ...]:
    """What a pasted table puts on an empty site."""
    return settle(keep(SITE, bring_text("t.csv", text, SITE, kind).candidates)).features


def codes(text: str) -> list[tuple[int, str]]:
    """Row and code of everything that is said of a pasted table."""
    return [(note.row, note.text.code) for note in notes_at(SITE, bring_text("t.csv", text, SITE))]


def lon_lat(feature: Feature) -> tuple[float, ...]:
    """The place of a point."""
    return tuple(feature.geometry["coordinates"])  # type: ignore[index]


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1.23E+02", 123.0),
        ("6,5E+00", 6.5),
        ("1E-1 m", 0.1),
        ("1.5E+01 ft", 4.572),
        ("1'234.5", 1234.5),
        ("1’234", 1234.0),
        ("6'6", 1.9812),
        ("6' 11.5\"", 2.1209),
    ],
)
def test_law_powers_of_ten_and_marks_of_thousands(text: str, metres: float) -> None:
    """Feet and inches by NIST SP 811 (S); what spreadsheets write from memory."""
    assert number_of(text, "m", "metric") == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize("text", ["6'13", "6'120\"", "1.2E+400"])
def test_refuses_inches_that_fill_a_foot_and_numbers_beyond_all(text: str) -> None:
    with pytest.raises(BadValue):
        number_of(text, "m", "metric")


def test_law_a_place_cut_short_by_a_spreadsheet_is_refused_and_a_whole_one_is_read() -> None:
    """4.51E+01 says a latitude to 0.1°, some 11 km."""
    assert parse("4.512345E+01, -1.2234567E+02") == (-122.34567, 45.12345)
    assert parse("10T 5.00000E+05 4.982950E+06") == parse("10T 500000 4982950")
    for text in ("4.51E+01, -1.223E+02", "10T 5.0E+05 4.98E+06"):
        with pytest.raises(BadValue, match="spreadsheet"):
            parse(text)
    head = "Name,Easting (UTM 10N),Northing\n"
    (found,) = things(f"{head}P1,5.00000E+05,4.982950E+06")
    assert lon_lat(found) == pytest.approx(parse("10T 500000 4982950"), abs=1e-6)
    assert things(f"{head}P1,5.0E+05,4.98E+06")[0].geometry is None
    assert codes(f"{head}P1,5.0E+05,4.98E+06") == [(2, "geodesy.shortened")]


@pytest.mark.parametrize(
    ("head", "cell"),
    [
        ("Lat/Lon", "45.1, -122.3"),
        ("lat lon", "45.1 -122.3"),
        ("Position (lat/lon)", "45.1; -122.3"),
        ("GPS coordinates (Lat, Long)", "45°06'N 122°18'W"),
        ("Latitud y longitud", "45.1, -122.3"),
        ("Lon/Lat", "-122.3, 45.1"),
        ("Longitude, Latitude", "-122,3 45,1"),
        ("Position (lon lat)", "(-122.3;45.1)"),
        ("long_lat", "-122.3,45.1"),
        ("X/Y", "-122.3 45.1"),
        ("Lon/Lat", "122°18'W 45°06'N"),
        ("Coordinates (WGS84)", "45.1, -122.3"),
    ],
)
def test_law_both_halves_in_one_cell_go_by_their_heading(head: str, cell: str) -> None:
    (found,) = things(f'Name\t{head}\tLength (m)\nP1\t"{cell}"\t6')
    assert lon_lat(found) == pytest.approx((-122.3, 45.1))


def test_refuses_a_pair_whose_halves_cannot_be_told_apart() -> None:
    for cell in ("13,345,52", "13.3 52.1 7"):
        (found,) = things(f"Name\tLon/Lat\nP1\t{cell}")
        assert found.geometry is None


def test_law_a_width_and_a_length_are_no_place() -> None:
    """German has one word for latitude and width."""
    (found,) = things("Name\tLänge/Breite\tLength (m)\nP1\t6,5 4,2\t6")
    assert found.geometry is None
    assert not found.has("place")


def test_law_decimal_commas_in_cells_of_their_own() -> None:
    (found,) = things("Nome;Latitude;Longitude;Comprimento (m)\nP1;45,1;-122,3;6,5")
    assert lon_lat(found) == (-122.3, 45.1)
    assert found.number("length_m") == 6.5


def test_law_a_point_parts_thousands_where_the_others_have_decimal_commas() -> None:
    head = "Name;Type;Length (m);Water in it (L)\n"
    text = f"{head}A;tank;6,5;1.500\nB;tank;6,5;12.500,5"
    assert [each.number("volume_l") for each in things(text)] == [1500.0, 12500.5]
    assert (2, "site.point_of_thousands") in codes(text)
    assert things(f"{head}A;tank;6.5;1.500")[0].number("volume_l") == 1.5


def test_law_a_word_for_the_place_hides_no_coordinates() -> None:
    (found,) = things("Name,Location,Lat,Lon\nP1,upper landing,45.1,-122.3")
    assert lon_lat(found) == (-122.3, 45.1)
    assert "upper landing" in str(found.values["note"])
    (gridded,) = things("Name,Location,Easting (UTM 10N),Northing\nP1,upper landing,500000,4982950")
    assert "upper landing" in str(gridded.values["note"])


def test_law_of_two_columns_that_say_the_same_one_counts_and_nothing_is_lost() -> None:
    (found,) = things("ID,Name,Length (m),Length (ft),Length (m)\n1,Big heap,6,21,7")
    assert (found.name, found.number("length_m")) == ("Big heap", 6.0)
    assert all(text in str(found.values["note"]) for text in ("ID (1): 1", "Length (ft) (4): 21", "Length (m) (5): 7"))
    (found,) = things("id,name,Length (m)\np1,Big heap,6")
    assert (found.name, found.values["note"]) == ("Big heap", "id (1): p1")
    assert [code for _, code in codes("Length (m),Length (m)\n6,7")].count("site.column_twice") == 1


@pytest.mark.parametrize("last", ["Grand total", "Total (2 heaps)", "Sub-total:", "Σ", "Zwischensumme", ""])
def test_law_a_row_that_sums_up_is_no_heap(last: str) -> None:
    text = f"Name,Lat,Lon,Length (m)\nP1,45.1,-122.3,6\nP2,45.1,-122.301,7\n{last},,,13"
    assert [each.name for each in things(text)] == ["P1", "P2"]
    assert (4, "site.row_sums_up") in codes(text)


def test_law_a_heap_is_no_sum() -> None:
    text = (
        "Name,Lat,Lon,Length (m)\nP1,45.1,-122.3,6\nP2,45.1,-122.301,7\n,45.1,-122.302,13\nMean Creek,45.1,-122.303,6"
    )
    assert [each.name for each in things(text)][-1] == "Mean Creek"
    assert len(things(text)) == 4
    assert len(things("Name,Length (m)\nP1,6\nP2,7\n,8")) == 3


def test_law_a_kind_nobody_knows_stays_in_the_note() -> None:
    (found,) = things("Kind,Name,Lat,Lon\nteapot,P1,45.1,-122.3")
    assert (found.kind, found.values["note"]) == ("pile", "Kind: teapot")


def test_refuses_a_quotation_mark_that_swallows_the_rows_behind_it() -> None:
    with pytest.raises(BadFile, match="line 3"):
        bring("t.csv", b'Name,Lat,Lon,Note\nP1,45.1,-122.3,x\nP2,45.1,-122.3,"open\nP3,45.2,-122.3,x\n', SITE)
    assert len(things('Name,Lat,Lon,Note\nP1,45.1,-122.3,"two\nlines"\nP2,45.2,-122.3,6" pipe')) == 2


def test_law_letters_for_sizes_need_their_unit() -> None:
    (found,) = things("Pile #,L (ft),W (m),Ht (ft)\n1,20,4,6")
    sizes = [found.number(key) for key in ("length_m", "width_m", "height_m")]
    assert (found.name, sizes) == ("1", [6.096, 4.0, 1.8288])
    assert things("Name,Length,W\nP1,6,122.3")[0].number("width_m") is None


def test_refuses_headings_with_no_row_under_them() -> None:
    with pytest.raises(BadFile, match="no row under them"):
        bring_text("t.csv", "Name,Lat,Lon\n\n", SITE)


def test_law_a_distance_in_powers_of_ten_is_the_whole_distance() -> None:
    head = "Name,Lat,Lon,Bearing,Distance (ft),From\nGate,45.1,-122.3,,,\n"
    long, plain = (things(f"{head}P1,,,{row},Gate")[1] for row in ("9.0E+01,1.2E+02", "90,120"))
    assert long.geometry is not None
    assert long.geometry == plain.geometry
