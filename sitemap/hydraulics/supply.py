"""What drives the water: a head that falls with the flow, and the flow it cannot exceed.

Pump, tap and gravity are one value, so that one steady state serves them all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sitemap.errors import BadValue, not_negative, positive
from sitemap.hydraulics.friction import Numbers, head_m
from sitemap.reasons import as_typed, reason

UNKNOWN_TAP_L_MIN = 15.0  # [L/min] cap of a tap or well of unknown yield; garden hose 15–23 L/min P
UNKNOWN_TAP_KPA = 275.8  # [kPa] 40 psi, the low end of what is normal (S)


@dataclass(frozen=True)
class Supply:
    """Head over flow: most_head − fall·Q^exponent, or a table.

    most_head_m : head at no flow [m]
    fall, exponent : of the power form, Q in L/min
    most_flow_l_min : flow that cannot be exceeded [L/min]; infinite where only the hose limits
    table : ((L/min, m), …) read along straight lines, in place of the power form
    held_by : what sets most_flow_l_min: "yield" of the source or the pump, or its "suction"
    """

    most_head_m: float
    fall: float = 0.0
    exponent: float = 2.0
    most_flow_l_min: float = np.inf
    table: tuple[tuple[float, float], ...] = ()
    held_by: Literal["yield", "suction"] = "yield"

    def head_m(self, flow_l_min: Numbers) -> Numbers:
        """Head delivered at a flow, scalar or (n,) [L/min] to [m]."""
        if self.table:
            flows, heads = zip(*self.table, strict=True)
            return np.asarray(np.interp(flow_l_min, flows, heads))
        return np.asarray(self.most_head_m - self.fall * np.asarray(flow_l_min, dtype=float) ** self.exponent)

    def capped(self, cap_l_min: float, held_by: Literal["yield", "suction"] = "yield") -> Supply:
        """The same supply, held to a flow [L/min]: a yield, a share one may take, what a suction hose lets through."""
        if positive("Flow cap", cap_l_min, "L/min") >= self.most_flow_l_min:
            return self
        return replace(self, most_flow_l_min=cap_l_min, held_by=held_by)


def gravity() -> Supply:
    """Water that runs by its own fall: no head but the height of the water over the outlet (a negative lift)."""
    return Supply(0.0)


def tap(
    static_pressure_kpa: float,
    yield_l_min: float | None = None,
    residual_pressure_kpa: float | None = None,
    residual_flow_l_min: float | None = None,
) -> Supply:
    """A tap or hydrant by its pressure and what it can yield.

    Parameters
    ----------
    static_pressure_kpa : pressure at no flow [kPa], above 0
    yield_l_min : most it gives [L/min]; None: 15 L/min, unless a flow test is given
    residual_pressure_kpa, residual_flow_l_min : a flow test: pressure left [kPa] at that flow [L/min]

    Returns
    -------
    Supply. With a flow test the pressure falls as Q^1.852, the friction of the pipe behind the tap.

    Raises
    ------
    BadValue : pressure not above 0, residual not below static

    References
    ----------
    Exponent 1/0.54 of the hydrant flow test (NFPA 291) from memory M.
    """
    static = float(head_m(positive("Static pressure", static_pressure_kpa, "kPa")))
    tested = residual_pressure_kpa is not None and residual_flow_l_min is not None
    cap = yield_l_min if yield_l_min is not None else (np.inf if tested else UNKNOWN_TAP_L_MIN)
    positive("Yield", min(cap, 1e9), "L/min")
    if residual_pressure_kpa is None or residual_flow_l_min is None:
        return Supply(static, most_flow_l_min=cap)
    left = not_negative("Residual pressure", residual_pressure_kpa, "kPa")
    if left >= static_pressure_kpa:
        shut, runs = as_typed(static_pressure_kpa, "kpa"), as_typed(float(left), "kpa")
        raise BadValue(reason("hydraulics.residual", static=shut, residual=runs))
    exponent = 1.852
    fall = (static - float(head_m(left))) / positive("Residual flow", residual_flow_l_min, "L/min") ** exponent
    return Supply(static, fall, exponent, min(cap, (static / fall) ** (1 / exponent)))
