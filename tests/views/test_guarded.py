"""Callbacks are carried out whatever comes in between: Streamlit breaks them off when somebody does the next thing."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
import streamlit as st
from streamlit.runtime.scriptrunner import RerunException
from streamlit.runtime.scriptrunner_utils.script_requests import RerunData

from sitemap import views
from sitemap.views import state

FILES = sorted(Path(views.__file__).parent.rglob("*.py"))


def _loose(tree: ast.AST) -> list[str]:
    """Callbacks of widgets that a break would lose."""
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
        if not (isinstance(value, ast.Constant) and value.value == "ignore")
        and not ast.unparse(value).startswith(("state.guarded(", "guarded("))
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_law_every_callback_is_guarded(path: Path) -> None:
    assert _loose(ast.parse(path.read_text(encoding="utf-8"))) == []


def test_law_a_callback_broken_off_is_done_again_and_the_next_run_follows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(st, "session_state", {})
    asked, done = RerunException(RerunData(query_string="next")), []

    def action(value: str) -> None:
        if not done:
            done.append("read")
            raise asked
        done.append(value)

    with pytest.raises(RerunException) as raised:
        state.guarded(action)("kept")
    assert raised.value is asked
    assert done == ["read", "kept"]
