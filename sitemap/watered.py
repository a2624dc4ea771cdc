"""The water of a site: reckoned as entered, and once more where the log tells how fast it is hauled or carried."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sitemap.between import need_of
from sitemap.geodesy.plane import Plane
from sitemap.kiln.values import Burns
from sitemap.season.pace import Learned, paces_of, routes_of, with_paces
from sitemap.site.model import Site
from sitemap.terrain.terrain import Terrain
from sitemap.water.advice import LENGTHS
from sitemap.water.of_site import Given, altitude_m, sources_of, water_of
from sitemap.water.reading import kit_of, links_of
from sitemap.water.records import Kit
from sitemap.water.routes import lays_of
from sitemap.water.values import Water


@dataclass(frozen=True, eq=False)
class Watered:
    """The water of a site.

    kit : its gear, with the pace of trips as it is reckoned with
    water : of every spot, None without a place or a spot; before : as it was without the log, the same without one
    paces : what the log taught of each way
    """

    kit: Kit
    water: Water | None
    before: Water | None
    paces: tuple[Learned, ...] = ()


def watered(
    site: Site,
    plane: Plane | None,
    terrain: Terrain | None,
    burns: Burns,
    days: tuple[dt.date | None, dt.date | None],
    barred: frozenset[str],
) -> Watered:
    """The water of a site. days : of the burn, and the last the log may tell of; barred : ids of spots where no kiln
    may burn; the rest as the rooms have it"""
    on, today = days
    kit = kit_of(site)
    before = _water(site, plane, terrain, burns, on, barred, kit)
    paces = paces_of(site, kit, routes_of(before), today)
    learned = with_paces(kit, paces)
    now = before if learned is kit else _water(site, plane, terrain, burns, on, barred, learned)
    return Watered(learned, now, before, paces)


def _water(
    site: Site,
    plane: Plane | None,
    terrain: Terrain | None,
    burns: Burns,
    on: dt.date | None,
    barred: frozenset[str],
    kit: Kit,
) -> Water | None:
    spots, sources = site.of_kind("kiln_spot"), site.of_kind("water_source")
    if plane is None or not spots:
        return None
    runs = {run.spot: run for run in burns.kilns}
    return water_of(
        Given(
            tuple(need_of(spot, runs.get(spot.id), burns, spot.id not in barred) for spot in spots),
            sources_of(sources, plane),
            kit,
            links_of(site),
            lays_of(site.features, site.records("links"), plane, terrain, kit.machines, bool(kit.carriers)),
            on,
            altitude_m(sources, plane, terrain),
            LENGTHS[site.units],
        )
    )
