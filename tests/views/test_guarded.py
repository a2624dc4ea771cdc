"""Callbacks are carried out whatever comes between: Streamlit stops a run when somebody does the next thing."""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
import streamlit as st

from sitemap import views
from sitemap.errors import BadValue
from sitemap.reasons import Quantity, reason
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.views import state
from sitemap.views.holding import Tab
from tests.site.builders import site_of, thing

FILES = sorted(Path(views.__file__).parent.rglob("*.py"))


def _loose(tree: ast.AST) -> list[str]:
    """Callbacks of widgets that a stop would lose."""
    given = [
        word.value
        for call in ast.walk(tree)
        if isinstance(call, ast.Call)
        for word in call.keywords
        if word.arg in ("on_click", "on_change") and getattr(call.func, "attr", "") not in ("show",)
    ]
    return [
        ast.unparse(value)
        for value in given
        if not (isinstance(value, ast.Constant) and value.value in ("ignore", "rerun"))
        and not ast.unparse(value).startswith(("state.guarded(", "guarded("))
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_law_every_callback_is_guarded(path: Path) -> None:
    assert _loose(ast.parse(path.read_text(encoding="utf-8"))) == []


class Stopping(dict[str, Any]):
    """A session state at whose every touch Streamlit would stop the run."""

    def to_dict(self) -> dict[str, Any]:
        return dict(self)

    def _stop(self, *_: Any) -> Any:
        raise AssertionError("here the callback would have been stopped")

    __getitem__ = __contains__ = get = __setitem__ = _stop


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[[], Site]:
    """A tab with a site of one pile, and how to read the site as it is kept."""
    monkeypatch.setenv("PITSTEAD_DATA", str(tmp_path))
    link = Store(tmp_path).create(site_of(thing("p"))).link
    monkeypatch.setattr(st, "session_state", Stopping(tab=Tab(link=link), wide=3.0))
    return lambda: Store(tmp_path).open(link).site


def keep(name: str, value: float, before: Callable[[], None] = lambda: None) -> None:
    site = state.site()
    before()
    state.edit(name, site.put(site.get("p").with_values(**{name: value})))


def test_law_a_callback_touches_nothing_at_which_it_could_be_stopped(kept: Callable[[], Site]) -> None:
    state.guarded(lambda: keep("width_m", state.typed("wide")))()
    assert kept().get("p").number("width_m") == 3
    state.guarded(state.undo)()
    assert not kept().get("p").has("width_m")


def test_law_two_callbacks_at_once_both_count(kept: Callable[[], Site]) -> None:
    """Streamlit begins the next run while the last one still works: the second may not build on what the first read."""
    second = Thread(target=state.guarded(lambda: keep("height_m", 2.0)))

    def meanwhile() -> None:
        second.start()
        second.join(0.2)  # where the second does not wait its turn, it is through by then, and is overwritten

    state.guarded(lambda: keep("width_m", 4.0, meanwhile))()
    second.join()
    pile = kept().get("p")
    assert (pile.number("width_m"), pile.number("height_m")) == (4, 2)


def test_law_a_refused_input_becomes_a_sentence_in_the_units_of_the_site(kept: Callable[[], Site]) -> None:
    """One foot is 0.3048 m (NIST SP 811, P)."""

    def refuse() -> None:
        raise BadValue(reason("errors.above_zero", what="Length", limit="0", value=Quantity(-3.048, "m")))

    state.guarded(lambda: state.edit("Units", state.site().with_member("units", "us")))()
    state.guarded(refuse)()
    assert state.guarded(lambda: None)() is None
    assert st.session_state.to_dict()["tab"].said == ["Length must be above 0; it is −10 ft. Correct it."]
