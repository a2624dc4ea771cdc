"""What somebody read of the weather on the burn day: with the day and the name it is signed by, or not at all."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from sitemap.assessment import Assessment
from sitemap.plan.phrases import Words
from sitemap.plan.say import shortened
from sitemap.reasons import Quantity, Term
from sitemap.safety.weather import LABELS, READ_AT
from sitemap.site.weather_read import BY, HEIGHT, QUIET, read_on

_UNITS = {"wind_m_s": "m_s", "gust_m_s": "m_s", "humidity_pct": "pct", "temperature_c": "c"}


def weather_read(a: Assessment, words: Words, letters: int) -> str | None:
    """The readings of the burn date as entered, who read them and that day; None where nobody read any.

    letters : most of the name; what is not read, or by nobody with a name, is told as not known
    """
    read = read_on(a.source, a.on)
    if not any(name in read for name in (*LABELS, QUIET)):
        return None
    figures = {name: _figure(read, name, unit) for name, unit in _UNITS.items()}
    height_m = READ_AT.get(str(read.get(HEIGHT)))
    by = read.get(BY)
    return words(
        "decision.weather_is",
        day=words.day(a.on),
        by=shortened(by.strip(), letters) if isinstance(by, str) and by.strip() else Term("not known"),
        wind=figures["wind_m_s"],
        gust=figures["gust_m_s"],
        height=Term("not known") if height_m is None else Quantity(height_m, "m", 2),
        humidity=figures["humidity_pct"],
        warm=figures["temperature_c"],
        quiet=_figure(read, QUIET, "h"),
    )


def _figure(read: Mapping[str, Any], name: str, unit: str) -> Quantity | Term:
    value = read.get(name)
    known = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    return Quantity(float(value), unit, 2) if known and value is not None else Term("not known")
