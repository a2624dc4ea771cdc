"""A new thing on the map: an id and a name nothing else bears, what describes the one it is to be like, and the kiln
where only one can be meant."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitemap.maps.symbols import symbol_of
from sitemap.site.alike import described
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site

_NUMBERED = ("pile", "windrow", "transect", "kiln_spot", "water_source")  # named by their letter, as on the sheets


def new_feature(
    site: Site, kind: str, geometry: Mapping[str, Any], kiln: str | None = None, like: Feature | None = None
) -> Feature:
    """A feature ready to be put on a site.

    kiln : id of the kiln of a kiln spot; else that of the spot it is like, else the site's only one
    like : one of the same kind that it is like
    """
    values: dict[str, Any] = {"kind": kind, "name": _new_name(site, kind)}
    if like is not None and like.kind == kind:
        values |= described(like)
    kilns = site.equipment("kilns")
    if kind == "kiln_spot":
        kiln = kiln or values.get("kiln") or (kilns[0].id if len(kilns) == 1 else None)
        values |= {"kiln": kiln} if kiln else {}
    return Feature.of(site.new_id(kind), geometry, values)


def _new_name(site: Site, kind: str) -> str:
    names = {feature.name for feature in site.of_kind(kind)}
    start = symbol_of(kind).letter if kind in _NUMBERED else KINDS[kind].label + " "
    number = len(site.of_kind(kind)) + 1
    while f"{start}{number}" in names:
        number += 1
    return f"{start}{number}"
