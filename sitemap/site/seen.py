"""When and where the facts of a thing were seen: a fact belongs to a place and a day.

A feature keeps beside its values, under `seen`, what is known of the looking: attribute → {"on": "2026-11-20",
"at": [lon, lat], "who": "…"}; the name "*" stands for every fact of the feature that is not named. A link of water
source and kiln spot keeps the places of both, `source_at` and `spot_at`; the season keeps a date alone. The stamps are
never rewritten by a move: a thing put back has its facts back.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.reasons import Reason, Term, metres, reason
from sitemap.site.frozen import FrozenDict
from sitemap.site.looked_round import CENTRES, every_look, looked_around, looks_stamped, typed_looks
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.on_plane import middle_of, near_shape, plane_of_site
from sitemap.site.stamps import EVERY, SEEN, place_said

#  How far a thing may stand from where its facts were seen, and a lay drawn end from its thing [m]; ours (C). Not the
#  error of its place: a place less well known, or of which nobody said how well, must keep no more facts.
SAME_PLACE_M, LAY_ENDS_M = 2.0, 10.0
_BUCKET = dict.fromkeys(("bucket_litres", "bucket_seconds", "bucket_test"), "bucket_test")
_TRIPS = dict.fromkeys(("trips_by", "trips_machine", "trips_litres", "trips_seconds"), "bucket_test")
_STORED = dict.fromkeys(
    (
        *("volume_l", "yield_l_min", "static_pressure_kpa", "residual_pressure_kpa", "residual_flow_l_min", "depth_m"),
        *("depth_of_water_m", "refill_l_min", "usable_on_date", "suction_lift_m"),
    ),
    "water",
)
#  What is a fact of a place and a day: kind of feature, record or section → attribute → row of table `fact_ages`.
FACTS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "kiln_spot": MappingProxyType(
            {
                "ground": "ground",
                "branches_overhead": "branches",
                "branch_height_m": "branches",
                "fuel_upslope": "branches",
                "slope_pct": "shape_of_ground",
                "pad_cut": "shape_of_ground",
                "elevation_m": "shape_of_ground",
            }
        ),
        "water_source": MappingProxyType({**_STORED, "permission": "yes", "elevation_m": "shape_of_ground"}),
        "links": MappingProxyType({**_BUCKET, **_TRIPS, "lift_m": "shape_of_ground"}),
        "season": MappingProxyType({"surroundings": "surroundings", "ban": "ban", "fuel_height_m": "fuel_height"}),
    }
)


@dataclass(frozen=True)
class Doubt:
    """A fact that does not stand for this place and this day.

    about : id of the feature, or "site"; of a link the id of its kiln spot
    source : of a link, the id of its water source; else empty
    attribute : its name
    why, action : what is wrong with it, and what to do
    """

    about: str
    source: str
    attribute: str
    why: Reason
    action: Reason


@dataclass(frozen=True)
class Day:
    """The day a site is judged for.

    on : the burn date, None where none is set
    today : the day somebody looks at it: nothing can have been seen later; the burn date where left out
    """

    on: dt.date | None
    today: dt.date | None = None

    @property
    def latest(self) -> dt.date | None:
        """The last day on which anything can have been seen that is to stand on the burn date."""
        days = [day for day in (self.on, self.today) if day is not None]
        return min(days, default=None)


def why_not(seen_on: dt.date | None, row: str, day: Day) -> Reason | None:
    """Why a date does not stand for the day, or None where it does.

    seen_on : when it was seen or said; row : of table `fact_ages`
    """
    if seen_on is None:
        return reason("seen.undated")
    if day.on is not None and seen_on > day.on:
        return reason("seen.after_burn", on=seen_on)
    if day.latest is not None and seen_on > day.latest:
        return reason("seen.to_come", on=seen_on)
    limit = int(tables.load("fact_ages")[row]["stands_d"])
    if day.on is not None and (day.on - seen_on).days > limit:
        return reason("seen.old", on=seen_on, days=(day.on - seen_on).days, limit=limit)
    return None


def tick_doubt(by: str | None, on: dt.date | None, since: dt.date | None, day: Day) -> Reason | None:
    """Why "each condition is met" does not stand, or None where it does: a tick has a name and a date, ages like the
    yes it belongs to, and is not older than it.

    by : who saw that they are met; on : when; since : the day of the yes, None where it has none
    """
    if not by or on is None:
        return reason("seen.unsigned")
    if since is not None and on < since:
        return reason("seen.tick_before", on=on, since=since)
    return why_not(on, "yes", day)


def doubts(site: Site, day: Day) -> tuple[Doubt, ...]:
    """Every fact entered that was not seen where its thing stands, or not at a time that counts for the day."""
    plane = plane_of_site(site)
    found = [_doubts_of(feature, feature, plane, day) for feature in site.of_kind("kiln_spot", "water_source")]
    found += [_link_doubts(site, link, plane, day) for link in site.records("links")]
    found += [_lay_doubts(site, lay, plane) for lay in site.of_kind("hose_lay")]
    season = site.section("season")
    found.append(_look_doubts(site))
    found.append(_judged(season, "season", "site", "", None, lambda _: None, day))
    return tuple(doubt for each in found for doubt in each)


def _doubts_of(entry: Entry, feature: Feature, plane: Plane | None, day: Day) -> Iterator[Doubt]:
    def moved(stamp: Mapping[str, Any]) -> Reason | None:
        return _moved(stamp.get("at"), feature, plane)

    return _judged(entry, feature.kind, feature.id, "", feature, moved, day)


def _ends(site: Site, entry: Entry, spot: str, source: str) -> tuple[Feature | None, Feature | None]:
    """The kiln spot and the water source an entry names; None where it names none, or a thing of another kind."""
    ends = (site.find(entry.text(spot) or ""), site.find(entry.text(source) or ""))
    kiln, water = (
        end if end is not None and end.kind == kind else None
        for end, kind in zip(ends, ("kiln_spot", "water_source"), strict=True)
    )
    return kiln, water


def _link_doubts(site: Site, link: Entry, plane: Plane | None, day: Day) -> Iterator[Doubt]:
    spot, source = _ends(site, link, "spot", "source")
    if spot is None or source is None:
        return iter(())

    def moved(stamp: Mapping[str, Any]) -> Reason | None:
        return _moved(stamp.get("spot_at"), spot, plane) or _moved(stamp.get("source_at"), source, plane)

    return _judged(link, "links", spot.id, source.id, spot, moved, day)


def _lay_doubts(site: Site, lay: Feature, plane: Plane | None) -> Iterator[Doubt]:
    """A lay drawn to another place of the kiln or of the water than they have now says nothing of the way to them."""
    spot, source = _ends(site, lay, "to_spot", "from_source")
    if plane is None or spot is None or source is None:
        return
    line = near_shape(lay, plane)
    for end in (spot, source):
        shape = near_shape(end, plane)
        if line is None or shape is None:
            continue
        away_m = float(shape.distance(line.boundary))
        if away_m > LAY_ENDS_M:
            why = reason("seen.lay_elsewhere", lay=lay.name, end=end.name, away=metres(away_m))
            yield Doubt(spot.id, source.id, "hose_lay", why, reason("seen.draw_lay_again", lay=lay.name))


def _look_doubts(site: Site) -> Iterator[Doubt]:
    """The looks of which nobody said round which place they were made: one doubt, for they are typed together."""
    if any(look.has("within_m") and not looked_around(look) for look in site.records("looked")):
        why = reason("seen.doubt_of_site", what=Term("Looked, none found"), why=reason("seen.no_place"))
        yield Doubt("site", "", "looked", why, reason("action.look_round"))


def _judged(
    entry: Entry, kind: str, about: str, source: str, feature: Feature | None, moved: Any, day: Day
) -> Iterator[Doubt]:
    """The facts of one entry, one doubt each."""
    for attribute, row in FACTS[kind].items():
        if not entry.has(attribute):
            continue
        stamp = _stamp_of(entry.values, attribute)
        seen_on = _date(stamp.get("on"))
        why = (moved(stamp) if seen_on is not None else None) or why_not(seen_on, row, day)
        if why is not None:
            label, name = Term(entry.attribute(attribute).label), feature.name if feature is not None else ""
            told = reason("seen.doubt", what=label, name=name, why=why) if name else _of_site(label, why)
            act = reason("seen.look_again", what=label, name=name) if name else reason("seen.ask_again", what=label)
            yield Doubt(about, source, attribute, told, act)


def _of_site(label: Term, why: Reason) -> Reason:
    return reason("seen.doubt_of_site", what=label, why=why)


def _moved(at: Any, feature: Feature, plane: Plane | None) -> Reason | None:
    """Why a place of looking is not the place of the feature; None where it is, or the feature has no place yet."""
    middle = None if plane is None else middle_of(feature, plane)
    if plane is None or middle is None:
        return None
    place = place_said(at)
    if place is None:
        return reason("seen.no_place")
    x, y = (float(part) for part in plane.xy(*place))
    away_m = math.hypot(x - middle.x, y - middle.y)
    return None if away_m <= SAME_PLACE_M else reason("seen.elsewhere", away=metres(away_m))


def seen_on(entry: Entry, attribute: str) -> dt.date | None:
    """The day a fact was seen or asked about; None where nobody said, or nothing is entered."""
    return _date(_stamp_of(entry.values, attribute).get("on")) if entry.has(attribute) else None


def _stamp_of(values: FrozenDict, attribute: str) -> Mapping[str, Any]:
    stamps = values.get(SEEN)
    if not isinstance(stamps, Mapping):
        return {}
    stamp = stamps.get(attribute) or stamps.get(EVERY)
    return stamp if isinstance(stamp, Mapping) else {}


def _date(said: Any) -> dt.date | None:
    try:
        return dt.date.fromisoformat(said)
    except (TypeError, ValueError):
        return None


def stamped(before: Site, after: Site, on: dt.date, who: str = "") -> Site:
    """The site after an edit, each fact that was typed in it stamped with the day and the place.

    before, after : the site before and after the edit; on : the day it was typed; who : by whom, if known
    """
    site = after
    for feature in after.of_kind("kiln_spot", "water_source"):
        old = before.get(feature.id)
        if feature is not old:
            typed = _typed(feature, None if old is None or old.kind != feature.kind else old, FACTS[feature.kind])
            site = _with_stamps(site, feature, typed, on, who) if typed else site
    site = _stamped_links(before, site, on, who)
    site = looks_stamped(site, typed_looks(before, site), _centres(site))
    return _stamped_season(before, site, on, who)


def confirmed(site: Site, feature_id: str, on: dt.date, who: str = "") -> Site:
    """The site with every fact of a feature, and of its links, said to be still true where it stands on a day."""
    feature = site.get(feature_id)
    if feature is not None and any(feature.has(name) for name in FACTS.get(feature.kind, ())):
        stamp = _stamp(on, who, at=lonlat_of(site, feature))
        site = site.put(feature.with_values(seen={EVERY: stamp}))
    links = [_confirmed_link(site, link, on, who, feature_id) for link in site.records("links")]
    return _with_links(site, links)


def season_confirmed(site: Site, on: dt.date, who: str = "") -> Site:
    """The site with ban, grass and brush said to be as entered on a day."""
    season = site.section("season")
    return _with_season_stamps(site, season, [name for name in FACTS["season"] if season.has(name)], on, who)


def all_confirmed(site: Site, on: dt.date, who: str = "") -> Site:
    """The site with every fact of every thing said to be true as of a day."""
    for feature in site.of_kind("kiln_spot", "water_source"):
        site = confirmed(site, feature.id, on, who)
    return season_confirmed(looks_stamped(site, every_look(site), _centres(site)), on, who)


def _centres(site: Site) -> Iterator[list[float]]:
    """The places a look typed now is made round."""
    found = ([lonlat_of(site, each) for each in site.of_kind(*kinds)] for kinds in CENTRES)
    placed = ([place for place in places if place is not None] for places in found)
    yield from next((places for places in placed if places), [])


def _typed(new: Entry, old: Entry | None, facts: Iterable[str]) -> list[str]:
    return [name for name in facts if new.has(name) and (old is None or old.raw(name) != new.raw(name))]


def _with_stamps(site: Site, feature: Feature, names: list[str], on: dt.date, who: str) -> Site:
    stamp = _stamp(on, who, at=lonlat_of(site, feature))
    return site.put(feature.with_values(seen=_merged(feature.values, names, stamp))) if names else site


def _stamped_links(before: Site, site: Site, on: dt.date, who: str) -> Site:
    old = {(link.text("source"), link.text("spot")): link for link in before.records("links")}
    links = []
    for link in site.records("links"):
        typed = _typed(link, old.get((link.text("source"), link.text("spot"))), FACTS["links"])
        links.append(_link_stamped(site, link, typed, on, who))
    return _with_links(site, links)


def _confirmed_link(site: Site, link: Entry, on: dt.date, who: str, feature_id: str) -> FrozenDict:
    ends = {end.id for name in ("spot", "source") if (end := site.find(link.text(name) or "")) is not None}
    return _link_stamped(site, link, [EVERY], on, who) if feature_id in ends else link.values


def _link_stamped(site: Site, link: Entry, names: list[str], on: dt.date, who: str) -> FrozenDict:
    spot, source = _ends(site, link, "spot", "source")
    if not names or spot is None or source is None:
        return link.values
    stamp = _stamp(on, who, spot_at=lonlat_of(site, spot), source_at=lonlat_of(site, source))
    return link.values.put(seen=_merged(link.values, names, stamp))


def _with_links(site: Site, links: list[FrozenDict]) -> Site:
    """The links of a site replaced in their places; what is no record stays where it stands."""
    old = site.member.get("links")
    if not isinstance(old, tuple) or not links:
        return site
    fresh = iter(links)
    new = tuple(next(fresh) if isinstance(each, FrozenDict) else each for each in old)
    return site if new == old else site.with_member("links", new)


def _stamped_season(before: Site, site: Site, on: dt.date, who: str) -> Site:
    season = site.section("season")
    return _with_season_stamps(site, season, _typed(season, before.section("season"), FACTS["season"]), on, who)


def _with_season_stamps(site: Site, season: Entry, names: list[str], on: dt.date, who: str) -> Site:
    if not names:
        return site
    return site.with_member("season", season.values.put(seen=_merged(season.values, names, _stamp(on, who))))


def _merged(values: FrozenDict, names: list[str], stamp: dict[str, Any]) -> FrozenDict:
    old = values.get(SEEN)
    kept = old if isinstance(old, Mapping) and EVERY not in names else {}
    return FrozenDict({**kept, **dict.fromkeys(names, stamp)})


def _stamp(on: dt.date, who: str, **places: list[float] | None) -> dict[str, Any]:
    said = {"on": on.isoformat(), **{key: place for key, place in places.items() if place is not None}}
    return said | ({"who": who} if who else {})


def lonlat_of(site: Site, feature: Feature) -> list[float] | None:
    """Longitude and latitude of the middle of a feature, as a stamp holds them; None where it has no place."""
    plane = plane_of_site(site)
    middle = None if plane is None else middle_of(feature, plane)
    if plane is None or middle is None:
        return None
    lon, lat = plane.lonlat(middle.x, middle.y)
    return [round(float(lon), 7), round(float(lat), 7)]
