"""The ground under a kiln, what hangs over it, and the slope it stands on."""

from __future__ import annotations

import math

from sitemap import tables
from sitemap.errors import not_negative
from sitemap.reasons import Marked, Quantity, Reason, metres, percent, reason
from sitemap.safety.effects import PASSES
from sitemap.safety.heat import flame_height_m, mccaffrey_rise_k, plume_rise_k
from sitemap.safety.permission import Check, checked
from sitemap.safety.records import Pad

GOOD_PAD_PCT, CAUTION_PAD_PCT = 5.0, 10.0  # [%] ours, from memory (M)
SLOPES_APART_PCT = 5.0  # [%] a typed slope and the raster may differ by so much, both errors added; ours (C)
LARGEST_M = (7.0, 3.0, 2.8)  # [m] length, width, depth: beyond a sea container has no kiln of this sort; ours (C)
UPSLOPE_FUEL_PCT = 20.0  # [%] kiln below unbroken fuel; ours (C)
RIM_HEIGHT_M = 1.0  # [m] of a kiln above the ground, taken off the height of the branch; ours (C)
FLAME_TIP = 0.2  # [m kW^-0.4] top of the flickering flame in McCaffrey's zones (S)


def ground_check(ground: str | None, about: str) -> Check:
    """What lies under the kiln: peat, roots or a stump rule the spot out; blank is not known.

    ground : key of table `ground_under_kiln`, or None; about : id of the spot.
    """
    row = tables.load("ground_under_kiln").get(ground or "")
    if row is None:
        return checked("ground", "not known", about, reason("safety.ground_unknown"))
    return checked("ground", str(row["verdict"]), about, reason("safety.ground", text=Marked(str(row["text"]))))


def branches_check(pad: Pad, heat_kw: float | None, diameter_m: float) -> Check:
    """What hangs over the kiln, by the temperature of the plume at the lowest branch.

    Parameters
    ----------
    pad : whether branches hang over it, and the height of the lowest
    heat_kw : heat release of the kiln at its greatest [kW], or None
    diameter_m : of the burning surface [m]

    Returns
    -------
    in or near the flame: too close; warmer than foliage bears: branches above (cut them, or move); near that: measure;
    cooler: far enough above, in still air. The rim is taken as 1 m above the ground; the higher of two plume formulas
    counts.
    """
    verdict, why = _branches(pad, heat_kw, diameter_m)
    return checked("branches", verdict, pad.id, why)


def _branches(pad: Pad, heat_kw: float | None, diameter_m: float) -> tuple[str, Reason]:
    if pad.branches == "none" and pad.branch_height_m is not None:
        return "two figures disagree", reason("safety.branch_or_none", height=metres(pad.branch_height_m))
    if pad.branches == "none":
        return "no branches above", reason("safety.no_branches")
    if pad.branches is None:
        return "not known", reason("safety.branches_unknown")
    if pad.branch_height_m is None:
        return "not known", reason("safety.branch_height_unknown")
    height = metres(pad.branch_height_m)
    if not heat_kw:
        return "not known", reason("safety.branch_heat_unknown", height=height)
    tip_m = max(float(flame_height_m(heat_kw, diameter_m)), FLAME_TIP * heat_kw**0.4)
    above_rim_m = pad.branch_height_m - RIM_HEIGHT_M
    if above_rim_m <= tip_m:
        return "too close", reason("safety.branch_in_flame", height=height, flame=metres(tip_m + RIM_HEIGHT_M, 2))
    rise_k = max(float(mccaffrey_rise_k(heat_kw, above_rim_m)), float(plume_rise_k(heat_kw, above_rim_m, diameter_m)))
    row = tables.load("heat_limits")["foliage"]
    warm = Quantity(rise_k, "k_rise", 2)
    if rise_k >= row["rise_k"]:
        return "branches above", reason("safety.branch_dies", height=height, rise=warm)
    if rise_k >= row["near_rise_k"]:
        return "measure on the ground", reason("safety.branch_near", height=height, rise=warm)
    return "far enough above", reason("safety.branch_far", height=height, rise=warm)


