"""What a very large site means is worked out beside its page; a press ends it, and every page stands without it."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from types import SimpleNamespace
from typing import Any
from unittest.mock import MagicMock

import pytest

from sitemap.progress import counted
from sitemap.views import reckoning, state
from tests.views.conftest import PAGES, Visit

Open = Callable[..., Visit]


def test_law_a_press_ends_it_at_its_next_step(monkeypatch: pytest.MonkeyPatch) -> None:
    begun, goes_on, steps = Event(), Event(), []

    def held(**_: Any) -> None:
        for step in counted("heaps", ("one", "two", "three")):
            steps.append(step)
            begun.set()
            assert goes_on.wait(60)

    monkeypatch.setattr(state, "assessed", held)
    work = reckoning.Reckoning({})
    assert begun.wait(60)
    assert work.told == ("weight of the heaps", 0.0)
    assert not work.over()
    work.stop()
    goes_on.set()
    assert work.over(60)
    assert steps == ["one"]


@pytest.mark.usefixtures("own_side_open")
def test_law_pages_stand_while_it_is_not_known_and_as_ever_once_it_is(
    visit: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    tab = visit()
    known = tab.words
    assert "K1" in known
    tab.app.session_state["tab"].stopped_at = tab.link  # as a press on Stop leaves it
    tab.app.run()
    for page in PAGES:
        tab.go(page)
        assert "What the site means is not worked out: you stopped it." in tab.words, page
    tab.go("slash").app.text_input(key="site.name").set_value("Typed meanwhile").run()
    assert tab.site.name == "Typed meanwhile"
    monkeypatch.setattr(reckoning, "MANY", 0)  # from here on it is worked out beside the page
    monkeypatch.setattr(reckoning, "patience_s", 0.0)
    tab.go("map").app.button(key="reckoning.on").click().run()
    buttons = {button.key for button in tab.app.button}
    assert not buttons & {"reckoning.on", "reckoning.stop"}
    assert "take.gpx" in buttons
    assert "not worked out" not in tab.words
    assert known.count("K1") == tab.words.count("K1")


def test_law_a_fault_in_it_is_met_by_the_page(visit: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    def faulty(**_: Any) -> None:
        raise KeyError("x")

    tab = visit()
    monkeypatch.setattr(reckoning, "MANY", 0)
    monkeypatch.setattr(state, "assessed", faulty)
    monkeypatch.delenv("PITSTEAD_RAISE")
    tab.go("slash")
    assert "This is a fault of the program" in tab.words


@pytest.mark.parametrize(("heaps", "waits"), [(2, False), (3, True)])
def test_law_who_waits_sees_a_bar_from_its_beginning_to_its_end(
    monkeypatch: pytest.MonkeyPatch, heaps: int, waits: bool
) -> None:
    """Only for a site that is large enough, and gone when it is known."""
    shown: list[float] = []
    ends = iter((False, False, False, True))
    work = SimpleNamespace(over=lambda _: next(ends), told=("heaps", 0.5))
    slot = MagicMock()
    bar = SimpleNamespace(progress=lambda share, _: shown.append(share))
    monkeypatch.setattr(reckoning, "MANY", 3)
    monkeypatch.setattr(reckoning, "_going_on", lambda _: work)
    monkeypatch.setattr(reckoning.st, "empty", lambda: slot)
    monkeypatch.setattr(reckoning.st, "button", lambda *_, **__: None)
    monkeypatch.setattr(reckoning.st, "progress", lambda share, _: shown.append(share) or bar)
    monkeypatch.setattr(state, "holding", lambda: SimpleNamespace(unwanted=False))
    monkeypatch.setattr(state, "asked", dict)
    monkeypatch.setattr(state, "site", lambda: SimpleNamespace(features=range(heaps)))
    reckoning.wait()
    assert shown == ([0.0, 0.5, 0.5] if waits else [])
    assert slot.empty.called == waits
