"""The stamp of a fact, as a file holds it: when and where it was seen."""

from __future__ import annotations

import math
from typing import Any

SEEN, EVERY = "seen", "*"


def place_said(at: Any) -> tuple[float, float] | None:
    """Longitude and latitude as a stamp holds them, or None where they are none."""
    fine = isinstance(at, tuple | list) and len(at) == 2 and all(isinstance(part, int | float) for part in at)
    if not fine or not all(math.isfinite(part) for part in at) or abs(at[1]) > 90 or abs(at[0]) > 540:
        return None
    return float(at[0]), float(at[1])
