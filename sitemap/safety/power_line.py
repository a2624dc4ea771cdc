"""Overhead power lines. Smoke can carry current, so no plume formula decides: the owner of the line does."""

from __future__ import annotations

from collections.abc import Iterable

from sitemap import tables
from sitemap.errors import not_negative, positive
from sitemap.notes import Note
from sitemap.reasons import metres, reason
from sitemap.safety.records import Machine

TABLED_KV = 350.0  # [kV] above this the table holds only where the owner of the line has named the voltage
UNKNOWN_REACH_M = 10.0  # [m] of a machine whose reach was not entered; a large excavator, from memory (M)


def clearance_m(voltage_kv: float | None) -> float:
    """Clearance between a machine, or its load, and an overhead line.

    Parameters
    ----------
    voltage_kv : [kV], above 0; None for not known

    Returns
    -------
    clearance [m]; 50 ft (15.24 m) above 350 kV, and where nothing is known

    Raises
    ------
    BadValue : voltage not above 0

    Notes
    -----
    Above 350 kV the table gives less than 50 ft only where the owner of the line has named the voltage; nobody is asked
    for that here, so 50 ft stand. Above 1,000 kV the owner names the distance, and 50 ft may be too little. A person
    who knows that a line is surely at most 350 kV enters that voltage: 20 ft.

    References
    ----------
    OSHA 29 CFR 1926.1408 Table A and 1926.1409 (S).

    Examples
    --------
    >>> clearance_m(50.0), clearance_m(51.0), clearance_m(350.0), clearance_m(None)
    (3.048, 4.572, 6.096, 15.24)
    """
    rows = tables.load("power_line_clearance")
    presumed = float(rows["presumed"]["clearance_m"])
    if voltage_kv is None:
        return presumed
    positive("The voltage of a power line", voltage_kv, "kV")
    if voltage_kv > TABLED_KV:
        return presumed
    steps = [row for row in rows.values() if row.get("up_to_kv") is not None and voltage_kv <= row["up_to_kv"]]
    return float(steps[0]["clearance_m"]) if steps else presumed


def required_m(rule_m: float, voltage_kv: float | None, machine_reach_m: float | None) -> float:
    """Distance from an overhead line: the rule, or the machine's reach plus clearance where that is longer [m].

    Parameters
    ----------
    rule_m : by the rule entered [m]
    voltage_kv : of the line [kV], None for not known
    machine_reach_m : of the longest machine [m], None without a machine

    Returns
    -------
    distance [m]

    Raises
    ------
    BadValue : a rule or a reach that is no distance

    References
    ----------
    Reach and the clearance of `clearance_m` (S).

    >>> required_m(30.0, None, 9.0), required_m(30.0, None, 18.0)
    (30.0, 33.24)
    """
    ruled_m = not_negative("The distance of a rule", rule_m, "m")
    if machine_reach_m is None:
        return ruled_m
    return max(ruled_m, not_negative("The reach of a machine", machine_reach_m, "m") + clearance_m(voltage_kv))


def longest_reach_m(machines: Iterable[Machine]) -> tuple[float | None, tuple[Note, ...]]:
    """The longest reach among the machines of a site [m], and what was assumed; None without machines."""
    reaches, notes = [], []
    for machine in machines:
        reach_m = machine.reach_m
        if reach_m is None:
            reach_m = UNKNOWN_REACH_M
            why = reason("safety.reach_assumed", name=machine.name, reach=metres(reach_m, 2))
            notes.append(Note(machine.id, "reach_m", why))
        reaches.append(reach_m)
    return (max(reaches) if reaches else None), tuple(notes)
