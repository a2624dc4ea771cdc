"""No map of ours reaches outside."""

import hashlib
import json
import re

import folium
import pytest
from folium.plugins import Draw, Fullscreen

from sitemap.errors import BadValue
from sitemap.maps import offline
from sitemap.maps.editable import base_map, scene_group
from sitemap.maps.scene import Backdrop, MapFeature, MapView

LEAFLET_SHA256 = "5819285cec137b229c94e1ee5ad73e8b6b84345a4367d60f75fe477fe0fb7b03"
HARM = "</script><script>alert(1)</script>`{{ 7*7 }}{% raw %}{# #}'x'\u2028 _1"


def view(name: str = "Pile 1", **more: object) -> MapView:
    shape = {"type": "Point", "coordinates": [10.0, 60.0]}
    return MapView("here", (10.0, 60.0), (MapFeature("p", "pile", name, name, shape),), **more)  # type: ignore[arg-type]


def test_published_the_script_is_the_release_it_says() -> None:
    """sha256 of leaflet.js 1.9.3 as its package carries it: an update of the package shows here first."""
    script = offline.assets_folder() / "leaflet.js"
    assert hashlib.sha256(script.read_bytes()).hexdigest() == LEAFLET_SHA256
    assert b"Leaflet 1.9.3" in script.read_bytes()[:200]


def test_law_every_link_is_local() -> None:
    drawn = offline.with_local_links(base_map(), lambda name: f"local/{name}")
    links = [link for _, link in (*drawn.default_js, *drawn.default_css)]
    assert links == ["local/leaflet.js", "local/leaflet.css"]
    assert len(folium.Map.default_js) > 1  # the class is left as it was


@pytest.mark.parametrize("plugin", [Draw, Fullscreen])
def test_refuses_what_has_no_local_copy(plugin: type) -> None:
    drawn = base_map()
    plugin().add_to(drawn)
    with pytest.raises(BadValue, match=r"asks for https?://.*no local copy"):
        offline.with_local_links(drawn, str)


def test_refuses_a_backdrop_from_outside() -> None:
    for address in ("https://example.org/a.png", "//example.org/a.png"):
        with pytest.raises(BadValue, match="must be a file of this machine"):
            scene_group(view(backdrop=Backdrop(address, (9, 59, 11, 61))))


def test_law_text_is_never_code() -> None:
    drawn = base_map()
    drawn.add_child(scene_group(view(HARM)))
    page = drawn.get_root().render()
    assert "alert(1)</script>" not in page.replace("&lt;", "")
    (sent,) = re.findall(r'pitstead\.sync\(JSON\.parse\("(.*)"\)\);', page)
    assert not set("<>&`{}") & set(sent)
    feature = json.loads(json.loads(f'"{sent}"'))["features"][0]
    assert HARM in feature  # to the letter: a name with braces is not run as a template on its way
    assert page.count("</script>") == len(re.findall("<script", page))


def test_law_the_base_map_is_the_same_text_every_time() -> None:
    """What changes in it would load the map anew, with a flash and the view lost."""
    one, two = (re.sub("[0-9a-f]{32}", "id", base_map().get_root().render()) for _ in range(2))
    assert one == two
