"""What a log is held against: the wood of heaps that are burned up as it was reckoned before, and the ways of water."""

from __future__ import annotations

from sitemap.geodesy.plane import Plane
from sitemap.season.log_of_site import Ground
from sitemap.site.model import Site
from sitemap.slash.of_site import slash_of
from sitemap.slash.reading import GONE
from sitemap.water.values import Water


def ground_of(
    site: Site, plane: Plane | None, water: Water | None, bucket_l: float, piece_limit_cm: float | None
) -> Ground:
    """What the log of a site is held against.

    site : with heaps burned as its log says; plane, water : of it; bucket_l : what people call a bucket [L]
    piece_limit_cm : thickest piece any kiln of the site takes, None for the usual one
    """
    gone = tuple(heap for heap in site.of_kind("pile", "windrow") if heap.choice("status") in GONE)
    as_before = slash_of(tuple(heap.with_values(status=None) for heap in gone), (), (), plane, piece_limit_cm)
    routes = {
        spot.spot_id: tuple(
            (line.way, line.route_m)
            for line in spot.entries
            if line.line == "quench" and line.way is not None and line.route_m
        )
        for spot in (water.spots if water else ())
    }
    return Ground(bucket_l, routes, {item.id: item.char_stock_dry_t for item in as_before.items})
