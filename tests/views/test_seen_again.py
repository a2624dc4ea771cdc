"""A kiln spot dragged away loses its facts until somebody says that they hold there too, or it comes back."""

from __future__ import annotations

from collections.abc import Callable

from tests.views.conftest import Visit

Open = Callable[..., Visit]


def doubted(tab: Visit) -> bool:
    return "not known here and now" in tab.words


def test_law_a_moved_spot_asks_for_its_facts_and_one_touch_confirms_them(visit: Open) -> None:
    tab = visit().choose("k1")
    assert not doubted(tab)
    spot = tab.site.get("k1")
    assert spot is not None
    assert spot.geometry is not None
    lon, lat = spot.geometry["coordinates"][:2]
    place = tab.app.text_input(key="where.k1")
    place.set_value(f"{lat + 0.0002:.6f}, {lon:.6f}").run()
    assert tab.site.get("k1") != spot
    tab.choose("k1")
    assert doubted(tab)
    tab.app.button(key="undo").click().run()
    assert not doubted(tab)
    tab.app.button(key="redo").click().run()
    assert doubted(tab)
    tab.app.button(key="seen.k1.confirm").click().run()
    assert not doubted(tab)


def test_law_what_is_typed_is_seen_today(visit: Open) -> None:
    tab = visit().choose("k1")
    tab.app.selectbox(key="f.k1.ground").set_value("rock").run()
    kept = tab.site.get("k1")
    assert kept is not None
    assert set(kept.values["seen"]["ground"]) == {"on", "at"}
    assert not doubted(tab)
