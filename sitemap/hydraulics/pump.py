"""Pump curves from what stands on the plate or in the manual, as a `Supply`. Head [m], flow [L/min]."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from sitemap.errors import BadValue, positive, within
from sitemap.hydraulics.supply import Supply
from sitemap.reasons import as_typed, reason

STEEPEST = 20.0  # largest exponent C of a curve through three points; ours, pumps have 1 to 4 (from memory M)


def plate_pump(max_head_m: float, max_flow_l_min: float) -> Supply:
    """Pump known only by its plate maxima: H = H0·(1 − (Q/Qmax)²).

    What wear takes of its head is no matter of the plate: see the supply share of a hose line.

    Parameters
    ----------
    max_head_m : head at no flow on the plate [m]
    max_flow_l_min : flow at no head on the plate [L/min]

    Returns
    -------
    Supply

    Raises
    ------
    BadValue : a maximum not above zero

    References
    ----------
    Plate maxima put into the one-point rule overstate the flow 1.2–1.6 times (D).

    >>> float(plate_pump(40.0, 400.0).head_m(200.0))
    30.0
    """
    head = positive("Maximum head", max_head_m, "m")
    flow = positive("Maximum flow", max_flow_l_min, "L/min")
    return Supply(head, head / flow**2, 2.0, flow)


def rated_pump(rated_head_m: float, rated_flow_l_min: float) -> Supply:
    """Pump with one point labelled as rated: H = 4/3·Hd − Hd/3·(Q/Qd)².

    Only for a point the maker calls rated or design point, never for plate maxima.

    Parameters
    ----------
    rated_head_m : head at that point [m]
    rated_flow_l_min : flow at that point [L/min]

    Returns
    -------
    Supply

    Raises
    ------
    BadValue : a figure not above zero

    References
    ----------
    EPANET 2.2 user manual, single-point pump curve P.

    >>> float(rated_pump(30.0, 100.0).head_m(100.0))
    30.0
    """
    head = positive("Rated head", rated_head_m, "m")
    flow = positive("Rated flow", rated_flow_l_min, "L/min")
    return Supply(4 / 3 * head, head / 3 / flow**2, 2.0, 2 * flow)


def curve_pump(points: Sequence[tuple[float, float]]) -> Supply:
    """Pump by its tabulated curve, pairs of flow and head.

    Three points that begin at no flow are joined by H = A − B·Q^C; any other number by straight lines. Below the first
    point the head stays that of the first point; beyond the last point the pump gives no more flow.

    Parameters
    ----------
    points : ([L/min], [m]) pairs, at least two, flow rising and head falling

    Returns
    -------
    Supply

    Raises
    ------
    BadValue : fewer than two points, a negative number, flow that does not rise, head that does not fall

    References
    ----------
    EPANET 2.2 user manual, three-point pump curve P: A = h0, C = ln((h0 − h2)/(h0 − h1)) / ln(q2/q1),
    B = (h0 − h1)/q1^C.

    >>> round(float(curve_pump(((0.0, 32.0), (300.0, 24.0), (600.0, 0.0))).head_m(450.0)), 6)
    14.0
    """
    if len(points) < 2:
        raise BadValue(reason("hydraulics.few_curve_points", count=len(points)))
    for flow, head in points:
        within("Flow of the pump curve", flow, 0.0, 1e6, "L/min")
        within("Head of the pump curve", head, 0.0, 1e4, "m")
    for (flow, head), (next_flow, next_head) in pairwise(points):
        if next_flow <= flow or next_head >= head:
            here, there = as_typed(flow, "l_min"), as_typed(next_flow, "l_min")
            heads = as_typed(head, "m"), as_typed(next_head, "m")
            raise BadValue(
                reason("hydraulics.curve_rises", flow=here, head=heads[0], next_flow=there, next_head=heads[1])
            )
    if len(points) == 3 and points[0][0] == 0 and (bent := _three_point_pump(points)):
        return bent
    table = tuple((float(flow), float(head)) for flow, head in points)
    return Supply(table[0][1], most_flow_l_min=table[-1][0], table=table)


def _three_point_pump(points: Sequence[tuple[float, float]]) -> Supply | None:
    (_, h0), (q1, h1), (q2, h2) = points
    c = math.log((h0 - h2) / (h0 - h1)) / math.log(q2 / q1)
    if q1 < 0.1 or c > STEEPEST:  # no pump bends like that: straight lines from point to point
        return None
    b = (h0 - h1) / q1**c
    return Supply(h0, b, c, (h0 / b) ** (1 / c))
