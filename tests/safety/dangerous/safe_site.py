"""A safe site of our own, on which both kilns may be lit, and short ways to change one thing of it.

Level ground about a pond, invented. K1 stands at the middle; distances east and north of it are in metres, so that what
a row of the table changes can be read off this page. Everything is in place: looked, asked and seen with name, place
and date; two lines of water, each on gear of its own; people, ways out and a refuge.
"""

from __future__ import annotations

import copy
import datetime as dt
import json
from dataclasses import replace
from typing import Any, Self

from sitemap.assessment import Assessment, assess
from sitemap.season.weather_of_site import morning_mark
from sitemap.site.file import parse_site
from sitemap.site.model import Feature, Site
from tests.safety.dangerous.safe_values import PLANE, TANK, Values, line, lonlat, point, stamp, whole

_SAFE = json.dumps(whole())
_KNOWN: dict[Feature, Feature] = {}


def read(text: str) -> Site:
    """The site of a file; a thing that says what one said before is the same thing, with all that was made of it."""
    site = parse_site(text)
    return replace(site, features=tuple(_KNOWN.setdefault(each, each) for each in site.features))


class SafeSite:
    """The safe site as a file, to be changed and then assessed; every change returns the site, so that they chain."""

    def __init__(self) -> None:
        safe = json.loads(_SAFE)
        self.features: dict[str, Values] = safe["features"]
        self.member: Values = safe["member"]

    def put(self, key: str, **said: Any) -> Self:
        """Say something of a feature; None takes it away."""
        _say(self.features[key]["properties"], said)
        return self

    def move(self, key: str, east: float, north: float) -> Self:
        """Move a feature that is a point, its stamps untouched."""
        x, y = (float(part) for part in PLANE.xy(*self.features[key]["geometry"]["coordinates"]))
        self.features[key]["geometry"] = point(x + east, y + north)
        return self

    def draw(self, key: str, geometry: Values | None) -> Self:
        """Draw a feature anew."""
        self.features[key]["geometry"] = geometry
        return self

    def add(self, kind: str, geometry: Values | None, key: str = "new", **said: Any) -> Self:
        """Put another feature on the map."""
        properties = {"kind": kind, "name": key.upper(), **said}
        self.features[key] = {"type": "Feature", "id": key, "geometry": geometry, "properties": properties}
        return self

    def drop(self, *keys: str) -> Self:
        """Take features off the map, or records out of their lists (`record`)."""
        for key in keys:
            del self.features[key]
        return self

    def gear(self, of: str, key: str, **said: Any) -> Self:
        """Say something of a piece of equipment; None takes it away."""
        _say(next(item for item in self.member["equipment"][of] if item["id"] == key), said)
        return self

    def say(self, section: str, **said: Any) -> Self:
        """Say something in a section of the site: crew, permit, season."""
        _say(self.member[section], said)
        return self

    def record(self, of: str, number: int, **said: Any) -> Self:
        """Say something in one record of a list: asked, looked, rules, links."""
        _say(self.member[of][number], said)
        return self

    def looked(self, kind: str, **said: Any) -> Self:
        """Say something in the record of what was looked for."""
        _say(next(each for each in self.member["looked"] if each["kind"] == kind), said)
        return self

    def asked(self, whom: str, **said: Any) -> Self:
        """Say something in the record of who was asked."""
        _say(next(each for each in self.member["asked"] if each["whom"] == whom), said)
        return self

    def without(self, of: str, **which: Any) -> Self:
        """Take out of a list every record that says so."""
        kept = [each for each in self.member[of] if any(each.get(key) != value for key, value in which.items())]
        assert len(kept) < len(self.member[of]), "nothing was taken out"
        self.member[of] = kept
        return self

    def with_record(self, of: str, **said: Any) -> Self:
        """Write one more record into a list."""
        self.member[of].append(said)
        return self

    def seen(self, key: str, **said: Any) -> Self:
        """Change the stamp of a feature's facts; None takes a part away."""
        _say(self.features[key]["properties"]["seen"]["*"], said)
        return self

    def seen_link(self, number: int, **said: Any) -> Self:
        """Change the stamp of the facts of a water source and a kiln spot together."""
        _say(self.member["links"][number]["seen"]["*"], said)
        return self

    def waters(self, **said: Any) -> Self:
        """Say something of pond and tank alike: else the one stands in for the other."""
        return self.put("pond", **said).put("tank", **said)

    def lines(self, **said: Any) -> Self:
        """Say something of every pair of a water source and a kiln."""
        for number in range(len(self.member["links"])):
            self.record("links", number, **said)
        return self

    def lines_seen(self, **said: Any) -> Self:
        """Change the stamps of the facts of every pair of a water source and a kiln."""
        for number in range(len(self.member["links"])):
            self.seen_link(number, **said)
        return self

    def pumps(self, **said: Any) -> Self:
        """Say something of both pumps."""
        return self.gear("pumps", "pump", **said).gear("pumps", "pump-2", **said)

    def hoses(self, **said: Any) -> Self:
        """Say something of both hoses."""
        return self.gear("hoses", "hose", **said).gear("hoses", "hose-2", **said)

    def carried(self, **timed: Any) -> Self:
        """Water carried to K1 alone from the pond, by ten people with buckets; there is no hose."""
        self.drop("k2", "p2", "tank").links_of("pond").without("links", spot="k2").without_gear("hoses")
        self.put("pond", pump=None, hose=None, nozzle=None).gear("kilns", "box", count=1)
        return self.say("crew", adults=24, carriers=10).lines(bucket_litres=None, bucket_seconds=None).lines(**timed)

    def without_gear(self, of: str) -> Self:
        """Leave gear of one sort at home."""
        self.member["equipment"][of] = []
        return self

    def lay_from(self, source: str, profile: list[list[float]]) -> Self:
        """A hose lay drawn from a water source to K1, with its heights: distance and height above the water [m]."""
        start = (0.0, -40.0) if source == "pond" else TANK
        said = {"from_source": source, "to_spot": "k1", "profile": profile}
        return self.add("hose_lay", line(start, (0, -1)), f"lay-{source}", **said)

    def seen_season(self, **said: Any) -> Self:
        """Change the stamp of ban and surroundings."""
        _say(self.member["season"]["seen"]["*"], said)
        return self

    def said_on(self, name: str, on: str) -> Self:
        """Have asked about a fact of the season, such as the fire ban, on another day than the rest."""
        self.member["season"]["seen"][name] = {"on": on}
        return self

    def machine(self, **said: Any) -> Self:
        """Have a machine on site."""
        self.member["equipment"]["machines"] = [{"id": "digger", "name": "Digger", **said}]
        return self

    def pipe(self) -> Self:
        """A pipe in the ground 90 m to the south-west, beyond every usual distance."""
        return self.add("buried_line", line((-90, -300), (-90, 300)))

    def ring(self) -> Self:
        """A floorless ring instead of the box."""
        ring = {"shape": "ring", "diameter_m": 1.6, "height_m": 0.7, "length_m": None, "width_m": None}
        return self.gear("kilns", "box", **ring, holds_water="no_floor", has_floor=False)

    def links_of(self, source: str) -> Self:
        """Keep the facts of one water source and the kilns alone."""
        self.member["links"] = [link for link in self.member["links"] if link["source"] == source]
        return self

    def kiln_like(self, old: str, key: str, x: float, y: float) -> Self:
        """One more kiln spot like another, seen at its own place, with the bucket tests of the other."""
        kiln = copy.deepcopy(self.features[old])
        kiln["id"], kiln["geometry"] = key, point(x, y)
        kiln["properties"] |= {"name": key.upper(), "seen": stamp(x, y)}
        self.features[key] = kiln
        for link in [each for each in self.member["links"] if each["spot"] == old]:
            again = copy.deepcopy(link)
            again["spot"], again["seen"]["*"]["spot_at"] = key, lonlat(x, y)
            self.member["links"].append(again)
        return self

    def top(self, **said: Any) -> Self:
        """Say something of the site as a whole: time zone, units; None takes it away."""
        _say(self.member, said)
        return self

    def weather(self, **said: Any) -> Self:
        """Say something in what was read of the weather on the burn date."""
        _say(self.member["weather_read"], said)
        return self

    def signed(self) -> Self:
        """Have the weather read with forecast and log as they are kept now."""
        site = self.site()
        self.member["weather_read"]["saw"] = morning_mark(site, site.section("season").date("date"))
        return self

    def text(self) -> str:
        """The site file."""
        features = list(self.features.values())
        return json.dumps({"type": "FeatureCollection", "site": self.member, "features": features})

    def site(self) -> Site:
        return read(self.text())

    def assessed(self, today: dt.date | None = None) -> Assessment:
        """The assessment for the burn date of the site, looked at on a day; without one, on the burn date."""
        site = self.site()
        return assess(site, None, on=site.section("season").date("date"), today=today)


def _say(values: Values, said: Values) -> None:
    for name, value in said.items():
        if value is None:
            del values[name]
        else:
            values[name] = value
