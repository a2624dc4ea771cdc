"""The ground under a kiln, what hangs over it, and the slope it stands on."""

from __future__ import annotations

import math

from sitemap import tables
from sitemap.safety.heat import flame_height_m, mccaffrey_rise_k, plume_rise_k
from sitemap.safety.permission import Check, checked
from sitemap.units import restated, rounded, text

GOOD_PAD_PCT, CAUTION_PAD_PCT = 5.0, 10.0  # [%] ours, from memory (M)
UPSLOPE_FUEL_PCT = 20.0  # [%] kiln below unbroken fuel; ours (C)
RIM_HEIGHT_M = 1.0  # [m] of a kiln above the ground, taken off the height of the branch; ours (C)
FLAME_TIP = 0.2  # [m kW^-0.4] top of the flickering flame in McCaffrey's zones (S)


def ground_check(ground: str | None, about: str, system: str = "metric") -> Check:
    """What lies under the kiln: peat, roots or a stump rule the spot out; blank is not known.

    ground : key of table `ground_under_kiln`, or None; about : id of the spot; system : units of the sentence.
    """
    row = tables.load("ground_under_kiln").get(ground or "")
    if row is None:
        return checked("ground", "not known", about, "The ground under the kiln is not entered.")
    return checked("ground", str(row["verdict"]), about, restated(str(row["text"]), system, 2))


def branches_check(
    branches: str | None,
    branch_height_m: float | None,
    heat_kw: float | None,
    diameter_m: float,
    about: str,
    system: str = "metric",
) -> Check:
    """What hangs over the kiln, by the temperature of the plume at the lowest branch.

    Parameters
    ----------
    branches : "none", "yes" or None for not known
    branch_height_m : lowest branch above the ground [m], or None
    heat_kw : heat release of the kiln at its greatest [kW], or None
    diameter_m : of the burning surface [m]
    about : id of the spot
    system : units of the sentence

    Returns
    -------
    in or near the flame: too close; warmer than foliage bears: branches above (cut them, or move); near that: measure;
    cooler: far enough above, in still air. The rim is taken as 1 m above the ground; the higher of two plume formulas
    counts.
    """
    if branches == "none":
        return checked("branches", "no branches above", about, "No branches above the kiln.")
    if branches is None:
        return checked("branches", "not known", about, "Nobody has entered whether branches hang over the kiln.")
    if branch_height_m is None:
        return checked(
            "branches", "not known", about, "Branches hang over the kiln; the lowest one's height is missing."
        )
    height = text(branch_height_m, "m", system)
    if not heat_kw:
        reason = f"Lowest branch at {height}; the heat of the kiln is not known, so what reaches it is not."
        return checked("branches", "not known", about, reason)
    tip_m = max(float(flame_height_m(heat_kw, diameter_m)), FLAME_TIP * heat_kw**0.4)
    above_rim_m = branch_height_m - RIM_HEIGHT_M
    if above_rim_m <= tip_m:
        reason = f"Lowest branch at {height}; the flame may reach {text(tip_m + RIM_HEIGHT_M, 'm', system, 2)}. Move."
        return checked("branches", "too close", about, reason)
    rise_k = max(float(mccaffrey_rise_k(heat_kw, above_rim_m)), float(plume_rise_k(heat_kw, above_rim_m, diameter_m)))
    row = tables.load("heat_limits")["foliage"]
    warm = f"about {rise_k:.0f} K" if system == "metric" else f"about {rise_k * 1.8:.0f} °F"
    if rise_k >= row["rise_k"]:
        reason = f"Lowest branch at {height}: the plume is {warm} warmer than the air there and kills foliage. Cut it."
        return checked("branches", "branches above", about, reason)
    if rise_k >= row["near_rise_k"]:
        reason = f"Lowest branch at {height}: {warm} warmer than the air, near what foliage bears. Measure its height."
        return checked("branches", "measure on the ground", about, reason)
    reason = f"Lowest branch at {height}: {warm} warmer than the air in still air, by a plume estimate."
    return checked("branches", "far enough above", about, reason)


def slope_check(slope_pct: float | None, fuel_upslope: str | None, about: str) -> Check:
    """The slope of the pad, and unbroken fuel above it.

    slope_pct : [%], None where nobody entered it, NaN where the elevation raster has none to give;
    fuel_upslope : "yes", "no" or None; about : id of the spot.
    """
    if slope_pct is None:
        return checked("slope", "not known", about, "The slope of the ground is not entered.")
    if math.isnan(slope_pct):
        reason = "The elevation raster is too coarse here, or has a hole, to tell the slope: measure it on the ground."
        return checked("slope", "measure on the ground", about, reason)
    slope = f"Slope {rounded(slope_pct, 2)} %"
    if slope_pct <= GOOD_PAD_PCT:
        return checked("slope", "gentle", about, f"{slope}: good for a kiln.")
    if slope_pct <= CAUTION_PAD_PCT:
        return checked("slope", "slope with care", about, f"{slope}: level the pad, trench below it.")
    reason = f"{slope}, above {CAUTION_PAD_PCT:g} %: cut a level pad, and a trench below it for what rolls."
    if slope_pct > UPSLOPE_FUEL_PCT and fuel_upslope != "no":
        seen = "Unbroken fuel" if fuel_upslope == "yes" else "Nobody has entered whether unbroken fuel"
        reason += f" {seen} stands upslope: fire runs uphill."
    return checked("slope", "steep", about, reason)
