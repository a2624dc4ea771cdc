"""Small site files for the tests: plain JSON in, text or Site out."""

from __future__ import annotations

import json
from typing import Any

from sitemap.site.file import parse_site
from sitemap.site.model import Site

SQUARE = [[-120.0, 44.0], [-119.999, 44.0], [-119.999, 44.001], [-120.0, 44.001], [-120.0, 44.0]]


def point(lon: float = -120.0, lat: float = 44.0, *more: float) -> dict[str, Any]:
    """A GeoJSON point."""
    return {"type": "Point", "coordinates": [lon, lat, *more]}


def thing(id: Any = "a", kind: str | None = "pile", geometry: Any = "point", **properties: Any) -> dict[str, Any]:  # noqa: A002
    """A GeoJSON feature of one kind; on one spot unless a geometry (or None) is given."""
    placed = point() if geometry == "point" else geometry
    said = properties if kind is None else {"kind": kind, **properties}
    return {"type": "Feature", "id": id, "geometry": placed, "properties": said}


def text_of(*features: Any, site: Any = None, **members: Any) -> str:
    """The text of a site file; metric units unless a `site` member is given."""
    member = {"units": "metric"} if site is None else site
    return json.dumps({"type": "FeatureCollection", "site": member, "features": list(features), **members})


def site_of(*features: Any, site: Any = None, **members: Any) -> Site:
    """The Site of such a file. A dict as `site` member gets metric units where it says none."""
    member = {"units": "metric", **(site or {})}
    return parse_site(text_of(*features, site=member, **members))
