"""The machine's arm and an overhead line: judged from where the machine stands, not from the kiln."""

from __future__ import annotations

from collections.abc import Iterable

import shapely

from sitemap.reasons import metres, reason
from sitemap.safety import power_line
from sitemap.safety.near import FAR_ENOUGH, OWNED_LINES, TOO_CLOSE, TOUCHING_M, WORDS, is_alone, verdict_codes
from sitemap.safety.permission import Check, answer_about, checked
from sitemap.safety.records import Asked
from sitemap.safety.setbacks import agreement
from sitemap.safety.targets import Target


def machine_stand_checks(
    spot_id: str,
    stands: Iterable[Target],
    targets: Iterable[Target],
    asked: tuple[Asked, ...],
    machine_reach_m: float | None,
) -> tuple[Check, ...]:
    """Overhead lines that the slewing machine of this spot could come near, measured from its stand.

    Parameters
    ----------
    spot_id : the spot the stands belong to
    stands : machine stands; the arm of one without a place may be anywhere
    targets : features
    asked : of the site
    machine_reach_m : longest reach [m]; without one entered, as long as `power_line.UNKNOWN_REACH_M`
    """
    reach_m = power_line.UNKNOWN_REACH_M if machine_reach_m is None else machine_reach_m
    every = tuple(targets)
    owned = [target.id for target in every if target.kind in OWNED_LINES]
    lines = [target for target in every if target.kind == "power_line" and target.use == "overhead" and target.shape]
    found = []
    for stand in stands:
        if stand.shape is None:
            why = reason("safety.no_place", name=stand.name, kind=stand.label)
            found += [checked("machine_stand", "not known", spot_id, why)] if lines else []
            continue
        for line in lines:
            required_m = reach_m + power_line.clearance_m(line.voltage_kv)
            distance_m = float(shapely.distance(stand.shape, line.shape))
            word = WORDS[int(verdict_codes(distance_m, required_m, stand.error_m + line.error_m))]
            if word == FAR_ENOUGH:
                continue
            if word == TOO_CLOSE and distance_m > TOUCHING_M:
                word = agreement(answer_about(asked, ("line_owner",), line.id, alone=is_alone(line, owned)))
            why = reason(
                "safety.machine_stand",
                line=line.name,
                distance=metres(distance_m),
                stand=stand.name,
                need=metres(required_m, toward="up"),
            )
            found.append(checked("machine_stand", word, spot_id, why))
    return tuple(found)
