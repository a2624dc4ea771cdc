"""From a Site and what was computed for it to what the map shows."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

import numpy as np
from shapely import union_all
from shapely.geometry import LineString, Point, mapping

from sitemap.assessment import Assessment, SpotReport
from sitemap.geodesy.plane import Plane
from sitemap.maps.scene import Backdrop, Limits, MapFeature, MapView, Overlay, Tool
from sitemap.maps.sectors import sector_overlays
from sitemap.maps.symbols import symbol_of
from sitemap.maps.verdicts import kiln_verdicts, limits_of, near_text, to_turning
from sitemap.safety.effects import RULED_OUT
from sitemap.safety.near import MEASURE
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.terrain.relief import contour_interval, contours
from sitemap.terrain.terrain import Terrain
from sitemap.units import from_display, text
from sitemap.water.reading import kit_of
from sitemap.water.routes import drawn_lay, route_line
from sitemap.water.values import Way

TOOLS: tuple[Tool, ...] = tuple(Tool(kind.key, kind.label, kind.group, kind.geometries) for kind in KINDS.values())
EMPTY_CENTRE = (0.0, 0.0)
MOST_LINES = 4  # from the chosen kiln: more of them nobody can follow
SIGN_LETTERS = 3  # what can still be read in a sign
KEEP_CLEAR_WITHIN_M = 60.0  # [m] beyond its distance: what is farther does not matter to a drag


def map_view(
    assessment: Assessment,
    place: str,
    selected: Feature | None = None,
    look_at: tuple[float, float, float] | None = None,
    backdrop: Backdrop | None = None,
    extra: tuple[Overlay, ...] = (),
    tools: tuple[Tool, ...] = TOOLS,
) -> MapView:
    """The map of a site with its verdicts, the distances that bind, and the ways water takes.

    Parameters
    ----------
    assessment : of the site
    place : names the site, so that the browser keeps where a person looked
    selected : the feature in the panel; a kiln spot shows its distances and its water
    look_at : longitude, latitude and zoom to go to when it changes
    backdrop : a picture under everything
    extra : further overlays, such as areas water reaches
    tools : what may be added; none makes the map for reading only
    """
    site, plane = assessment.source, assessment.plane
    effects = {decision.spot: decision.effect for decision in assessment.decisions}
    signs, states = kiln_signs({f.id: f.name for f in site.of_kind("kiln_spot")}), assessment.states
    features = tuple(
        MapFeature(f.id, f.kind, f.name, _label(f, states), f.geometry, effects.get(f.id, ""), signs.get(f.id, ""))
        for f in site.features
        if f.geometry is not None
    )
    centre = (plane.lon0, plane.lat0) if plane is not None else (look_at[:2] if look_at else EMPTY_CENTRE)
    overlays = (
        *_contours(assessment),
        *extra,
        *sector_overlays(assessment, selected.id if selected is not None else None),
        *_keep_clear(assessment, selected),
        *_distances(assessment, selected),
        *_ways(assessment, selected),
    )
    return MapView(
        place=place,
        centre=centre,
        features=features,
        overlays=overlays,
        tools=tools,
        selected=selected.id if selected is not None else None,
        look_at=look_at,
        backdrop=backdrop,
        units=site.units,
        kilns=kiln_verdicts(assessment) if tools else (),
        limits=limits_of(assessment) if tools else Limits(),
        ground=_ground_said(assessment),
    )


def _label(feature: Feature, states: Mapping[str, str]) -> str:
    """Its name, and beside it how it stands, in a word: that is told apart without colour."""
    state = states.get(feature.id)
    return feature.name if state is None else f"{feature.name} · {state}"


def kiln_signs(names: Mapping[str, str]) -> dict[str, str]:
    """What stands in the sign of each kiln spot: its name where that is short, else K and the number at its end. Where
    two would share a sign, and where there is none, it is # and its place in the list: the papers call it so too.

    Parameters
    ----------
    names : id of a kiln spot → its name

    >>> kiln_signs({"a": "K1", "b": "Kiln by the gate 12", "c": "North 3", "d": "South 3", "e": "Old yard"})
    {'a': 'K1', 'b': 'K12', 'c': '#3', 'd': '#4', 'e': '#5'}
    """
    signs = {key: _sign(name.strip()) for key, name in names.items()}
    count = Counter(signs.values())
    kept = {key: sign for key, sign in signs.items() if sign and count[sign] == 1}
    return {key: kept.get(key, f"#{place}") for place, key in enumerate(names, start=1)}


def _sign(name: str) -> str:
    if len(name) <= SIGN_LETTERS:
        return name
    number = re.search(r"(?<![\d.,])\d+$", name)
    sign = symbol_of("kiln_spot").letter + number[0] if number else ""
    return sign if len(sign) <= SIGN_LETTERS else ""


def _contours(assessment: Assessment) -> tuple[Overlay, ...]:
    terrain, plane = assessment.terrain, assessment.plane
    if terrain is None or plane is None or terrain.level:
        return ()
    return _contour_lines(terrain, plane, assessment.source.units)


@lru_cache(maxsize=4)
def _contour_lines(terrain: Terrain, plane: Plane, units: str) -> tuple[Overlay, ...]:
    """Contours at round heights of the units shown, lightly simplified; only index contours carry their height."""
    step = _contour_step_m(terrain, units)
    found = []
    for contour in contours(terrain, step):
        line = plane.inverse(contour.lines.simplify(terrain.grid.cell_m / 3))
        label = text(contour.height_m, "m", units, 5) if contour.index else ""
        found.append(Overlay("index contour" if contour.index else "contour", mapping(line), label))
    return tuple(found)


def _contour_step_m(terrain: Terrain, units: str) -> float:
    unit_m = from_display(1.0, "m", units)
    low, high = float(np.nanmin(terrain.elevation_m)), float(np.nanmax(terrain.elevation_m))
    return unit_m * contour_interval(low / unit_m, high / unit_m)


def _ground_said(assessment: Assessment) -> str:
    """What the lines of the ground mean, beside the scale."""
    terrain = assessment.terrain
    if terrain is None or terrain.level:
        return "no heights known"
    step_m = _contour_step_m(terrain, assessment.source.units)
    return f"a contour every {near_text(step_m, assessment.source.units)}"


def _distances(assessment: Assessment, selected: Feature | None) -> Iterator[Overlay]:
    """Lines from kiln spots to what is too close or too near to tell; from the chosen one also to what turns next."""
    plane = assessment.plane
    if plane is None:
        return
    for spot in assessment.spots:
        chosen = selected is not None and selected.id == spot.id
        for place, setback in enumerate(sorted(spot.setbacks, key=to_turning)):
            style = {RULED_OUT: "too close"}.get(setback.effect, "measure" if setback.verdict == MEASURE else "nearest")
            if setback.line is None or (style == "nearest" and not (chosen and place < MOST_LINES)):
                continue
            line = plane.inverse(LineString(setback.line))
            label = near_text(setback.distance_m or 0.0, assessment.source.units)
            yield Overlay(style, mapping(line), label, spot.id)


def _keep_clear(assessment: Assessment, selected: Feature | None) -> Iterator[Overlay]:
    """Where the middle of the chosen kiln must not stand, by the distances entered: what to drag it away from."""
    site, plane = assessment.source, assessment.plane
    spot = assessment.spot(selected.id) if selected is not None else None
    if plane is None or selected is None or selected.shape is None or spot is None:
        return
    middle, barred = plane.forward(selected.shape.centroid), []
    lines = [setback.line for setback in spot.setbacks if setback.line is not None]
    radius_m = max((middle.distance(Point(line[0])) for line in lines), default=0.0)  # they start at the kiln's rim
    for setback in spot.setbacks:
        near = setback.margin_m is not None and setback.margin_m < KEEP_CLEAR_WITHIN_M
        feature = site.get(setback.feature)
        if near and setback.required_m and feature is not None and feature.shape is not None:
            barred.append(plane.forward(feature.shape).buffer(setback.required_m + radius_m, quad_segs=12))
    if barred:
        yield Overlay("keep clear", mapping(plane.inverse(union_all(barred))))


def _ways(assessment: Assessment, selected: Feature | None) -> Iterator[Overlay]:
    """The way of the best quench line of each kiln spot; of the chosen spot with what comes out."""
    for spot in assessment.spots:
        shown = _way(assessment, spot, selected is not None and selected.id == spot.id)
        if shown is not None:
            yield shown


def _way(assessment: Assessment, spot: SpotReport, chosen: bool) -> Overlay | None:
    water = assessment.water.of_spot(spot.id) if assessment.water else None
    best = water.quench if water else None
    if best is None or best.source is None or best.way is None or assessment.plane is None:
        return None
    geometry = way_geometry(assessment, best.source, spot.id, best.way)
    if geometry is None:
        return None
    flow = best.flow_l_min
    label = text(flow.likely, "l_min", assessment.source.units, 2) if chosen and flow is not None else ""
    return Overlay("lay" if best.way == "hose" else "haul", geometry, label, spot.id)


def way_geometry(assessment: Assessment, source: str, spot: str, way: Way) -> Mapping[str, Any] | None:
    """The line of one way in longitude and latitude: the crew's own where drawn, else the one found; or None."""
    site, plane = assessment.source, assessment.plane
    start, end = site.get(source), site.get(spot)
    if plane is None or start is None or end is None:
        return None
    drawn = drawn_lay(start, end, site.of_kind("hose_lay"), site.records("links"), plane) if way == "hose" else None
    if drawn is not None:
        return drawn.geometry
    line = route_line(start, end, way, site.features, plane, assessment.terrain, kit_of(site).machines)
    return None if line is None else mapping(plane.inverse(line))
