"""Single words beside a figure: each read by somebody who knows neither the program nor the other words."""

from __future__ import annotations

import string

import pytest

from sitemap import wording
from sitemap.named import named
from sitemap.notes import kiln_called, sentence
from sitemap.reasons import (
    Quantity,
    compared,
    l_min,
    litres,
    metres,
    minutes,
    needed_and_there,
    percent,
    reason,
    together,
)
from sitemap.telling import quantity_text
from sitemap.wording import (
    basis,
    capital,
    check_label,
    listed,
    paper_label,
    told,
    usual_paper,
    way,
    with_unit,
    without_unit,
)


@pytest.mark.parametrize("most", [2, 6, 26])
@pytest.mark.parametrize("count", [1, 2, 5, 6, 7, 26])
def test_law_a_row_of_names_is_whole_or_says_how_many_it_leaves_out(most: int, count: int) -> None:
    names = string.ascii_lowercase[:count]
    *first, last = listed(names, most).split(", ")
    if count <= most:
        assert [*first, last] == list(names)
    else:
        assert len(first) == most - 1
        assert first == list(names[: len(first)])
        assert last == f"{count - len(first)} more"


def test_law_six_names_are_read_and_seven_are_not() -> None:
    """About seven things are held in mind at once (G. A. Miller 1956, The magical number seven; from memory)."""
    assert [listed(string.ascii_lowercase[:count]).count(",") for count in (5, 6, 7, 20)] == [4, 5, 5, 5]


def test_words_beside_a_figure() -> None:
    assert [basis(each) for each in ("measured", "estimated", "assumed", "dreamt")] == [
        "● measured",
        "◐ estimated",
        "○ assumed",
        "? dreamt",
    ]
    assert [way(each) for each in ("hose", "haul", "hand", "pipe", None)] == [
        "hose",
        "machine",
        "by hand",
        "not known",
        "not known",
    ]
    assert way(None, "") == ""
    assert [paper_label(usual_paper(system)) for system in ("metric", "us")] == ["A4", "Letter"]
    assert check_label("machine_stand") == "Machine and line"
    assert check_label("way_out_of_it") == "Way out of it"
    assert [capital(each) for each in ("", "k", "a House")] == ["", "K", "A House"]
    assert (with_unit("Length", "m", "metric"), with_unit("Number", "count", "us")) == ("Length (m)", "Number")
    assert without_unit("12 L (8–17)", "l", "us") == "12 L (8–17)"  # another unit's label is left alone
    assert told(reason("plain.not_known"), "us") == "Not known."


def test_law_words_stand_under_their_own_language_or_in_english() -> None:
    assert wording.glossary("es") != wording.glossary("en") == wording.glossary("xx")


@pytest.mark.parametrize(("text", "said"), [("a b", "A b."), ("Why?", "Why?"), ("go!", "Go!"), ("e.", "E."), ("", ".")])
def test_a_sentence_has_a_capital_and_a_stop(text: str, said: str) -> None:
    assert sentence(text) == said


def test_a_kiln_is_called_one() -> None:
    assert [kiln_called(each) for each in ("3", "KILN 3", "Oven")] == ["kiln 3", "KILN 3", "kiln Oven"]


class Thing:
    def __init__(self, key: str, name: str) -> None:
        self.id, self.name = key, name


def test_law_an_id_goes_before_a_name_and_a_name_of_two_is_nobodys() -> None:
    one, other, third = Thing("a", "b"), Thing("b", "c"), Thing("c", "D")
    things = (one, other, third)
    assert [named(things, each) for each in ("a", "b", "c", "d", "B", "", None, "e")] == [
        one,
        other,
        third,
        third,
        one,
        None,
        None,
        None,
    ]
    assert named((*things, Thing("d2", "d")), "D") is None
    assert named((one, Thing("a", "z")), "a") is one


@pytest.mark.parametrize(
    ("quantity", "shown"),
    [
        (metres(12.34), "12 m"),
        (metres(1.2345), "1.23 m"),
        (metres(1.231, 3, "up"), "1.24 m"),
        (litres(1234.5), "1,230 L"),
        (litres(1231.0, 2, "up"), "1,300 L"),
        (l_min(123.4), "120 L/min"),
        (minutes(123.4), "120 min"),
        (percent(12.34), "12%"),
        (percent(12.34, 3), "12.3%"),
        (Quantity(1.2345, "t"), "1.23 t"),
        (Quantity(float("nan"), "t"), "not known"),
        (Quantity(float("inf"), "h"), "without end"),
        (Quantity(-3.0, "c"), "−3 °C"),
    ],
)
def test_figures_have_the_digits_their_kind_is_known_by(quantity: Quantity, shown: str) -> None:
    """Flows, times and shares are known to two digits, lengths and volumes to three: common practice, no source."""
    assert quantity_text(quantity, "metric") == shown


@pytest.mark.parametrize(
    ("one", "other", "shown"),
    [
        (14.0, 15.0, ("14 t", "15 t")),
        (14.8, 15.2, ("14.8 t", "15.2 t")),
        (14.98, 15.02, ("14.98 t", "15.02 t")),
        (14.998, 15.002, ("15 t", "15 t")),
    ],
)
def test_law_two_figures_are_told_apart_by_four_digits_at_most(
    one: float, other: float, shown: tuple[str, str]
) -> None:
    assert tuple(quantity_text(each, "metric") for each in compared(one, other, "t")) == shown
    assert tuple(quantity_text(each, "metric") for each in reversed(compared(other, one, "t"))) == shown


@pytest.mark.parametrize(("needed", "there"), [(1000.0, 999.0), (1003.0, 1001.0), (1000.4, 1000.0), (500.0, 1.0)])
def test_law_what_is_needed_never_reads_as_less_and_what_is_there_never_as_more(needed: float, there: float) -> None:
    wanted, found = (
        float(quantity_text(each, "metric").replace(",", "").removesuffix(" L"))
        for each in needed_and_there(needed, there, "l")
    )
    assert wanted >= needed
    assert found <= there


def test_law_findings_together_are_flat_and_one_alone_is_itself() -> None:
    one, two, three = (reason(f"a.{each}") for each in ("one", "two", "three"))
    assert together(one) == one == together(together(one))
    assert together(together(one, two), three).fact("parts") == (one, two, three)
