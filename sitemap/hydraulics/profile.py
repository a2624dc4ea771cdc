"""What happens along the lay: pressure at every point, high points, the hose's rating, filling it, couplings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import BadValue, positive
from sitemap.hydraulics.friction import Numbers, hose_contents_l, pressure_kpa
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun
from sitemap.ranges import Array
from sitemap.reasons import Quantity, Reason, as_typed, compared, metres, reason

JOINT_M = 1e-3  # [m] a second pump this near to where the hose changes stands right there

Profile = tuple[tuple[float, float], ...]
Strain = tuple[float, float]  # pressure in a hose and the pressure it is rated for [kPa]


@dataclass(frozen=True, eq=False)
class Along:
    """Pressures along a lay while it runs.

    distance_m, height_m, pressure_kpa : one number per point; heights above the water
    lowest_kpa, lowest_at_m : the smallest pressure and where
    shut_kpa : the greatest pressure with the nozzle shut
    running, shut : the hose nearest to its rating while it runs and with the nozzle shut; None where none is known
    intake_kpa : pressure that is left where the second pump takes over, None without one
    """

    distance_m: Array
    height_m: Array
    pressure_kpa: Array
    lowest_kpa: float
    lowest_at_m: float
    shut_kpa: float
    running: Strain | None
    shut: Strain | None
    intake_kpa: float | None

    def fault(self) -> Reason | None:
        """Why the line cannot run like this, or None."""
        if self.intake_kpa is not None and self.intake_kpa <= 0:
            return reason("hydraulics.intake_collapses", below=Quantity(-self.intake_kpa, "kpa", 2))
        if self.lowest_kpa >= -1e-6:
            return None
        below = Quantity(-self.lowest_kpa, "kpa", 2)
        return reason("hydraulics.draws_air", below=below, at=metres(self.lowest_at_m, 2))


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
        raise BadValue(reason("hydraulics.few_points", count=len(profile)))
    if not np.isfinite(np.asarray(profile, dtype=float)).all():
        raise BadValue(reason("hydraulics.no_number"))
    if profile[0][0] != 0:
        raise BadValue(reason("hydraulics.starts_elsewhere", nothing=metres(0.0), start=as_typed(profile[0][0], "m")))
    for (here, _), (there, _) in pairwise(profile):
        if there <= here:
            raise BadValue(reason("hydraulics.order", here=as_typed(here, "m"), there=as_typed(there, "m")))
    return profile


def height_at(profile: Profile, distance_m: float) -> float:
    """Height above the water at a distance along a profile [m], on straight lines between its points."""
    distances, heights = zip(*profile, strict=True)
    return float(np.interp(distance_m, distances, heights))


def cut(profile: Profile, distance_m: float) -> tuple[Profile, Profile]:
    """A profile cut in two at a distance between its ends [m]; the second begins anew at 0 m and height 0.

    >>> cut(((0.0, 0.0), (100.0, 20.0)), 25.0)
    (((0.0, 0.0), (25.0, 5.0)), ((0.0, 0.0), (75.0, 15.0)))
    """
    height = height_at(profile, distance_m)
    before = tuple(point for point in profile if point[0] < distance_m)
    behind = tuple((at - distance_m, z - height) for at, z in profile if at > distance_m)
    return (*before, (distance_m, height)), ((0.0, 0.0), *behind)


def pressure_along(
    line: HoseLine, flow_l_min: float, profile: Profile, *, lost_before_m: float = 0.0, relay_at_m: float = np.inf
) -> Along:
    """Pressure at every point of a lay at one flow.

    Parameters
    ----------
    line : the hose line without its suction; lengths and shares as single numbers
    flow_l_min : what runs [L/min]
    profile : ground along the lay (see `check_profile`) [m]; stretched to the length of hose that lies on it
    lost_before_m : head lost on the suction side [m]
    relay_at_m : where the second pump stands, along the hose [m]; infinite where there is none

    Returns
    -------
    Along, at the points of the profile and where the hose changes, twice where the second pump stands: before and
    behind it

    Raises
    ------
    BadValue : a profile that is none

    Notes
    -----
    p(s) = 9.789·(H(Q) + H₂(Q) behind the second pump − z(s) − losses up to s). Velocity head left out. Fittings are
    taken as spread along their hose. With the nozzle shut: 9.789·(H(0) + H₂(0) behind the second pump − z(s)).

    References
    ----------
    Hydraulic grade line (textbooks, M); held against EPANET 2.2 node by node in the tests.
    """
    points = check_profile(profile)
    lengths = np.asarray([float(np.asarray(hose.length_m)) for hose in line.hoses])
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    way, heights = (np.asarray(column, dtype=float) for column in zip(*points, strict=True))
    stretched = way * (ends[-1] / way[-1]) if ends[-1] > 0 else way
    at = np.unique(np.concatenate([stretched, ends]))
    nearest_m = float(at[np.argmin(np.abs(at - min(relay_at_m, 2 * ends[-1])))])
    relay_at_m = nearest_m if abs(nearest_m - relay_at_m) <= JOINT_M else relay_at_m
    relayed = at > relay_at_m
    if relay_at_m <= ends[-1]:
        at = np.concatenate([at[at < relay_at_m], [relay_at_m, relay_at_m], at[relayed]])
        relayed = np.arange(at.size) > np.searchsorted(at, relay_at_m)
    z = np.interp(at, stretched, heights)
    loss = np.zeros_like(at)
    for hose, start, length in zip(line.hoses, ends, lengths, strict=False):
        if length > 0:
            loss += hose.loss_m(flow_l_min, length, line.friction_share) * np.clip((at - start) / length, 0.0, 1.0)
    head, head_shut = (
        first * line.supply_share + second * line.relay_share * relayed
        for first, second in (
            (line.supply.head_m(flow_l_min), line.relay.head_m(flow_l_min)),
            (line.supply.most_head_m, line.relay.most_head_m),
        )
    )
    pressure = np.asarray(pressure_kpa(head - lost_before_m - z - loss), dtype=float)
    still = np.asarray(pressure_kpa(head_shut - z), dtype=float)
    held: list[tuple[float, NDArray[np.bool_]]] = []
    for hose, start, end in zip(line.hoses, ends, ends[1:], strict=False):
        if hose.rated_kpa is not None and end > start:
            side = relayed if start >= relay_at_m else ~relayed if end <= relay_at_m else True
            held.append((hose.rated_kpa, (at >= start) & (at <= end) & side))
    lowest = int(np.argmin(pressure))
    return Along(
        distance_m=at,
        height_m=z,
        pressure_kpa=pressure,
        lowest_kpa=float(pressure[lowest]),
        lowest_at_m=float(at[lowest]),
        shut_kpa=float(still.max()),
        running=worst(*((float(pressure[here].max()), rated) for rated, here in held)),
        shut=worst(*((float(still[here].max()), rated) for rated, here in held)),
        intake_kpa=float(pressure[relayed.argmax() - 1]) if relayed.any() else None,
    )


def worst(*strains: Strain | None) -> Strain | None:
    """The hose nearest to its rating, or beyond it; None where no rating is known."""
    known = [strain for strain in strains if strain is not None]
    return max(known, key=lambda strain: strain[0] / strain[1], default=None)


def joined(first: Along, second: Along) -> Along:
    """Two lays with an open tank between them as one; a shut nozzle stops the second alone."""
    lower = min(first, second, key=lambda part: part.lowest_kpa)
    offset_m = 0.0 if lower is first else float(first.distance_m[-1])
    return Along(
        distance_m=np.concatenate([first.distance_m, second.distance_m + first.distance_m[-1]]),
        height_m=np.concatenate([first.height_m, second.height_m + first.height_m[-1]]),
        pressure_kpa=np.concatenate([first.pressure_kpa, second.pressure_kpa]),
        lowest_kpa=lower.lowest_kpa,
        lowest_at_m=lower.lowest_at_m + offset_m,
        shut_kpa=max(float(first.pressure_kpa.max()), second.shut_kpa),
        running=worst(first.running, second.running),
        shut=second.shut,
        intake_kpa=None,
    )


def tilted(profile: Profile, higher_m: float) -> Profile:
    """A profile whose end stands so much higher [m], and the rest in proportion to its distance.

    >>> tilted(((0.0, 0.0), (50.0, 4.0), (100.0, 10.0)), -2.0)
    ((0.0, 0.0), (50.0, 3.0), (100.0, 8.0))
    """
    length = profile[-1][0]
    return tuple((distance, height + higher_m * distance / length) for distance, height in profile)


def highest_m(profile: Profile, higher_m: Array) -> Array:
    """Highest point of a profile whose end stands so much higher, (n,) [m] to (n,) [m]."""
    distance, height = (np.asarray(column, dtype=float)[:, None] for column in zip(*profile, strict=True))
    return np.asarray(np.max(height + higher_m * distance / profile[-1][0], axis=0))


def primes(head_m: float, profile: Profile) -> bool:
    """Whether a head at no flow [m] lifts water over the highest point of the lay, as it must before anything runs."""
    return head_m > max(height for _, height in check_profile(profile))


def fill_l(hoses: Sequence[HoseRun]) -> Numbers:
    """Water that fills the hoses before any comes out [L], in the shape of their lengths."""
    return sum((hose_contents_l(hose.length_m, hose.bore_mm) for hose in hoses), 0.0)


def misfits(chain: Sequence[tuple[str, float | None]]) -> tuple[Reason, ...]:
    """Couplings that do not go together, each named.

    Parameters
    ----------
    chain : ((name, coupling size [mm] or None where not known), …) from the supply to the nozzle

    Returns
    -------
    one finding for each pair of unlike neighbours; those of unknown size are passed over

    References
    ----------
    Couplings of one size go together (C).

    >>> from sitemap.telling import tell
    >>> [tell(found) for found in misfits((("pump", 50.8), ("hose A", 38.1), ("nozzle", None)))]
    ['pump (50.8 mm) does not couple to hose A (38.1 mm) without an adapter']
    """
    known = [(name, positive("Coupling", size, "mm")) for name, size in chain if size is not None]
    return tuple(
        reason("hydraulics.misfit", one=one, other=other, size=sizes[0], other_size=sizes[1])
        for (one, size), (other, other_size) in pairwise(known)
        if abs(size - other_size) > 0.5
        for sizes in (compared(size, other_size, "mm", 3),)
    )
