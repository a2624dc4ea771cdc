"""Two figures in one sentence."""

from __future__ import annotations

from sitemap.units import text


def compared(one: float, other: float, unit: str, system: str, digits: int = 2) -> tuple[str, str]:
    """Two figures side by side, with as many digits as it takes to tell them apart, four at most.

    one, other : numbers [in `unit`, a key of units.UNITS]; system : "metric" or "us"; digits : to begin with

    >>> compared(9.4, 126.0, "l_min", "metric"), compared(14.8, 15.2, "l_min", "metric")
    (('9.4 L/min', '130 L/min'), ('14.8 L/min', '15.2 L/min'))
    """
    for many in range(digits, 5):
        found = text(one, unit, system, many), text(other, unit, system, many)
        if found[0] != found[1]:
            break
    return found
