"""What a button adds is numbered on from what is in the list."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.views.conftest import Visit

pytestmark = pytest.mark.usefixtures("own_side_shut")


def test_law_a_kiln_added_is_numbered_by_its_place_in_the_list(visit: Callable[..., Visit]) -> None:
    """A new site has a ring; the first kiln added is the second, in id and in name."""
    tab = visit().go("kilns")
    assert len(tab.site.equipment("kilns")) == 1
    for _ in range(2):
        tab.app.button(key="e.kilns.add").click().run()
    added = [(item.id, item.name) for item in tab.site.equipment("kilns")[1:]]
    assert added == [("kiln-2", "Kiln 2"), ("kiln-3", "Kiln 3")]


def test_law_the_panel_beside_the_map_folds_and_opens_again(visit: Callable[..., Visit]) -> None:
    tab = visit().go("map")
    for shown in ("◀", "Fold ▶", "◀"):
        tab.app.button(key="panel.fold").click().run()
        assert tab.app.button(key="panel.fold").label == shown
