"""Water by bucket, tank or hand: what a round trip brings, how often, and on what slope.

Distances [m], speeds [km/h], times [min], volumes [L]. Defaults are slow on purpose.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from sitemap.errors import not_negative, positive, within
from sitemap.hydraulics.friction import Numbers

BUCKET_FILL = 0.8  # share of the struck bucket a liquid fills: common practice, no source; no heap (ISO 7451 S)
SPILL = 0.2  # share lost on the way over slash: 10–30 %, common practice, no source
LOADED_KM_H = 1.5  # [km/h] on slash: common practice, no source
EMPTY_KM_H = 3.0  # [km/h] on slash: common practice, no source
LOAD_MIN = 1.5  # [min] common practice, no source
# [min] closes the house figures of 608 and 286 L/h at 100 and 250 m with a 50-minute hour and 152 L struck (D)
DUMP_MIN = 0.5
WORKING_SHARE = 50 / 60  # 50-minute hour: *Moving the Earth* P
SLOPE_WARN_PCT = 20.0  # [%] loaded small machine: common practice, no source
SLOPE_STOP_PCT = 30.0  # [%] common practice, no source
SIDE_SLOPE_PCT = 10.0  # [%] common practice, no source
HAND_LOADED_KM_H = 2.0  # [km/h] common practice, no source; walking in brush 0.961 m/s × 0.77 is 2.7 km/h (S)
HAND_EMPTY_KM_H = 2.7  # [km/h] Sullivan et al. 2020, slow third on the level, × 0.77 for brush (S)
HAND_LOAD_MIN = 0.5  # [min] common practice, no source
HAND_DUMP_MIN = 0.25  # [min] common practice, no source
HAND_BUCKETS = 2  # common practice, no source
HAND_BUCKET_L = 15.0  # [L] common practice, no source

Slope = Literal["fine", "warn", "stop"]


def cycle_min(
    distance_m: Numbers,
    loaded_km_h: Numbers = LOADED_KM_H,
    empty_km_h: Numbers = EMPTY_KM_H,
    load_min: Numbers = LOAD_MIN,
    dump_min: Numbers = DUMP_MIN,
) -> Numbers:
    """Time of one round trip: load + way/loaded speed + dump + way/empty speed.

    Parameters
    ----------
    distance_m : scalar or (n,), way from water to kiln [m]
    loaded_km_h, empty_km_h : speeds [km/h], above 0
    load_min, dump_min : [min]

    Returns
    -------
    same shape [min]

    References
    ----------
    Usual earthmoving cycle (M).

    >>> cycle_min(100.0)
    8.0
    """
    way = not_negative("Haul distance", distance_m, "m") * 60.0 / 1000.0
    travel = way / positive("Loaded speed", loaded_km_h, "km/h") + way / positive("Empty speed", empty_km_h, "km/h")
    return not_negative("Loading time", load_min, "min") + travel + not_negative("Dumping time", dump_min, "min")


def first_load_min(distance_m: Numbers, loaded_km_h: Numbers = LOADED_KM_H, load_min: Numbers = LOAD_MIN) -> Numbers:
    """Time until the first load is at the kiln: load + way / loaded speed.

    Parameters
    ----------
    distance_m : scalar or (n,), way from water to kiln [m]
    loaded_km_h : scalar or (n,) [km/h]
    load_min : scalar or (n,) [min]

    Returns
    -------
    broadcast shape [min]

    References
    ----------
    Usual earthmoving cycle (M).

    >>> first_load_min(500.0, loaded_km_h=6.0, load_min=4.0)
    9.0
    """
    way = not_negative("Haul distance", distance_m, "m") * 60.0 / 1000.0
    return not_negative("Loading time", load_min, "min") + way / positive("Loaded speed", loaded_km_h, "km/h")


def load_l(bucket_l: Numbers, fill: Numbers = BUCKET_FILL, spill: Numbers = SPILL) -> Numbers:
    """Water one trip brings: capacity × fill × (1 − spill).

    Parameters
    ----------
    bucket_l : scalar or (n,), struck capacity [L]; a tank's volume with fill 1 and spill 0
    fill : share filled, 0 … 1 [fraction]
    spill : share lost, 0 … 0.9 [fraction]

    Returns
    -------
    same shape [L]

    References
    ----------
    Fill and spill: common practice, no source (C).
    """
    capacity = positive("Capacity", bucket_l, "L")
    return capacity * within("Fill", fill, 0.0, 1.0) * (1.0 - within("Spill", spill, 0.0, 0.9))


def haul_flow_l_min(
    load_litres: Numbers, cycle_minutes: Numbers, working_share: float = WORKING_SHARE, carriers: Numbers = 1.0
) -> Numbers:
    """Mean flow of a haul: loads × litres, only part of each hour worked.

    Parameters
    ----------
    load_litres : scalar or (n,), what one trip brings [L]
    cycle_minutes : scalar or (n,) [min], above 0
    working_share : part of the hour worked, 50/60 [share]
    carriers : machines or people going round [count]

    Returns
    -------
    same shape [L/min]

    References
    ----------
    House figures (D): 608 L/h at 100 m and 286 L/h at 250 m. They come out with a struck bucket of 152 L × 0.8 × 0.8,
    load 1.5 min, dump 0.5 min, 1.5 and 3 km/h and a 50-minute hour.

    >>> round(float(haul_flow_l_min(load_l(152.0), cycle_min(100.0))) * 60)
    608
    """
    share = within("Working share", working_share, 0.1, 1.0)
    brought = not_negative("Carriers", carriers) * not_negative("Load", load_litres, "L")
    return brought * share / positive("Cycle", cycle_minutes, "min")


def loads_needed(litres: float, load_litres: float) -> int:
    """Whole trips for a volume.

    Parameters
    ----------
    litres : water needed [L]
    load_litres : brought by a trip [L]

    Returns
    -------
    count

    References
    ----------
    Plain arithmetic (D).
    """
    return int(np.ceil(not_negative("Water needed", litres, "L") / positive("Load", load_litres, "L") - 1e-9))


def slope_word(
    steepest_pct: float, max_slope_pct: float | None = None, side_pct: float = 0.0, max_side_pct: float | None = None
) -> Slope:
    """What a slope does to a loaded small machine: fine, warn or stop.

    Parameters
    ----------
    steepest_pct : steepest stretch along the way [%]
    max_slope_pct : limit in the machine's manual [%]; it wins over 30 %, and over the warning at 20 % below it
    side_pct : steepest across the way [%]
    max_side_pct : limit in the manual [%]; it wins over 10 %

    Returns
    -------
    fine, warn or stop

    Raises
    ------
    BadValue : a slope that is not a number: not known is not fine

    References
    ----------
    Common practice, no source (C).

    >>> slope_word(15.0), slope_word(22.0), slope_word(31.0), slope_word(31.0, 40.0), slope_word(5.0, side_pct=12.0)
    ('fine', 'warn', 'stop', 'warn', 'stop')
    """
    limit = SLOPE_STOP_PCT if max_slope_pct is None else positive("Slope limit", max_slope_pct, "%")
    side_limit = SIDE_SLOPE_PCT if max_side_pct is None else positive("Side slope limit", max_side_pct, "%")
    along = not_negative("Slope along the way", abs(steepest_pct), "%")
    if along > limit or not_negative("Slope across the way", abs(side_pct), "%") > side_limit:
        return "stop"
    return "warn" if along > min(SLOPE_WARN_PCT, limit) else "fine"
