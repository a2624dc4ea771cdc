"""What a button adds is numbered on from what is in the list."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitemap.maps.scene import Edits
from sitemap.views.map import canvas
from tests.site.builders import point, site_of, thing
from tests.views.conftest import Visit, store


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


def test_law_one_more_like_a_kiln_spot_has_its_kiln_and_nothing_seen_at_its_place(
    visit: Callable[..., Visit], monkeypatch: pytest.MonkeyPatch
) -> None:
    """*Another one*: what was typed of the thing goes with it, what was seen where it stands does not."""
    spot = {"kiln": "kilns-2", "quench_method": "flooded", "ground": "mineral_soil", "branches_overhead": "none"}
    before = site_of(thing("k", "kiln_spot", name="K1", **spot))
    for number in (1, 2):
        before = before.with_item("kilns", {"id": f"kilns-{number}", "name": f"Box {number}"})
    done = [Edits(added=(("kiln_spot", point(-119.9995, 44.0005), "k"),))]
    monkeypatch.setattr(canvas, "show", lambda _view, _key, take, *_: done and take(done.pop()))
    tab = visit(store().create(before).link)
    assert tab.app.query_params
    added = tab.site.features[-1]
    assert (added.name, added.raw("kiln"), added.raw("quench_method")) == ("K2", "kilns-2", "flooded")
    assert not any(map(added.has, ("ground", "branches_overhead", "seen")))
    assert store().open(tab.link).undo == "Added K2 like K1"
