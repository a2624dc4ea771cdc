"""A page with nothing but the map, for the browser tests: it keeps what the map reports and shows it as JSON."""

import json
from dataclasses import asdict, replace

import streamlit as st

from sitemap.maps.draw import TOOLS
from sitemap.maps.scene import Edits, KilnSize, KilnVerdict, Limits, MapFeature, MapView, Overlay, Thing
from sitemap.views.map import canvas

st.set_page_config(layout="wide")

HARM = "Pile `2` </script><script>window.harmed = 1</script><img src=x onerror='window.harmed=1'>{{'x'}}_1"
START = {
    "spot": ("kiln_spot", "Kiln spot K1", "K1", {"type": "Point", "coordinates": [-121.30012345678901, 44.05, 1234.5]}),
    "pile": ("pile", HARM, HARM, {"type": "Point", "coordinates": [-121.3006, 44.0503]}),
    "area": (
        "logged_area",
        "Area A",
        "A",
        {
            "type": "MultiPolygon",
            "coordinates": [
                [[[-121.302, 44.0490], [-121.30123456789, 44.0490], [-121.3012, 44.0498, 7.25], [-121.302, 44.0490]]],
                [[[-121.2995, 44.0490], [-121.2985, 44.0490], [-121.2985, 44.0496], [-121.2995, 44.0490]]],
            ],
        },
    ),
    "row": (
        "windrow",
        "Row 1",
        "R1",
        {"type": "LineString", "coordinates": [[-121.3024, 44.0506], [-121.3010, 44.0506]]},
    ),
}
state = st.session_state
state.setdefault("round", 0)


def begin() -> None:
    """All as at first: the map goes where the work is, and nothing is chosen on it."""
    state.round += 1
    state.shapes, state.log = {key: value[3] for key, value in START.items()}, []


if "shapes" not in state:
    begin()


def follow(edits: Edits) -> None:
    """Keep every edit, as the real page does."""
    state.log.append(asdict(edits))
    state.shapes.update(dict(edits.changed))
    for key in edits.deleted:
        state.shapes.pop(key)
    for number, (kind, shape, _) in enumerate(edits.added):
        state.shapes[f"{kind}-{len(state.shapes) + number}"] = shape


features = tuple(
    MapFeature(key, *START.get(key, (key.split("-")[0], key, key))[:3], shape) for key, shape in state.shapes.items()
)
features = tuple(replace(f, verdict="ruled out", sign="K1") if f.id == "spot" else f for f in features)
spot = state.shapes.get("spot", {}).get("coordinates", (-121.3, 44.05))[:2]
overlays = (Overlay("too close", {"type": "LineString", "coordinates": [spot, (-121.3006, 44.0503)]}, "12 m", "spot"),)
limits = Limits((KilnSize("spot", 1.0, 0.5),), (Thing("pile", "the heap", 8.0, 0.5),))
done = f"Edit {len(state.log)}" if state.log else ""
kilns = tuple(  # more than stand by name under a map; only the first is drawn
    KilnVerdict(
        f"K{number}" if number > 1 else "spot", f"Kiln K{number}: {word}", f"K{number}", word, effect, "", 0, ()
    )
    for number, (word, effect) in enumerate(
        2 * [("not here", "ruled out"), ("may be lit", "passes"), ("not yet", "conditional")], 1
    )
)
place, nobody = f"test {state.round}", f"none {state.round}"
view = MapView(place, (-121.3, 44.05), features, overlays, TOOLS, nobody, kilns=kilns, limits=limits, done=done)
canvas.show(view, "map", follow, height_px=520)
st.code(json.dumps({"log": state.log, "shapes": state.shapes}), language=None)
st.button("Begin anew", on_click=begin)
st.text(f"begun: {state.round}")
st.text(f"edits read: {len(state.log)}")  # last, so that what stands above is of the same run
