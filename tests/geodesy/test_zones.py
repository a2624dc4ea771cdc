"""The time zone of a place, against the principal places the tz database itself names."""

from __future__ import annotations

import datetime as dt
import re
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest

from sitemap.errors import BadValue
from sitemap.geodesy.zones import units_of_zone, zone_at


def degrees(text: str, whole: int) -> float:
    """±DDMM, ±DDDMM, ±DDMMSS or ±DDDMMSS of ISO 6709, with so many digits of whole degrees."""
    digits = text[1:]
    parts = (digits[:whole], digits[whole : whole + 2], digits[whole + 2 :] or "0")
    return (-1 if text[0] == "-" else 1) * sum(float(part) / 60**n for n, part in enumerate(parts))


def test_agrees_with_the_places_named_in_the_tz_database() -> None:
    """IANA time zone database, zone.tab: one coordinate in each zone. Another name is fine where its clocks agree."""
    named = (files("tzdata") / "zoneinfo" / "zone.tab").read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in named if line and not line.startswith("#")]
    assert len(rows) > 300
    days = [dt.datetime(2026, month, 1, tzinfo=dt.UTC) for month in (1, 7)]
    silent = []
    for _, place, zone, *_ in rows:
        lat, lon = re.fullmatch(r"([+-]\d+)([+-]\d+)", place).groups()
        found = zone_at(degrees(lon, 3), degrees(lat, 2))
        if found is None:
            silent.append(zone)
        else:
            clocks = [[day.astimezone(ZoneInfo(name)).utcoffset() for day in days] for name in (found, zone)]
            assert clocks[0] == clocks[1], (zone, found)
    assert len(silent) <= 2, silent


def test_law_countries_that_measure_land_in_feet() -> None:
    """From memory: feet and acres are in everyday use in the United States, its neighbours are metric."""
    assert [units_of_zone(zone) for zone in ("America/Denver", "America/Vancouver", "America/Tijuana")] == [
        "us",
        "metric",
        "metric",
    ]


def test_refuses_a_place_off_the_globe() -> None:
    with pytest.raises(BadValue, match="Latitude"):
        zone_at(0.0, 91.0)
