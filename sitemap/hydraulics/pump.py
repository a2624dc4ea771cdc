"""Pump curves from what stands on the plate or in the manual, as a `Supply`. Head [m], flow [L/min]."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from sitemap.errors import BadValue, positive, within
from sitemap.hydraulics.supply import Supply

STEEPEST = 20.0  # largest exponent C of a curve through three points; ours, pumps have 1 to 4 (from memory M)
PLATE_WEAR = 0.9  # share of the plate's head that a used pump still gives: common practice, no source


def plate_pump(max_head_m: float, max_flow_l_min: float, wear: float = PLATE_WEAR) -> Supply:
    """Pump known only by its plate maxima: H = wear·H0·(1 − (Q/Qmax)²).

    Parameters
    ----------
    max_head_m : head at no flow on the plate [m]
    max_flow_l_min : flow at no head on the plate [L/min]
    wear : share of the head it still gives, 0.3 … 1; 0.9 unless it is new

    Returns
    -------
    Supply

    Raises
    ------
    BadValue : a maximum not above zero, wear outside its limits

    References
    ----------
    Plate maxima put into the one-point rule overstate the flow 1.2–1.6 times (D).

    >>> float(plate_pump(40.0, 400.0, wear=1.0).head_m(200.0))
    30.0
    """
    head = positive("Maximum head", max_head_m, "m") * within("Wear", wear, 0.3, 1.0)
    flow = positive("Maximum flow", max_flow_l_min, "L/min")
    return Supply(head, head / flow**2, 2.0, flow)


def rated_pump(rated_head_m: float, rated_flow_l_min: float, wear: float = 1.0) -> Supply:
    """Pump with one point labelled as rated: H = 4/3·Hd − Hd/3·(Q/Qd)².

    Only for a point the maker calls rated or design point, never for plate maxima. rated_head_m [m], rated_flow_l_min
    [L/min], wear the share of the head it still gives [-].

    References
    ----------
    EPANET 2.2 user manual, single-point pump curve P.

    >>> float(rated_pump(30.0, 100.0).head_m(100.0))
    30.0
    """
    head = positive("Rated head", rated_head_m, "m") * within("Wear", wear, 0.3, 1.0)
    flow = positive("Rated flow", rated_flow_l_min, "L/min")
    return Supply(4 / 3 * head, head / 3 / flow**2, 2.0, 2 * flow)


def curve_pump(points: Sequence[tuple[float, float]], wear: float = 1.0) -> Supply:
    """Pump by its tabulated curve, pairs of flow and head.

    Three points that begin at no flow are joined by H = A − B·Q^C; any other number by straight lines. Below the first
    point the head stays that of the first point; beyond the last point the pump gives no more flow.

    Parameters
    ----------
    points : ([L/min], [m]) pairs, at least two, flow rising and head falling
    wear : share of the head it still gives, 0.3 … 1

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
        raise BadValue(f"A pump curve needs at least 2 points of flow and head; it has {len(points)}. Add a point.")
    share = within("Wear", wear, 0.3, 1.0)
    for flow, head in points:
        within("Flow of the pump curve", flow, 0.0, 1e6, "L/min")
        within("Head of the pump curve", head, 0.0, 1e4, "m")
    for (flow, head), (next_flow, next_head) in pairwise(points):
        if next_flow <= flow or next_head >= head:
            raise BadValue(
                f"A pump curve must fall as the flow grows: it goes from {head:g} m at {flow:g} L/min to "
                f"{next_head:g} m at {next_flow:g} L/min. Correct the point that rises."
            )
    if len(points) == 3 and points[0][0] == 0 and (bent := _three_point_pump(points, share)):
        return bent
    worn = tuple((float(flow), float(head) * share) for flow, head in points)
    return Supply(worn[0][1], most_flow_l_min=worn[-1][0], table=worn)


def _three_point_pump(points: Sequence[tuple[float, float]], share: float) -> Supply | None:
    (_, h0), (q1, h1), (q2, h2) = points
    c = math.log((h0 - h2) / (h0 - h1)) / math.log(q2 / q1)
    if q1 < 0.1 or c > STEEPEST:  # no pump bends like that: straight lines from point to point
        return None
    b = (h0 - h1) / q1**c
    return Supply(h0 * share, b * share, c, (h0 / b) ** (1 / c))
