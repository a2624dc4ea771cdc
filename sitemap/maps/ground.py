"""Ground in colour: where a kiln may stand, and over the rest the pattern of what bars it first."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.geometry import mapping

from sitemap.geodesy.plane import Plane
from sitemap.maps.scene import Overlay
from sitemap.siting.usable import Usable

# Style of an overlay → what bars so, by the words of the siting room; what none of them names keeps its distance. The
# first that holds gives a place its pattern: what cannot be changed by work before what can.
PATTERNS = (
    ("barred ground", ("ground", "terrain")),
    ("barred near", None),
    ("barred way", ("machine", "ways out")),
    ("barred slope", ("slope",)),
    ("barred water", ("water",)),
)


def ground_overlays(usable: Usable, plane: Plane) -> Iterator[Overlay]:
    """The usable ground, and the barred ground where the crew works, a place under one pattern."""
    named = {what for _, kinds in PATTERNS for what in kinds or ()}
    others = tuple(sorted({bar.what for bar in usable.bars} - named))
    groups = [(style, others if kinds is None else kinds) for style, kinds in PATTERNS]
    for style, area in usable.barred_by(groups):
        yield Overlay(style, mapping(plane.inverse(area)))
    if not usable.area.is_empty:
        yield Overlay("usable", mapping(plane.inverse(usable.area)))
