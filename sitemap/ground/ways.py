"""What a site says about ways: what stands in the way, and what its machines may do."""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from sitemap.ground.plane import Plane
from sitemap.ground.routes import Obstacles
from sitemap.ground.travel import Machine
from sitemap.site.model import Item, Site

CLOSED_KINDS = ("structure", "fuel_store", "no_go", "railway")
WET_KINDS = ("stream", "wetland")
WAY_KINDS = ("track", "road")  # a road crosses water by a bridge or culvert, so it opens wet ground as a track does


def obstacles_of(site: Site, plane: Plane, hose: bool = False) -> Obstacles:
    """The obstacles of a site, on its plane.

    Parameters
    ----------
    site, plane : the site and its plane
    hose : for a hose, which may lie in a stream or marsh; machines and people cross them on a track or road only

    Returns
    -------
    Obstacles: buildings, fuel stores, railways, no-go areas and the open water of ponds closed; roads crossed and
    said so. Standing timber, heaps and property lines do not stop a way: draw a no-go area where they do.
    """
    ponds = [shape for shape in _shapes(site, plane, ("water_source",)) if shape.area > 0]
    return Obstacles(
        closed=(*_shapes(site, plane, CLOSED_KINDS), *ponds),
        wet=() if hose else _shapes(site, plane, WET_KINDS),
        tracks=_shapes(site, plane, WAY_KINDS),
        roads=_shapes(site, plane, ("road",)),
    )


def machine_of(item: Item | None) -> Machine:
    """A machine of the equipment list as a mover; what is not entered, and no machine at all, is taken as the slow
    small one of the house defaults. The one slope limit entered holds loaded and empty, up and down.
    """
    entered = item.number if item is not None else lambda _: None
    slope = entered("max_slope_pct") or Machine.loaded_up_pct
    return Machine(
        loaded_km_h=entered("loaded_km_h") or Machine.loaded_km_h,
        empty_km_h=entered("empty_km_h") or Machine.empty_km_h,
        loaded_up_pct=slope,
        loaded_down_pct=slope,
        empty_up_pct=slope,
        empty_down_pct=slope,
        side_slope_pct=entered("side_slope_pct") or Machine.side_slope_pct,
        width_m=entered("width_m") or Machine.width_m,
    )


def _shapes(site: Site, plane: Plane, kinds: tuple[str, ...]) -> tuple[BaseGeometry, ...]:
    features = site.of_kind(*kinds)
    return tuple(plane.forward(feature.shape) for feature in features if feature.shape is not None)
