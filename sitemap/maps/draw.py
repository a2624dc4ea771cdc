"""From a Site and what was computed for it to what the map shows."""

from __future__ import annotations

from sitemap.maps.scene import SHAPES, Tool
from sitemap.site.kinds import KINDS

TOOLS: tuple[Tool, ...] = tuple(
    Tool(kind.key, kind.label, kind.group, tuple(shape for shape in SHAPES if shape in kind.geometries))
    for kind in KINDS.values()
)
