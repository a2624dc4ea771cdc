"""A choice and the press after it come in together where the page is slow: what is made is what is chosen now."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from sitemap.views import working
from tests.views.conftest import Visit

Begun = list[tuple[Any, ...]]


@pytest.fixture
def begun(monkeypatch: pytest.MonkeyPatch) -> Begun:
    """What is begun apart, with all it is given, instead of being done."""
    found: Begun = []
    monkeypatch.setattr(working, "begin", lambda *args, **_: found.append(args))
    return found


def test_law_the_papers_are_of_the_choices_at_the_press(visit: Callable[..., Visit], begun: Begun) -> None:
    app = visit().go("papers").app
    app.pills(key="papers.sheets").select("decision")
    app.segmented_control(key="papers.language").set_value("es")
    app.button(key="papers.pdf").click().run()
    ((words, _, _, site, _, _, paper, keys, language, _),) = (each for each in begun if each[0].startswith("Making"))
    assert words.endswith("-decision.pdf")
    assert (keys, language, paper, site.member["language"]) == (("decision",), "es", "letter", "es")


def test_law_so_are_the_sheets_to_take_along(visit: Callable[..., Visit], begun: Begun) -> None:
    app = visit().go("survey").app
    app.pills(key="sheets.which").select("heaps")
    app.segmented_control(key="sheets.units").set_value("metric")
    app.button(key="sheets.pdf").click().run()
    ((_, _, _, order, _, _, units),) = begun
    assert (order, units) == (("heaps",), "metric")


@pytest.mark.usefixtures("own_side_open")
def test_law_a_file_for_others_holds_what_was_typed_just_before(visit: Callable[..., Visit], begun: Begun) -> None:
    app = visit().go("kilns").app
    app.text_input(key="s.crew.leader").set_value("Somebody else")
    app.button(key="take.gpx").click().run()
    ((_, _, _, site, *_),) = (each for each in begun if each[0].startswith("Making"))
    assert site.section("crew").text("leader") == "Somebody else"
