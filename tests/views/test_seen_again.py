"""A kiln spot dragged away loses its facts until somebody says that they hold there too, or it comes back."""

from __future__ import annotations

from collections.abc import Callable

from tests.safety.dangerous.safe_site import SafeSite
from tests.views.conftest import Visit, store

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


def test_law_one_touch_says_with_what_the_buckets_were_filled(visit: Open) -> None:
    """On the page of the water for all of them, beside a kiln for its own."""
    old = SafeSite().lines(bucket_pump=None, bucket_hose=None, bucket_tip=None).site()
    tab = visit(store().create(old).link).go("water")
    assert "does not say with which pump" in tab.words
    tab.app.button(key="seen.buckets.None.confirm").click().run()
    assert "does not say with which pump" not in tab.words
    assert tab.site.records("links")[0].names("bucket_pump") == ("pump",)
    tab.app.button(key="undo").click().run()
    tab.go("map").choose("k1")
    tab.app.button(key="seen.buckets.k1.confirm").click().run()
    assert [link.has("bucket_tip") for link in tab.site.records("links")] == [True, False, True, False]