def size_checks(size_m: tuple[float, float, float], about: str) -> tuple[Check, ...]:
    """A kiln larger than any that is known here: feet or centimetres typed as metres?

    Parameters
    ----------
    size_m : three numbers, length, width and depth inside [m]
    about : id of the spot

    Returns
    -------
    a check that does not pass, or none

    References
    ----------
    Our own limits (C), a little beyond a sea container of 20 ft: 6.058 × 2.438 × 2.591 m outside, ISO 668 (S).
    """
    if all(each <= most for each, most in zip(size_m, LARGEST_M, strict=True)):
        return ()
    length, width, depth = (metres(each) for each in size_m)
    why = reason("safety.unlikely_size", length=length, width=width, depth=depth)
    return (checked("size", "unlikely size", about, why, reason("action.measure_kiln")),)


def two_slopes_check(typed_pct: float | None, terrain_pct: float | None, fuel_upslope: str | None, about: str) -> Check:
    """The slope of the pad by what was typed and by the elevation raster: the worse decides, and a gap is said.

    Parameters
    ----------
    typed_pct : [%], None where nobody entered it
    terrain_pct : [%], None without a raster, NaN where it has none to give
    fuel_upslope, about : as for `slope_check`

    Returns
    -------
    the check of the steeper of the two, or that they disagree

    References
    ----------
    As for `slope_check`; how far the two may differ is ours (C).
    """
    if typed_pct is None or terrain_pct is None or math.isnan(terrain_pct):
        return slope_check(terrain_pct if typed_pct is None else typed_pct, fuel_upslope, about)
    worse = slope_check(max(typed_pct, terrain_pct), fuel_upslope, about)
    if abs(typed_pct - terrain_pct) <= SLOPES_APART_PCT or worse.effect != PASSES:
        return worse
    why = reason("safety.two_slopes", typed=percent(typed_pct), raster=percent(terrain_pct))
    return checked("slope", "two figures disagree", about, why, reason("action.measure_slope"))


def cut_pad_check(typed_pct: float | None, terrain_pct: float | None, fuel_upslope: str | None, about: str) -> Check:
    """The slope of a pad that was cut: as it was measured on it. The raster shows the ground as it was, which still
    says whether fire would run uphill from it.

    Parameters
    ----------
    typed_pct : of the pad [%], None where nobody entered it
    terrain_pct : of the ground as it was [%], None without a raster, NaN where it has none to give
    fuel_upslope, about : as for `slope_check`

    Returns
    -------
    the check

    References
    ----------
    Limits as for `slope_check`: house rule (C).
    """
    if typed_pct is None:
        return checked("slope", "not known", about, reason("safety.pad_unmeasured"), reason("action.measure_slope"))
    steep_ground = terrain_pct is not None and terrain_pct > UPSLOPE_FUEL_PCT  # NaN is not
    if steep_ground and fuel_upslope != "no":
        return slope_check(terrain_pct, fuel_upslope, about)
    return slope_check(typed_pct, fuel_upslope, about)


def slope_check(slope_pct: float | None, fuel_upslope: str | None, about: str) -> Check:
    """The slope of the pad, and unbroken fuel above it.

    Parameters
    ----------
    slope_pct : of the pad, 0 or more [%]; None where nobody entered it, NaN where the elevation raster has none to give
    fuel_upslope : "yes", "no" or None
    about : id of the spot

    Returns
    -------
    the check

    Raises
    ------
    BadValue : a slope below 0

    References
    ----------
    Limits of the slope: house rule (C).
    """
    if slope_pct is None:
        return checked("slope", "not known", about, reason("safety.slope_unknown"))
    if math.isnan(slope_pct):
        return checked("slope", "measure on the ground", about, reason("safety.slope_coarse"))
    slope = percent(not_negative("The slope of the pad", slope_pct, "%"))
    if slope_pct <= GOOD_PAD_PCT:
        return checked("slope", "gentle", about, reason("safety.slope_gentle", slope=slope))
    if slope_pct <= CAUTION_PAD_PCT:
        return checked("slope", "slope with care", about, reason("safety.slope_care", slope=slope))
    steep = reason("safety.slope_steep", slope=slope, limit=percent(CAUTION_PAD_PCT))
    if slope_pct > UPSLOPE_FUEL_PCT and fuel_upslope != "no":
        known = fuel_upslope == "yes"
        steep = reason("safety.fuel_upslope" if known else "safety.fuel_upslope_unknown", finding=steep)
    return checked("slope", "steep", about, steep)
