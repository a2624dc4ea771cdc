"""A field never stands empty in the browser while the site holds a value: the next press would wipe it."""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path

import pytest

from sitemap import views
from tests.views.conftest import Visit

Open = Callable[..., Visit]
FILES = sorted(Path(views.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("path", [path for path in FILES if path.name != "state.py"], ids=lambda path: path.name)
def test_law_no_page_binds_a_field_without_its_start_value(path: Path) -> None:
    """`bound` gives a key alone; `text`, `choice` and `choices` give the field's own default with it."""
    called = [
        node.func.attr
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
    ]
    assert "bound" not in called


@pytest.mark.parametrize("feature", ["k1", "p1", "tender"])
def test_law_what_a_run_sends_for_a_field_says_the_value_also_where_it_sets_none(visit: Open, feature: str) -> None:
    """The second of two runs in a row sets no value: the default it carries must be what the site holds."""
    tab = visit().choose(feature)
    tab.app.run()
    fields = [each for each in tab.app.text_input if (each.key or "").startswith(f"f.{feature}.")]
    assert fields
    assert [(each.key, each.proto.set_value, each.proto.default) for each in fields if each.value] == [
        (each.key, False, each.value) for each in fields if each.value
    ]
    choices = [each for each in tab.app.selectbox if (each.key or "").startswith(f"f.{feature}.") and each.value]
    assert choices
    for each in choices:
        assert each.options[each.proto.default] == each.format_func(each.value)


HALF = {"name": "Half a ", "length_m": "12 f", "height_m": "2."}


def test_law_what_is_half_typed_is_kept_and_not_written_anew_under_the_hand(visit: Open) -> None:
    """A rest of the hand hands over what stands there: a blank at its end, half a unit, a list that goes on."""
    tab = visit().choose("p1")
    for name, typed in HALF.items():
        key = "name.p1" if name == "name" else f"f.p1.{name}"
        tab.app.text_input(key=key).set_value(typed).run()
        field = tab.app.text_input(key=key)
        assert (field.value, field.proto.set_value, field.proto.live_debounce_ms > 0) == (typed, False, True)
        assert tab.site.get("p1").values[name] not in (None, "")
    tab.go("water")
    for part, typed in ((".curve", "0, 40; 150, 30;"), (".lengths_m", "30, ")):
        key = next(each.key for each in tab.app.text_input if str(each.key).endswith(part))
        tab.app.text_input(key=key).set_value(typed).run()
        assert (tab.app.text_input(key=key).value, tab.app.text_input(key=key).proto.set_value) == (typed, False)


def test_law_half_a_coordinate_is_not_taken_for_a_place(visit: Open) -> None:
    tab = visit().choose("p1")
    assert tab.app.text_input(key="where.p1").proto.live_debounce_ms == 0
