"""What happens along the lay: pressure at every point, high points, the hose's rating, filling it, couplings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sitemap.errors import BadValue, positive
from sitemap.ranges import Array
from sitemap.units import compared, text
from sitemap.water.friction import Numbers, hose_contents_l, pressure_kpa
from sitemap.water.line import HoseRun
from sitemap.water.supply import Supply

Profile = tuple[tuple[float, float], ...]


@dataclass(frozen=True, eq=False)
class Along:
    """Pressures along a lay while it runs.

    distance_m, height_m, pressure_kpa : one number per point; heights above the water
    lowest_kpa, lowest_at_m : the smallest pressure and where
    highest_kpa : the greatest pressure while running
    shut_kpa : the greatest pressure with the nozzle shut
    """

    distance_m: Array
    height_m: Array
    pressure_kpa: Array
    lowest_kpa: float
    lowest_at_m: float
    highest_kpa: float
    shut_kpa: float

    def fault(self, system: str = "metric") -> str | None:
        """Why the line cannot run like this, in the units of a system, or None."""
        if self.lowest_kpa >= -1e-6:
            return None
        below, at = text(-self.lowest_kpa, "kpa", system, 2), text(self.lowest_at_m, "m", system, 2)
        return f"the pressure falls {below} below the air's {at} along the lay: the hose draws air or collapses there"


def check_profile(profile: Profile) -> Profile:
    """Refuse a profile that cannot be a lay; hand it back unchanged.

    Parameters
    ----------
    profile : ((distance from the supply [m], height above the water [m]), …), distances rising from 0

    Raises
    ------
    BadValue : fewer than two points, a start that is not at the supply, distances that do not rise, not a number
    """
    if len(profile) < 2:
        raise BadValue(f"A lay needs at least 2 points of distance and height; it has {len(profile)}. Add a point.")
    if not np.isfinite(np.asarray(profile, dtype=float)).all():
        raise BadValue("A lay has a distance or height that is not a number. Correct it.")
    if profile[0][0] != 0:
        raise BadValue(
            f"A lay must start at its water source, at 0 m; it starts at {profile[0][0]:g} m. Add the first point."
        )
    for (here, _), (there, _) in pairwise(profile):
        if there <= here:
            raise BadValue(f"The distances of a lay must rise; {there:g} m follows {here:g} m. Correct the order.")
    return profile


def pressure_along(
    flow_l_min: float,
    supply: Supply,
    hoses: Sequence[HoseRun],
    profile: Profile,
    *,
    supply_share: float = 1.0,
    friction_share: float = 1.0,
    lost_before_m: float = 0.0,
) -> Along:
    """Pressure at every point of a lay at one flow.

    Parameters
    ----------
    flow_l_min : what runs [L/min]
    supply, hoses : as for `line.head_margin_m`, lengths as single numbers
    profile : ground along the lay (see `check_profile`); stretched to the length of hose that lies on it
    supply_share, friction_share : as for `line.head_margin_m`
    lost_before_m : head lost on the suction side [m]

    Returns
    -------
    Along, at the points of the profile and where the hose changes

    Notes
    -----
    p(s) = 9.789·(H(Q) − z(s) − losses up to s). Velocity head left out. Fittings are taken as spread along their hose.
    With the nozzle shut: 9.789·(H(0) − lowest height).
    """
    points = check_profile(profile)
    lengths = np.asarray([float(np.asarray(hose.length_m)) for hose in hoses])
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    way, heights = (np.asarray(column, dtype=float) for column in zip(*points, strict=True))
    stretched = way * (ends[-1] / way[-1]) if ends[-1] > 0 else way
    at = np.unique(np.concatenate([stretched, ends]))
    z = np.interp(at, stretched, heights)
    loss = np.zeros_like(at)
    for hose, start, length in zip(hoses, ends, lengths, strict=False):
        if length > 0:
            loss += hose.loss_m(flow_l_min, length, friction_share) * np.clip((at - start) / length, 0.0, 1.0)
    pressure = np.asarray(
        pressure_kpa(supply.head_m(flow_l_min) * supply_share - lost_before_m - z - loss), dtype=float
    )
    lowest = int(np.argmin(pressure))
    shut = float(pressure_kpa(supply.most_head_m * supply_share - z.min()))
    return Along(at, z, pressure, float(pressure[lowest]), float(at[lowest]), float(pressure.max()), shut)


def primes(supply: Supply, profile: Profile, supply_share: float = 1.0) -> bool:
    """Whether the supply lifts water over the highest point of the lay, as it must before anything runs."""
    return supply.most_head_m * supply_share > max(height for _, height in check_profile(profile))


def fill_l(hoses: Sequence[HoseRun]) -> Numbers:
    """Water that fills the hoses before any comes out [L], in the shape of their lengths."""
    return sum((hose_contents_l(hose.length_m, hose.bore_mm) for hose in hoses), 0.0)


def misfits(chain: Sequence[tuple[str, float | None]], system: str = "metric") -> tuple[str, ...]:
    """Couplings that do not go together, each named.

    Parameters
    ----------
    chain : ((name, coupling size [mm] or None where not known), …) from the supply to the nozzle
    system : units of the phrases

    Returns
    -------
    one phrase for each pair of unlike neighbours; those of unknown size are passed over

    >>> misfits((("pump", 50.8), ("hose A", 38.1), ("nozzle", None)))
    ('pump (50.8 mm) does not couple to hose A (38.1 mm) without an adapter',)
    """
    known = [(name, positive("Coupling", size, "mm")) for name, size in chain if size is not None]
    return tuple(
        f"{one} ({sizes[0]}) does not couple to {other} ({sizes[1]}) without an adapter"
        for (one, size), (other, other_size) in pairwise(known)
        if abs(size - other_size) > 0.5
        for sizes in (compared(size, other_size, "mm", system, 3),)
    )
