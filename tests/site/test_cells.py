"""One cell: text as people write it, and the value the file keeps."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.site.attributes import Attribute
from sitemap.site.cells import STORED, cell_text, is_unit, kept_cell, number_of, read_cell

HEIGHT = Attribute("height_m", "Height", unit="m", above=0, high=30)
THICK = Attribute("thickest_cm", "Thickest piece", unit="cm", above=0, high=300)
SHAPE = Attribute("shape", "Shape", "choice", choices=(("dome", "dome"), ("ridge", "ridge"), ("rr", "ridge, rounded")))
PEOPLE = Attribute("feeders", "People feeding", "integer", low=0, high=50)


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("1 ft", "m", 0.3048),
        ("1'", "m", 0.3048),
        ("1 in", "m", 0.0254),
        ("1 yd", "m", 0.9144),
        ("1 in", "cm", 2.54),
        ("1 lb", "kg", 0.45359237),
        ("1 US gal", "l", 3.785411784),
        ("1 acre", "ha", 0.40468564224),
        ("1 psi", "kpa", 6.894757293),
    ],
)
def test_published_factors(text: str, unit: str, stored: float) -> None:
    """NIST Special Publication 811, Appendix B.8: foot, inch, yard, pound, gallon exact; acre (international) and psi
    to its digits. Evidence S."""
    assert number_of(text, unit) == pytest.approx(stored, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        *[("2.5", 2.5), ("2,5", 2.5), (" 2.5 ", 2.5), ("1,234.5", 1234.5), ("1.234,5", 1234.5), ("1 234,5", 1234.5)],
        *[("0,500", 0.5), (".5", 0.5), ("−2", -2.0), ("+3", 3.0), ("12,345,678.0", 12345678.0)],
    ],
)
def test_law_numbers_are_read_as_they_are_meant(text: str, value: float) -> None:
    """Decimal point and decimal comma, thousands in groups of three: ISO 80000-1 allows both marks (from memory)."""
    assert number_of(text) == value


@pytest.mark.parametrize("text", ["50, 50.5, 20", "50;50.5;20", "50 50.5 20", " 50  50.5 20 "])
def test_law_a_list_of_numbers_may_have_spaces_alone_between_them(text: str) -> None:
    """One number each, as the field asks; what is one number in a field of one is several in a list."""
    lengths = Attribute("lengths_m", "Lengths on hand", "numbers", unit="m", above=0, high=5000)
    assert read_cell(lengths, text, STORED) == [50.0, 50.5, 20.0]


@pytest.mark.parametrize(
    ("text", "inches"),
    [("1 1/2", 1.5), ("1-1/2", 1.5), ("1½", 1.5), ("3/8", 0.375), ("⅜", 0.375), ('2 1/2"', 2.5), ("3/4 in", 0.75)],
)
def test_law_bores_are_read_as_hoses_and_nozzles_are_called(text: str, inches: float) -> None:
    """In parts of an inch, halved and halved again as on a rule; it has 25.4 mm (yard and pound agreement, 1959)."""
    bore = Attribute("bore_mm", "Bore", unit="mm")
    assert read_cell(bore, text, "us") == pytest.approx(25.4 * inches)


@pytest.mark.parametrize("text", ["1/3", "3/8/2026", "1/0", "/8", "1 2/"])
def test_refuses_what_is_no_part_of_an_inch_rule(text: str) -> None:
    with pytest.raises(BadValue):
        read_cell(Attribute("bore_mm", "Bore", unit="mm"), text, "us")


def test_law_a_cell_without_a_unit_takes_that_of_its_column() -> None:
    """Ten feet are 3.048 m (NIST SP 811)."""
    assert read_cell(HEIGHT, "10", "us") == 3.048
    assert read_cell(HEIGHT, "10", "ft") == 3.048
    assert read_cell(HEIGHT, "10", "metric") == read_cell(HEIGHT, "10", STORED) == 10.0
    assert read_cell(HEIGHT, "10 m", "us") == 10.0
    assert read_cell(HEIGHT, "300 cm", "us") == 3.0
    assert read_cell(HEIGHT, "5'6\"", "metric") == read_cell(HEIGHT, "5 ft 6 in", "metric") == 1.6764  # 66 inches
    assert read_cell(THICK, "4 in", "metric") == 10.16


@given(st.floats(0.01, 29.9), st.sampled_from(["metric", "us"]))
def test_law_what_a_cell_shows_is_read_back(height_m: float, system: str) -> None:
    shown = cell_text(HEIGHT, height_m, system)
    assert read_cell(HEIGHT, shown, system) == pytest.approx(height_m, rel=1e-3)


@given(st.text(max_size=60))
def test_law_nothing_typed_is_lost(text: str) -> None:
    """Whatever is typed, something is kept for it, unless it is blank."""
    kept = kept_cell(HEIGHT, text, "metric")
    assert (kept is None) == (not text.strip())


def test_law_words_may_be_shortened() -> None:
    assert read_cell(SHAPE, "D", "metric") == "dome"
    assert read_cell(SHAPE, "Ridge", "metric") == "ridge"  # the whole word, though another begins with it
    assert read_cell(PEOPLE, "3", "metric") == 3
    flag = Attribute("public", "Public", "flag")
    assert [read_cell(flag, word, "metric") for word in ("yes", "No", "x")] == [True, False, True]
    hose = Attribute("hose", "Hose", "reference", refers_to="hoses")
    assert read_cell(hose, "hose 38", "metric", {"h1": "Hose 38", "h2": "Hose 25"}) == "h1"
    assert cell_text(hose, "h1", "metric", {"h1": "Hose 38"}) == "Hose 38"


@pytest.mark.parametrize(
    ("attribute", "text", "told"),
    [
        (HEIGHT, "1,234", "two parts|decimal mark"),
        (HEIGHT, "about 3", "not a number"),
        (HEIGHT, "3 4", "more than one"),
        (HEIGHT, "3 kg", "unit"),
        (HEIGHT, "0", "above 0 m; it is 0"),
        (HEIGHT, "40", "at most 30 m; it is 40"),
        (SHAPE, "r", "may be any of ridge, ridge, rounded"),
        (SHAPE, "egg", "none of dome, ridge"),
        (PEOPLE, "2.5", "whole number"),
        (Attribute("date", "Date", "date"), "3/4/26", "2026-12-05"),
        (Attribute("public", "Public", "flag"), "perhaps", "yes or no"),
        (Attribute("note", "Note", "text"), "x" * 3000, "2,000 characters"),
    ],
)
def test_refuses_what_cannot_be_read(attribute: Attribute, text: str, told: str) -> None:
    with pytest.raises(BadValue, match=told):
        read_cell(attribute, text, "metric")


def test_law_what_is_refused_is_kept() -> None:
    assert kept_cell(HEIGHT, "40", "metric") == 40.0
    assert kept_cell(HEIGHT, " about 3 ", "metric") == "about 3"
    assert kept_cell(HEIGHT, "1,234", "ft") == "1,234 ft"  # with the unit of its column
    assert kept_cell(SHAPE, "egg", "metric") == "egg"


def test_law_units_are_told_from_words() -> None:
    assert is_unit("ft", "m")
    assert is_unit("%", "fraction")
    assert not is_unit("of", "m")
    assert not is_unit("", "m")


def test_law_a_tally_is_typed_as_a_list() -> None:
    """Three pieces; an inch is 2.54 cm (NIST SP 811)."""
    pieces = Attribute(
        "pieces",
        "Pieces",
        "records",
        item=(Attribute("diameter_cm", "Thickness", unit="cm", above=0), Attribute("wood", "Wood", "text")),
    )
    read = read_cell(pieces, "3; 4.5 12", "metric")
    assert read == [{"diameter_cm": 3.0}, {"diameter_cm": 4.5}, {"diameter_cm": 12.0}]
    assert cell_text(pieces, read, "metric") == "3; 4.5; 12"
    assert read_cell(pieces, "1, 2", "us") == [{"diameter_cm": 2.54}, {"diameter_cm": 5.08}]
    assert cell_text(pieces, [{"diameter_cm": 3.0, "wood": "oak"}], "metric") == "1 entered"
    with pytest.raises(BadValue, match="not a number"):
        read_cell(pieces, "3; thick", "metric")


@pytest.mark.parametrize(
    ("text", "unit", "stored"),
    [
        ("3 bar", "kpa", 300.0),
        ("10 kn", "m_s", 5.14444444444),
        ("5 m/s", "m_s", 5.0),
        ("2.5 m³", "l", 2500.0),
        ("3 m3/h", "l_min", 50.0),
        ("2 L/s", "l_min", 120.0),
        ("90 min", "h", 1.5),
        ("68F", "c", 20.0),
        ("400 V", "kv", 0.4),
    ],
)
def test_published_units_of_gauges_meters_and_forecasts(text: str, unit: str, stored: float) -> None:
    """NIST Special Publication 811, appendix B: bar 100 kPa, nautical mile 1852 m, litre 0.001 m³ (S)."""
    assert number_of(text, unit, "us") == pytest.approx(stored, rel=1e-11)
