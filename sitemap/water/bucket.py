"""A bucket filled at the far end of the hose: the flow it measures, and where that flow cannot be believed.

It proves the flow of that line with that pump, hose and tip. What the hose bears, what the pump can draw, humps,
volume, season and sharing stay to be checked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sitemap.hydraulics.steady_flow import steady_flow_l_min
from sitemap.hydraulics.supply import UNKNOWN_TAP_KPA
from sitemap.reasons import Quantity, Reason, compared, litres, reason, together
from sitemap.water import verdict
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift
from sitemap.water.records import Link
from sitemap.water.values import WaterLine

TIMED_WITHIN = 1.25  # a bucket and a watch are not better than a quarter: common practice, no source
MOST_MAINS_KPA = 1000.0  # [kPa] no mains pushes harder: common practice, no source


@dataclass(frozen=True)
class Bucket:
    """So many litres [L] in so many seconds [s]."""

    litres: float
    seconds: float

    @property
    def flow_l_min(self) -> float:
        """The flow [L/min]."""
        return self.litres / self.seconds * 60.0


def bucket_of(link: Link | None) -> Bucket | None:
    """The bucket test of a source and a kiln spot, or None."""
    if link is None or link.bucket_l is None or link.bucket_s is None:
        return None
    return Bucket(link.bucket_l, link.bucket_s)


def most_flow_l_min(rig: Rig, lift: Lift) -> float:
    """Most that plate, yield or suction allow and that pass hose and tip without any friction, at the lowest lift
    within its error [L/min]; 0 where nothing runs.

    A yield or a pressure that nobody entered does not bound it: the highest pressure of a mains is taken.
    """
    supply = rig.supply
    if rig.pressure_assumed:
        supply = replace(supply, most_head_m=supply.most_head_m * MOST_MAINS_KPA / UNKNOWN_TAP_KPA)
    if rig.yield_assumed:
        supply = replace(supply, most_flow_l_min=np.inf)
    best = replace(rig, supply=supply, supply_share=rig.supply_share * 0 + 1.0).line(())
    lowest_m = lift.metres - lift.error_m
    return float(np.nan_to_num(steady_flow_l_min(best, lowest_m), nan=0.0))


def doubt_of(bucket: Bucket, most_l_min: float) -> Reason | None:
    """Why a bucket test must be made again, with both numbers; None where the line can give that flow.

    most_l_min : that the line can give [L/min]
    """
    if bucket.flow_l_min <= most_l_min * TIMED_WITHIN:
        return None
    flow, most = compared(bucket.flow_l_min, most_l_min, "l_min")
    filled, seconds = litres(bucket.litres, 3), Quantity(bucket.seconds, "s", 3)
    return reason("water.bucket_again", litres=filled, seconds=seconds, flow=flow, most=most)


def doubted(line: WaterLine, doubt: Reason) -> WaterLine:
    """A line whose measured flow cannot be believed: not known, unless it is short by what is known of it."""
    word = verdict.at_best(line.verdict, "not known")
    why = together(line.reason, doubt) if word == "short" else together(doubt, line.reason)
    return replace(line, verdict=word, effect=verdict.effect_of(word, line.line), reason=why)
