"""A map pack brought to a site, and a picture from the net: kept with the site, its maker named on the map."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sitemap.site.model import Site
from sitemap.terrain import pack
from sitemap.terrain.picture import prepared
from sitemap.views.inputs import picture
from tests.terrain.test_pack import mbtiles
from tests.views.conftest import Visit, store

Open = Callable[..., Visit]
EMPTY = Site().with_member("format", 1).with_member("units", "metric").with_member("name", "Own")


def near_the_pack() -> Site:
    from sitemap.site.model import Feature

    place = {"type": "Point", "coordinates": [13.72, 61.8605]}
    return EMPTY.put(Feature.of("k1", place, {"kind": "kiln_spot", "name": "K1"}))


def test_law_of_a_pack_the_surroundings_are_kept_with_its_credit(visit: Open, tmp_path: Path) -> None:
    empty = near_the_pack()
    files, around = {"county.mbtiles": mbtiles(tmp_path)}, picture.surroundings(empty)
    site = picture.with_picture(empty, prepared(files, picture.plane_for(empty), around, ""))
    entry = site.files["image"]
    assert (entry["name"], entry["credit"]) == ("county.tif", "© A survey")
    assert picture.is_laid(site)
    tab = visit(store().create(site).link)
    assert tab.app.segmented_control(key="backdrop.choice").value == "picture"
    assert not tab.app.error


def test_refuses_a_pack_before_anything_is_on_the_map(visit: Open, tmp_path: Path) -> None:
    tab = visit(store().create(EMPTY).link)
    tab.app.file_uploader(key="image.file").set_value([("county.mbtiles", mbtiles(tmp_path), "")]).run()
    assert "draw something on the map first" in tab.words
    assert "image" not in tab.site.files


def test_law_nothing_is_asked_of_the_net_before_it_is_switched_on_and_pressed(
    visit: Open, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked: list[str] = []
    made = pack.cut_of(mbtiles(tmp_path), "x.mbtiles", picture.surroundings(near_the_pack()))

    def fetched(address: str, window: pack.Window, zoom: int, progress: pack.Progress) -> pack.Cut:
        asked.append(address)
        progress(1.0)
        return made

    monkeypatch.setattr(pack, "fetched", fetched)
    tab = visit(store().create(near_the_pack()).link)
    assert "service.fetch" not in {button.key for button in tab.app.button}
    tab.app.toggle(key="service.on.toggle").set_value(True).run()
    assert tab.app.button(key="service.fetch").disabled
    tab.app.text_input(key="draft.service.address").set_value("http://127.0.0.1:1/{z}/{x}/{y}.png").run()
    tab.app.text_input(key="draft.service.credit").set_value("<b>Land survey</b>").run()
    assert asked == []
    assert "tiles, about" in tab.words
    tab.app.button(key="service.fetch").click().run()
    assert asked == ["http://127.0.0.1:1/{z}/{x}/{y}.png"]
    assert tab.site.files["image"]["credit"] == "Land survey"


def test_law_an_empty_site_says_what_it_lacks_before_a_picture_can_be_fetched(visit: Open) -> None:
    tab = visit(store().create(EMPTY).link)
    tab.app.toggle(key="service.on.toggle").set_value(True).run()
    assert "draw something on the map first" in tab.words
    assert "service.fetch" not in {button.key for button in tab.app.button}
