"""The time zone of a place, and the units its people use, without a network.

The outlines are those of the timezone-boundary-builder data as the package tzfpy carries them, simplified: near an
edge, and at sea, nothing is said and a person is asked.
"""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.resources import files

import tzfpy

from sitemap.errors import within

_OFFSET = re.compile(r"(?:UTC|GMT)?\s*([-+]\d{1,2})(?::?00)?", re.IGNORECASE)
US_CUSTOMARY = ("US",)  # countries where land is measured in feet and acres (ours)


def zone_at(lon: float, lat: float) -> str | None:
    """Name of the time zone at a place; None at sea, and where outlines overlap.

    Parameters
    ----------
    lon, lat : WGS 84 [deg]

    Returns
    -------
    a name of the tz database

    Raises
    ------
    BadValue : a coordinate outside the globe

    Examples
    --------
    >>> zone_at(-120.6125, 44.2871), zone_at(172.9, -41.36), zone_at(-30.0, 40.0)
    ('America/Los_Angeles', 'Pacific/Auckland', None)
    """
    within("Longitude", lon, -180, 180, "deg")
    within("Latitude", lat, -90, 90, "deg")
    found = [name for name in tzfpy.get_tzs(lon, lat) if not name.startswith("Etc/")]
    return found[0] if len(found) == 1 else None


def units_of_zone(zone: str | None) -> str:
    """The system of units usual where a zone is kept: "us" or "metric".

    zone : a name of the tz database, or None

    >>> units_of_zone("America/Denver"), units_of_zone("America/Toronto"), units_of_zone(None)
    ('us', 'metric', 'metric')
    """
    return "us" if _countries().get(zone or "") in US_CUSTOMARY else "metric"


@lru_cache(maxsize=1)
def _countries() -> dict[str, str]:
    """Zone → country, from the table `zone.tab` of the tz database (P)."""
    text = (files("tzdata") / "zoneinfo" / "zone.tab").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]
    return {row[2]: row[0] for row in rows}


def zone_named(text: str) -> str:
    """A time zone as somebody writes it; a bare offset from universal time by its name in the tz database.

    >>> zone_named("UTC+13"), zone_named("-7"), zone_named(" America/Denver ")
    ('Etc/GMT-13', 'Etc/GMT+7', 'America/Denver')
    """
    said = text.strip().replace("−", "-")
    offset = _OFFSET.fullmatch(said)
    if offset is None:
        return said
    hours = int(offset[1])
    return f"Etc/GMT{-hours:+d}" if hours else "Etc/UTC"  # that table counts westward: its sign is the other way round
