"""The carbon of a site, indicative and only where somebody asked for it: of the plan, and of what the log counted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitemap import tables
from sitemap.kiln.standing import drawn, figure
from sitemap.kiln.values import Burns
from sitemap.ranges import Drawn, fixed
from sitemap.season.batches import batches_of
from sitemap.season.carbon import methane_co2e, stored_co2e
from sitemap.site.model import Site
from sitemap.tables import value

WET_PCT = 40.0  # [% of dry weight] from here on the methane of wet wood; the source does not say of which weight
LEAST_C, CLASSES_C = 350.0, ((600.0, "lasting_600"), (450.0, "lasting_450"))


@dataclass(frozen=True)
class Carbon:
    """Carbon of some char.

    char_t : dry [t]; stored_t : for a hundred years [t CO2e]; methane_t : set against it [t CO2e]; left_t : of both
    """

    char_t: Drawn
    stored_t: Drawn
    methane_t: Drawn
    left_t: Drawn


@dataclass(frozen=True)
class SiteCarbon:
    """Carbon of a site. planned : of all its char; so_far : of the char counted in buckets; None where not known.

    lasting : share of the carbon taken as left after 100 years; measured : a temperature says so; wet : some of the
    wood was so wet that the methane is that of wet wood
    """

    planned: Carbon | None
    so_far: Carbon | None
    lasting: float
    measured: bool
    wet: bool


def carbon_of(site: Site, burns: Burns, counted_m3: float) -> SiteCarbon | None:
    """The carbon of a site; None where nobody asked for it.

    site : as entered; burns : as planned; counted_m3 : char counted by its log [m³]
    """
    season = site.section("season")
    if season.flag("carbon") is not True:
        return None
    hot_c = season.number("char_c")
    wet = any((batch.figure("moisture_pct") or 0.0) > WET_PCT for batch in batches_of(site))
    lasting = lasting_of(hot_c)
    counted = drawn(fixed(counted_m3) * figure("kiln_burning", "char_density", 60, 400) / 1000)
    planned = None if burns.char_t is None else _carbon(burns.char_t, lasting, wet)
    so_far = _carbon(counted, lasting, wet) if counted_m3 > 0 else None
    return SiteCarbon(planned, so_far, lasting, hot_c is not None, wet)


def lasting_of(char_c: float | None) -> float:
    """Share of the carbon left after 100 years, by the temperature the char was made at [°C]; the lowest class where
    nobody measured, and nothing of what was made below 350 °C.

    >>> [lasting_of(hot) for hot in (None, 300.0, 500.0, 600.0)]
    [0.65, 0.0, 0.8, 0.89]
    """
    if char_c is not None and char_c < LEAST_C:
        return 0.0
    key = next((key for least, key in CLASSES_C if char_c is not None and char_c >= least), "lasting_350")
    return value("carbon", key)


def _carbon(char_t: Drawn, lasting: float, wet: bool) -> Carbon:
    usual = figure("carbon", "methane", 0.0)
    factor = np.maximum(usual, tables.value("carbon", "methane_wet")) if wet else usual
    stored = np.asarray(stored_co2e(char_t.values, figure("carbon", "carbon_fraction", 0, 1), lasting))
    methane = np.asarray(methane_co2e(char_t.values, factor, value("carbon", "warming")))
    return Carbon(char_t, drawn(stored), drawn(methane), drawn(stored - methane))
