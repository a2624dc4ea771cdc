"""What the map shows and what comes back from it, as plain values: no map library, no page.

The browser gets every shape unwrapped to within 180° of the site's centre, so that a site across the antimeridian is
one picture. It sends back only what a person did. Corners nobody touched come back bit for bit as they were entered,
with their height above the sea; only corners that moved are new, rounded to about a centimetre.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from sitemap.errors import BadValue
from sitemap.geodesy.plane import wrapped

WEB_MAP_LATITUDE_DEG = 85.0  # beyond about 85.05° the web's Mercator square ends
DECIMALS = 7  # of a degree: about a centimetre
SHAPES = ("Point", "LineString", "Polygon")

Geometry = Mapping[str, Any]
Part = tuple[int, ...]


@dataclass(frozen=True)
class MapFeature:
    """One feature to draw.

    kind : key into `symbols.SYMBOLS`
    label : short text beside its symbol
    geometry : GeoJSON, exactly as the Site holds it
    verdict : effect of the decision on a kiln spot, as in `symbols.VERDICTS`; empty for none
    sign : one to three letters that stand in its symbol in place of the kind's letter; empty for that letter
    """

    id: str
    kind: str
    name: str
    label: str
    geometry: Geometry
    verdict: str = ""
    sign: str = ""


@dataclass(frozen=True)
class Overlay:
    """Something computed, drawn over the ground and never touched.

    style : key of `symbols.OVERLAYS`
    geometry : GeoJSON, longitude and latitude
    label : short text on it, such as a distance
    about : id of the feature it belongs to; it fades while that feature is being moved
    """

    style: str
    geometry: Geometry
    label: str = ""
    about: str = ""


@dataclass(frozen=True)
class Backdrop:
    """A picture under everything, already in Web Mercator: a local address, and west, south, east, north [°].

    credit : whom it is owed to; printed wherever the picture is
    """

    address: str
    bounds: tuple[float, float, float, float]
    credit: str = ""


@dataclass(frozen=True)
class Tool:
    """One kind a person may add: the shapes it may have, first that it begins with, and the heading it stands under."""

    kind: str
    label: str
    group: str
    shapes: tuple[str, ...]


@dataclass(frozen=True)
class CheckRow:
    """One distance of a kiln, as it is read: the thing and its id, how far, by the rule, to spare, and the effect."""

    about: str
    thing: str
    distance: str
    rule: str
    spare: str
    effect: str


@dataclass(frozen=True)
class KilnVerdict:
    """The decision on one kiln for the bar under the map.

    title : "Kiln K1: not here"; name, word : "K1", "not here"; effect : as in `symbols.VERDICTS`
    first : what to do first and why; others : the same of each other thing that is open
    checks : its distances, nearest to turning first
    """

    id: str
    title: str
    name: str
    word: str
    effect: str
    first: str
    others: tuple[str, ...]
    checks: tuple[CheckRow, ...]


@dataclass(frozen=True)
class KilnSize:
    """A kiln spot as a circle; error_m : how far its place may be off."""

    id: str
    radius_m: float
    error_m: float


@dataclass(frozen=True)
class Thing:
    """What kilns keep clear of, edge to edge, by `need_m`.

    radius_m : how much wider it is than it is drawn (a heap at a point, a kiln); edge : only its outline counts
    """

    id: str
    name: str
    need_m: float
    error_m: float
    radius_m: float = 0.0
    edge: bool = False


@dataclass(frozen=True)
class Limits:
    """What a drag is held against while it lasts; after it the assessment decides."""

    kilns: tuple[KilnSize, ...] = ()
    things: tuple[Thing, ...] = ()


@dataclass(frozen=True)
class MapView:
    """All that one map shows.

    place : names the site; the browser remembers where a person looked, one view for each place
    centre : longitude and latitude [°]
    zoom : the zoom to start with; None fits the features
    selected : id of the feature to mark; a change here is followed, a person's own choice is kept otherwise
    look_at : (longitude, latitude, zoom); the map goes there when this changes
    tools : what may be added; with none the map is for reading only
    units : "metric" or "us", for the scale bar and everything measured on the map
    kilns, limits : the decision on each kiln, and what a drag is held against
    done : the last edit of the site, which undo takes back
    ground : what is said of the ground beside the scale
    hint : what to do next, where no kiln is chosen; empty leaves it to the map
    placing : whether the next touch places something: then it counts wherever it falls, on a symbol too
    begins : kind drawn at once, as another page asked, and a mark; amid : it stands amid a page, which the wheel moves
    """

    place: str
    centre: tuple[float, float]
    features: tuple[MapFeature, ...] = ()
    overlays: tuple[Overlay, ...] = ()
    tools: tuple[Tool, ...] = ()
    selected: str | None = None
    zoom: float | None = None
    look_at: tuple[float, float, float] | None = None
    backdrop: Backdrop | None = None
    units: str = "metric"
    kilns: tuple[KilnVerdict, ...] = ()
    limits: Limits = Limits()
    done: str = ""
    ground: str = ""
    hint: str = ""
    placing: bool = False
    amid: bool = False
    begins: tuple[str, str] | None = None


@dataclass(frozen=True)
class Edits:
    """What a person did to the map since it was last read.

    changed : (id, whole new geometry)
    added : (kind, geometry, id of the thing it is to be like or "")
    deleted : ids
    clicked : longitude and latitude of a click on bare ground, or None
    selected : id of the feature now marked on the map, or None
    undo : the edit to be taken back, by what `MapView.done` called it; empty for none
    """

    changed: tuple[tuple[str, dict[str, Any]], ...] = ()
    added: tuple[tuple[str, dict[str, Any], str], ...] = ()
    deleted: tuple[str, ...] = ()
    clicked: tuple[float, float] | None = None
    selected: str | None = None
    undo: str = ""


def why_no_map(view: MapView) -> str | None:
    """A sentence where the web map cannot show the site (above 85° north or south), else None."""
    places = (place for feature in view.features for _, part in parts(feature.geometry) for place in _places(part))
    if abs(view.centre[1]) <= WEB_MAP_LATITUDE_DEG and all(abs(place[1]) <= WEB_MAP_LATITUDE_DEG for place in places):
        return None
    return (
        "The map cannot show ground above 85° of latitude. Features can still be entered as coordinates, and the plan "
        "and the command line work as everywhere."
    )


def parts(geometry: Geometry) -> Iterator[tuple[Part, Geometry]]:
    """The points, lines and polygons a geometry is made of, each with its path inside it. Empty ones are left out.

    >>> [path for path, _ in parts({"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]})]
    [(0,), (1,)]
    """
    kind = geometry.get("type")
    if kind == "GeometryCollection":
        for number, member in enumerate(geometry.get("geometries") or ()):
            for path, part in parts(member):
                yield (number, *path), part
    elif kind in SHAPES:
        if geometry.get("coordinates"):
            yield (), geometry
    elif isinstance(kind, str) and kind.removeprefix("Multi") in SHAPES:
        for number, coordinates in enumerate(geometry.get("coordinates") or ()):
            if coordinates:
                yield (number,), {"type": kind.removeprefix("Multi"), "coordinates": coordinates}


def with_part(geometry: Geometry, path: Part, part: Geometry) -> dict[str, Any]:
    """A geometry with one of its parts replaced.

    >>> two = {"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]}
    >>> with_part(two, (1,), {"type": "Point", "coordinates": [5, 6]})
    {'type': 'MultiPoint', 'coordinates': [[1, 2], [5, 6]]}
    """
    if not path:
        return dict(part)
    member = "geometries" if geometry["type"] == "GeometryCollection" else "coordinates"
    items = list(geometry[member])
    if member == "geometries":
        items[path[0]] = with_part(items[path[0]], path[1:], part)
    else:
        items[path[0]] = part["coordinates"]
    return {**geometry, member: items}


def unwrapped(geometry: Geometry, centre_lon: float) -> dict[str, Any]:
    """A simple geometry with every longitude within 180° of a centre, as the map wants it."""
    return {
        "type": geometry["type"],
        "coordinates": _mapped(geometry["coordinates"], lambda place: _near(place, centre_lon)),
    }


def payload(view: MapView, seen: tuple[str, int]) -> dict[str, Any]:
    """The view as plain JSON for the browser; `seen` is the last act already read. Raises BadValue for a backdrop that
    is not local."""
    lon = view.centre[0]
    backdrop = view.backdrop
    if backdrop and (backdrop.address.startswith("//") or "://" in backdrop.address.split("?")[0]):
        raise BadValue(f"The picture under the map must be a file of this machine, not {backdrop.address}.")
    return {
        "place": view.place,
        "seen": list(seen),
        "centre": list(view.centre),
        "zoom": view.zoom,
        "lookAt": [*_near(view.look_at[:2], lon), view.look_at[2]] if view.look_at else None,
        "units": view.units,
        "selected": view.selected,
        "features": [
            {
                "id": feature.id,
                "part": list(path),
                "kind": feature.kind,
                "name": feature.name,
                "label": feature.label,
                "verdict": feature.verdict,
                "sign": feature.sign,
                "geometry": unwrapped(part, lon),
            }
            for feature in view.features
            for path, part in parts(feature.geometry)
        ],
        "overlays": [
            {"style": overlay.style, "about": overlay.about, "label": overlay.label, "geometry": unwrapped(part, lon)}
            for overlay in view.overlays
            for _, part in parts(overlay.geometry)
        ],
        "backdrop": (
            {"address": backdrop.address, "bounds": list(backdrop.bounds), "credit": backdrop.credit}
            if backdrop
            else None
        ),
        "tools": [
            {"kind": tool.kind, "label": tool.label, "group": tool.group, "shapes": list(tool.shapes)}
            for tool in view.tools
        ],
        "kilns": [asdict(kiln) for kiln in view.kilns],
        "limits": {
            "kilns": [vars(kiln) for kiln in view.limits.kilns],
            "things": [vars(thing) for thing in view.limits.things],
        },
        "done": view.done,
        "ground": view.ground,
        "hint": view.hint,
        "placing": view.placing,
        "amid": view.amid,
        "begins": {"kind": view.begins[0], "mark": view.begins[1]} if view.begins else None,
    }


def edits_of(acts: Any, view: MapView, seen: tuple[str, int]) -> tuple[Edits, tuple[str, int]]:
    """Read the acts the browser sent: those newer than `seen`, and the number of the newest.

    Parameters
    ----------
    acts : the list as received; anything that is not an act is passed over
    view : the view the browser was showing
    seen : (page load, number of the last act read)
    """
    by_id = {feature.id: feature for feature in view.features}
    changed: dict[str, dict[str, Any]] = {}
    added: list[tuple[str, dict[str, Any], str]] = []
    deleted: list[str] = []
    clicked: tuple[float, float] | None = None
    selected: str | None = None
    undo = ""
    for act in _acts(acts):
        selected = act.get("selected")
        if act["load"] == seen[0] and act["n"] <= seen[1]:
            continue
        seen, feature = (act["load"], act["n"]), by_id.get(str(act.get("id")))
        if act["do"] == "moved" and feature:
            path = tuple(act["part"])
            part = dict(parts(feature.geometry)).get(path)
            if part is not None:
                whole = changed.get(feature.id, feature.geometry)
                changed[feature.id] = with_part(whole, path, _restored(act["geometry"], part, view.centre[0]))
        elif act["do"] == "deleted" and feature:
            changed.pop(feature.id, None)
            deleted.append(feature.id)
        elif act["do"] == "added":
            added.append((act["kind"], _restored(act["geometry"], None, view.centre[0]), str(act.get("like") or "")))
        elif act["do"] == "clicked":
            lon, lat = _tidy(act["at"])
            clicked = (lon, lat)
        elif act["do"] == "undo":
            undo = str(act["what"])
    return Edits(tuple(changed.items()), tuple(added), tuple(dict.fromkeys(deleted)), clicked, selected, undo), seen


def _acts(acts: Any) -> Iterator[dict[str, Any]]:
    for act in acts or ():
        if isinstance(act, dict) and {"load", "n", "do"} <= act.keys():
            yield act


def _restored(drawn: Geometry, original: Geometry | None, centre_lon: float) -> dict[str, Any]:
    """What the browser sent, with every corner it left alone exactly as it was entered."""
    known: dict[tuple[float, float], Any] = {}
    for place in _places(original) if original else ():
        lon, lat = _near(place, centre_lon)[:2]
        known[lon, lat] = place
    return {
        "type": drawn["type"],
        "coordinates": _mapped(drawn["coordinates"], lambda place: known.get((place[0], place[1])) or _tidy(place)),
    }


def _near(place: Iterable[float], centre_lon: float) -> tuple[float, ...]:
    lon, lat, *rest = place
    return (lon + 360 * round((centre_lon - lon) / 360), lat, *rest)


def _tidy(place: Iterable[float]) -> tuple[float, ...]:
    lon, lat, *rest = place
    return (round(float(wrapped(lon)), DECIMALS), round(lat, DECIMALS), *rest)


def _mapped(coordinates: Any, change: Any) -> Any:
    if coordinates and isinstance(coordinates[0], int | float):
        return list(change(coordinates))
    return [_mapped(item, change) for item in coordinates]


def _places(geometry: Geometry) -> Iterator[Any]:
    pending = [geometry["coordinates"]]
    while pending:
        coordinates = pending.pop()
        if coordinates and isinstance(coordinates[0], int | float):
            yield coordinates
        else:
            pending.extend(coordinates)
