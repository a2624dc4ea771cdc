"""What a log is held against: the wood of heaps that are burned up as it was reckoned before, and the ways of water."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from sitemap.geodesy.plane import Plane
from sitemap.season.log_of_site import Ground, Triple
from sitemap.season.pace import Learned
from sitemap.site.model import Site
from sitemap.slash.of_site import slash_of
from sitemap.slash.reading import GONE
from sitemap.water.values import Water


def ground_of(
    site: Site,
    plane: Plane | None,
    waters: tuple[Water | None, Water | None],
    paces: Sequence[Learned],
    bucket_l: float,
    piece_limit_cm: float | None,
    today: dt.date | None = None,
) -> Ground:
    """What the log of a site is held against.

    site : with heaps burned as its log says; plane : of it; bucket_l : what people call a bucket [L]
    waters : without the log and with it; paces : what its timed trips taught
    piece_limit_cm : thickest piece any kiln of the site takes, None for the usual one
    today : the last day the log may tell of; None, any
    """
    gone = tuple(heap for heap in site.of_kind("pile", "windrow") if heap.choice("status") in GONE)
    as_before = slash_of(tuple(heap.with_values(status=None) for heap in gone), (), (), plane, piece_limit_cm)
    brought = _brought(*waters) if paces else {}
    return Ground(bucket_l, paces, brought, {item.id: item.char_stock_dry_t for item in as_before.items}, today)


def _brought(before: Water | None, now: Water | None) -> dict[str, tuple[Triple, Triple]]:
    """What the water of each spot brings by machine or hand, without the log and with it [L/h]; where they differ.

    >>> from types import SimpleNamespace as Of
    >>> def day(l_min, way="haul"):
    ...     flow = Of(triple=lambda: (l_min, l_min, l_min))
    ...     return Of(spots=(Of(spot_id="k1", quench=Of(way=way, flow_l_min=flow)),))
    >>> _brought(day(5), day(4)), _brought(day(5), day(4, "hand"))
    ({'k1': ((300, 300, 300), (240, 240, 240))}, {})
    """
    if before is None or now is None:
        return {}
    found = {}
    for one, other in zip(before.spots, now.spots, strict=True):
        old, new = one.quench, other.quench
        if old.way in ("haul", "hand") and old.way == new.way and old.flow_l_min and new.flow_l_min and old != new:
            found[one.spot_id] = _an_hour(old.flow_l_min.triple()), _an_hour(new.flow_l_min.triple())
    return found


def _an_hour(flow_l_min: Triple) -> Triple:
    low, likely, high = flow_l_min
    return 60 * low, 60 * likely, 60 * high
