"""Bringing in from an address, on the page: nothing is asked for before a button is pressed."""

from __future__ import annotations

import json
from collections.abc import Callable

import numpy as np
import pytest
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds

from sitemap.site.model import Site
from sitemap.views import state
from sitemap.views.map import canvas
from tests.loopback import Served, server
from tests.site.builders import point, site_of, thing
from tests.views.conftest import Visit, store

HOME = site_of(thing("g", "gate", point(-121.3, 44.2), name="Gate"))
ROAD = {"type": "LineString", "coordinates": [[-121.31, 44.2], [-121.29, 44.2]]}


@pytest.fixture
def at(visit: Callable[..., Visit], monkeypatch: pytest.MonkeyPatch) -> Callable[[Site], Visit]:
    monkeypatch.setattr(canvas, "show", lambda *_: None)

    def opened(site: Site) -> Visit:
        tab = visit(store().create(site).link).go("survey")
        tab.app.segmented_control(key="survey.part").set_value("Phone and spreadsheet").run()
        return tab

    return opened


def looked(tab: Visit, served: Served, name: str) -> Visit:
    tab.app.text_input(key="draft.address").set_value(served.here + name).run()
    before = list(served.asked)
    tab.app.selectbox(key="address.kind").set_value("road").run()
    assert served.asked == before  # typed, and still nothing asked
    tab.app.button(key="address.ask").click().run()
    assert not tab.app.exception
    return tab


def test_law_roads_are_looked_at_fetched_shown_and_kept_when_pressed(at: Callable[[Site], Visit]) -> None:
    feature = {"type": "Feature", "properties": {"ref": "R 9"}, "geometry": ROAD}
    files = {"roads.geojson": json.dumps({"type": "FeatureCollection", "features": [feature]}).encode()}
    with server(files) as served:
        tab = at(HOME)
        assert served.asked == []
        looked(tab, served, "none.geojson")
        assert "answers 404" in tab.words
        looked(tab, served, "roads.geojson")
        assert "roads.geojson: 0 kB in all. It must be fetched whole" in tab.words
        assert len(served.asked) == 2
        tab.app.button(key="address.fetch").click().run()
        assert "A look before it is kept: 1 thing" in tab.words
        assert len(tab.site.features) == 1
        tab.app.button(key="address.go").click().run()
        assert len(served.asked) == 3
    (road,) = tab.site.of_kind("road")  # and the server is gone
    assert road.text("note") == "ref: R 9"
    assert not tab.app.run().exception


def test_law_elevation_is_kept_with_the_site_and_works_without_a_network(at: Callable[[Site], Visit]) -> None:
    heights = np.full((900, 900), 1234, dtype=np.float32)
    profile = {"driver": "COG", "width": 900, "height": 900, "count": 1, "dtype": "float32", "crs": "EPSG:4326"}
    with MemoryFile() as memory:
        with memory.open(**profile, transform=from_bounds(-121.4, 44.1, -121.2, 44.3, 900, 900)) as raster:
            raster.write(heights, 1)
        files = {"dem.tif": bytes(memory.read())}
    with server(files) as served:
        tab = looked(at(HOME), served, "dem.tif")
        assert "cells round the site, about" in tab.words
        assert tab.site.files == {}
        tab.app.button(key="address.fetch").click().run()
        assert not tab.app.exception
    entry = tab.site.files["terrain"]
    assert entry["name"] == "dem.tif"
    assert entry["from"] == f"{served.here}dem.tif"
    assert len(state.store().file(str(entry["sha256"])).read_bytes()) < len(files["dem.tif"])
    tab.app.button(key="undo").click().run()
    assert tab.site.files == {}
    assert "nowhere yet" in looked(at(site_of()), served, "dem.tif").words


def test_law_what_is_no_address_is_told_in_the_language_of_the_site(at: Callable[[Site], Visit]) -> None:
    tab = at(HOME.with_member("language", "es"))
    tab.app.text_input(key="draft.address").set_value("nonsense").run()
    tab.app.button(key="address.ask").click().run()
    assert "«nonsense» no es la dirección de un archivo" in tab.words
    assert "El sitio queda como estaba." in tab.words
