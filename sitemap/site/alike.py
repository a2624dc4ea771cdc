"""One more like another: what describes a thing and may be copied to a second one.

A positive list, so that an attribute added later is not copied before somebody has thought of it. What was seen, read,
cut, turned, weighed or allowed at one thing says nothing of another; nor do the things of others beside the site, whose
blanks take the careful value (FIELD: a fact belongs to a place and a day).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from sitemap.site.attributes import RANGE_SUFFIXES
from sitemap.site.model import Feature

_WOOD = (
    *("wood", "wood_mix", "density_kg_m3", "packing", "packing_ratio", "soil", "soil_fraction", "rotten_fraction"),
    *("thickest_cm", "char_stock_fraction", "oversize_fraction", "fines_fraction"),
)
_SIZES = ("length_m", "width_m", "height_m")
_ENDS = ("length_b_m", "width_b_m", "height_b_m")
#  What describes the thing itself: kind → attributes.
ALIKE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "pile": ("shape", *_SIZES, *_ENDS, *_WOOD),
        "windrow": ("section", "width_m", "height_m", *_WOOD),
        "transect": ("taped", "wood", "density_kg_m3"),
        "kiln_spot": ("kiln", "feeders", "quench_method"),
        "control_line": ("width_m",),
        "water_source": ("source", "pump", "nozzle", "tank_shape", "diameter_m", *_SIZES),
    }
)


def described(feature: Feature) -> dict[str, Any]:
    """What describes a thing, for another one like it: nobody has measured that one, so its figures are estimates.

    Returns
    -------
    attribute → value, with range and basis of a figure that was no more than estimated
    """
    found: dict[str, Any] = {}
    for name in ALIKE.get(feature.kind, ()):
        if not feature.has(name):
            continue
        found[name] = feature.raw(name)
        if not feature.attribute(name).ranged:
            continue
        typed = feature.measured(name)
        if typed is not None and typed.basis == "measured":
            found[f"{name}_basis"] = "estimated"
        else:
            keys = [name + suffix for suffix in RANGE_SUFFIXES]
            found |= {key: feature.values[key] for key in keys if key in feature.values}
    return found
