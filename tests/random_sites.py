"""Random sites as files, to hold one state of the program against another: seeded, so that a number names a site.

They are written by hand from the words of the site file, not from the program's schema: a change of the schema must not
change them. Everything a site may hold comes up: heaps of all shapes with and without sizes, ranges, readings, weights,
lines counted, kilns of all shapes, water gear, sources of all kinds, what a fire keeps clear of, rules and answers;
some values are wrong, some missing, some sites cannot be read at all. One site in twelve has an elevation raster.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from random import Random
from typing import Any

from tests.random_values import CLEAR, CREW, EQUIPMENT, FORM, RUBBISH, SAID, SECTIONS, said

Values = dict[str, Any]

PLACES = (
    *((-120.6, 44.0), (172.0, -43.5), (13.72, 61.86), (16.0, 78.2), (179.9995, -16.5), (-179.9995, 66.5)),
    *((-120.0, 44.0), (0.0, 0.0), (148.9, -35.4), (-3.2, 56.9)),
)
SPREAD_M = 160.0  # a few hectares
RASTER_EVERY, FAULT_EVERY = 12, 60
TODAY = "2026-10-15"  # for sites that say no burn date


class RandomSite:
    """One site being thrown together about a place of the Earth, in metres east and north of it."""

    def __init__(self, rng: Random, place: tuple[float, float]) -> None:
        self.rng, (self.lon, self.lat) = rng, place
        self.tidy = rng.random() < 0.35  # somebody looked, asked and measured: else nothing would ever pass
        self.features: list[Values] = []
        self.names: dict[str, list[str]] = {}

    def whole(self, folder: Path, name: str, raster: bool) -> Values:
        """The whole collection; an elevation raster is written beside it."""
        rng = self.rng
        member = {"format": 1, "name": name, "units": rng.choice(("metric", "us"))}
        zones = ("America/Los_Angeles", "Pacific/Auckland", "Europe/Stockholm", "Mars/Base", "UTC")
        member |= {"timezone": rng.choice(zones)} if rng.random() < 0.8 else {}
        member["equipment"] = {key: self.gear(key) for key in EQUIPMENT if self.tidy or rng.random() < 0.92}
        self.draw("logged_area", rng.choice((0, 1, 1, 1, 2)))
        self.draw("pile", rng.randint(0, 9))
        self.draw("windrow", rng.randint(0, 3))
        self.draw("transect", rng.choice((0, 0, 1, 2, 4)))
        self.draw("kiln_spot", rng.choice((0, 1, 1, 2, 2, 3, 4)))
        self.draw("water_source", rng.choice((0, 1, 1, 2, 3)))
        self.draw("hose_lay", rng.choice((0, 0, 1)))
        for kind in (*CLEAR, *CREW):
            self.draw(kind, rng.choice((0, 0, 0, 0, 0, 1) if self.tidy else (0, 0, 0, 1, 1, 2)))
        self.refer()
        member |= {key: said(rng, table, self.tidy) for key, table in SECTIONS.items() if rng.random() < 0.9}
        member |= {key: made for key, made in self.records().items() if self.tidy or rng.random() < 0.7}
        self.spoil(member)
        if raster:
            write_raster(folder / f"{name}.tif", rng, self.lon, self.lat)
            member["files"] = {"terrain": {"name": f"{name}.tif", "unit": rng.choice(("m", "m", "ft"))}}
        return {"type": "FeatureCollection", "site": member, "features": self.features}

    def lonlat(self, x: float, y: float) -> list[float]:
        lon = self.lon + x / (111_320 * math.cos(math.radians(self.lat)))
        return [round((lon + 180) % 360 - 180, 7), round(self.lat + y / 110_570, 7)]

    def near(self) -> tuple[float, float]:
        return tuple(self.rng.uniform(-SPREAD_M, SPREAD_M) for _ in "xy")  # type: ignore[return-value]

    def geometry(self, form: str, size_m: float) -> Values:
        x, y = self.near()
        if form == "P":
            return {"type": "Point", "coordinates": self.lonlat(x, y)}
        turn, count = self.rng.uniform(0, 6.3), self.rng.randint(2, 4)
        if form == "L":
            steps = [(size_m * n * math.cos(turn), size_m * n * math.sin(turn + 0.2 * n)) for n in range(count)]
            return {"type": "LineString", "coordinates": [self.lonlat(x + dx, y + dy) for dx, dy in steps]}
        ring = [turn + 2 * math.pi * n / (count + 2) for n in range(count + 2)]
        corners = [self.lonlat(x + size_m * math.cos(a), y + 0.7 * size_m * math.sin(a)) for a in ring]
        return {"type": "Polygon", "coordinates": [[*corners, corners[0]]]}

    def draw(self, kind: str, count: int) -> None:
        for n in range(count):
            size = {"logged_area": 120.0, "pile": 3.5, "hose_lay": 25.0}.get(kind, self.rng.uniform(6, 60))
            geometry = self.geometry(self.rng.choice(FORM[kind]), size)
            values = said(self.rng, SAID.get(kind, {}), self.tidy)
            values |= {"position_error_m": round(self.rng.uniform(0, 12), 1)} if self.rng.random() < 0.4 else {}
            key = f"{kind}-{n + 1}"
            self.names.setdefault(kind, []).append(key)
            properties = {"kind": kind, "name": f"{kind[:2].upper()}{n + 1}", **values}
            self.features.append({"type": "Feature", "id": key, "geometry": geometry, "properties": properties})

    def gear(self, key: str) -> list[Values]:
        made = []
        for n in range(self.rng.choice((1, 1, 2) if self.tidy else (0, 1, 1, 2, 2))):
            name = f"{key[:-1]}-{n + 1}"
            self.names.setdefault(key, []).append(name)
            made.append({"id": name, "name": name.capitalize(), **said(self.rng, EQUIPMENT[key], self.tidy)})
            if key == "tanks" and self.rng.random() < 0.3:
                made[-1]["on_trailer"] = True
        return made

    def pick(self, of: str, chance: float = 0.9) -> Values | str | None:
        there = self.names.get(of, [])
        if not there or self.rng.random() > chance:
            return None
        return "nothing-such" if self.rng.random() < 0.03 else self.rng.choice(there)

    def refer(self) -> None:
        """Say of spots, sources and lays what they belong to."""
        heaps = [*self.names.get("pile", []), *self.names.get("windrow", [])]
        for feature in self.features:
            values, rng = feature["properties"], self.rng
            if values["kind"] == "kiln_spot":
                values["kiln"] = self.pick("kilns", 0.95)
                clear = {"ground": "mineral_soil", "branches_overhead": "none", "slope_pct": 4, "fuel_upslope": "no"}
                values |= clear if self.tidy else {}
                values["serves"] = rng.sample(heaps, rng.randint(0, len(heaps))) if rng.random() < 0.5 else None
            elif values["kind"] == "water_source":
                parts = [
                    (self.pick("hoses"), rng.choice((10, 30, 60, 120, 300)))
                    for _ in range(1 if self.tidy else rng.randint(0, 2))
                ]
                values["hose"] = [{"hose": hose, "length_m": length} for hose, length in parts if hose]
                values |= {"pump": self.pick("pumps", 0.7), "nozzle": self.pick("nozzles")}
                values |= {"usable_on_date": True, "permission": "yes"} if self.tidy else {}
                if rng.random() < 0.15:
                    values |= {"relay": rng.choice(("pump", "tank")), "relay_after_m": rng.choice((20, 60, 150))}
                    values |= {"relay_pump": self.pick("pumps", 0.7), "relay_tank": self.pick("tanks", 0.7)}
            elif values["kind"] == "hose_lay":
                values |= {"from_source": self.pick("water_source"), "to_spot": self.pick("kiln_spot")}
            for name in [name for name, value in values.items() if value is None or value == []]:
                del values[name]

    def records(self) -> Values:
        rng = self.rng
        links = []
        for _ in range(rng.randint(0, 3)):
            link = {"source": self.pick("water_source", 1), "spot": self.pick("kiln_spot", 1)}
            lift = {"lift_m": round(rng.uniform(-8, 25), 1), "lift_error_m": round(rng.uniform(0, 3), 1)}
            test = rng.choice(({}, {"bucket_test": [20, rng.randint(4, 90)]}, {"bucket_litres": 12}))
            test = test | ({"bucket_seconds": rng.randint(5, 60)} if "bucket_litres" in test else {})
            links.append(link | (lift if rng.random() < 0.6 else {}) | test)
        who, when = "Someone", "2026-09-20"
        kinds = CLEAR if self.tidy else rng.sample(CLEAR, rng.randint(0, 6))
        answers = ("yes", "yes", "yes", "conditions") if self.tidy else ("yes", "conditions", "no", "perhaps")
        looked = [
            {"kind": kind, "within_m": 300 if self.tidy else rng.choice((20, 60, 150, 300)), "who": who, "when": when}
            for kind in kinds
        ]
        asked = [
            {"whom": whom, "name": who, "date": when, "answer": rng.choice(answers)}
            | ({"about": about} if about else {})
            for whom, about in (
                ("authority", None),
                ("line_owner", self.pick("power_line", 0.7)),
                ("line_owner", self.pick("railway", 0.7)),
                ("neighbour", self.pick("property_line", 0.7)),
            )
            if self.tidy or rng.random() < 0.6
        ]
        rules = [
            {"id": f"r{n}", "kind": kind, "distance_m": rng.choice((0, 5, 15.24, 40, 90)), "source": "invented"}
            | ({"condition": "agreed"} if rng.random() < 0.5 else {})
            for n, kind in enumerate(rng.sample((*CLEAR, "pile", "windrow", "kiln_spot"), rng.choice((0, 0, 1, 3))))
        ]
        return {"links": links, "looked": looked, "asked": asked, "rules": rules}

    def spoil(self, member: Values) -> None:
        """Make some of it wrong: values of the wrong type or beyond their limits, names, places, kinds."""
        rng = self.rng
        lists = member["equipment"].values()
        every = [f["properties"] for f in self.features] + [each for made in lists for each in made]
        for values in every:
            spare = [name for name in values if name not in ("kind", "id", "name")]
            if spare and rng.random() < (0.02 if self.tidy else 0.08):
                values[rng.choice(spare)] = rng.choice(RUBBISH)
            if spare and rng.random() < 0.02:
                values[rng.choice(spare)[:-1] + "x"] = 1
        for feature in self.features:
            if rng.random() < 0.02:
                feature["geometry"] = None
            elif rng.random() < 0.01:
                feature["properties"]["kind"] = "bonfire"
            elif rng.random() < 0.005:
                feature["geometry"] = {"type": "Point", "coordinates": [self.lon, self.lat + 1]}


def write_raster(path: Path, rng: Random, lon: float, lat: float) -> None:
    """A tilted, wavy ground about a place as GeoTIFF, on a plane of its own or in degrees, some with a hole."""
    import numpy as np
    import rasterio
    from rasterio.transform import from_origin

    cell, half = rng.choice((2.0, 4.0, 7.0)), 420.0
    count = round(2 * half / cell)
    x, y = np.meshgrid((np.arange(count) + 0.5) * cell - half, half - (np.arange(count) + 0.5) * cell)
    east, north, wave = (rng.uniform(-0.12, 0.12) for _ in range(3))
    ground = 300 + east * x + north * y + 60 * wave * np.sin(x / 55) * np.cos(y / 70)
    if rng.random() < 0.4:
        ground[np.hypot(x - rng.uniform(-80, 80), y) < 25] = -9999
    crs, transform = (
        f"+proj=tmerc +lat_0={lat} +lon_0={lon} +datum=WGS84 +units=m",
        from_origin(-half, half, cell, cell),
    )
    if rng.random() < 0.3:
        dlon, dlat = cell / (111_320 * math.cos(math.radians(lat))), cell / 110_570
        crs, transform = "EPSG:4326", from_origin(lon - count * dlon / 2, lat + count * dlat / 2, dlon, dlat)
    kind = {"driver": "GTiff", "dtype": "float32", "nodata": -9999, "compress": "deflate"}
    with rasterio.open(path, "w", width=count, height=count, count=1, crs=crs, transform=transform, **kind) as out:
        out.write(ground.astype("float32"), 1)


def write_site(folder: Path, number: int, seed: int = 1) -> Path:
    """Write one random site, and its raster if it has one, into a folder; the same seed and number give the same."""
    rng = Random(f"{seed} {number}")
    raster = number % RASTER_EVERY == 1
    place = rng.choice([each for each in PLACES if not raster or abs(each[0]) < 179])
    name = f"random_{number:03}"
    whole = RandomSite(rng, place).whole(folder, name, raster)
    if number % FAULT_EVERY == FAULT_EVERY - 1:  # no site file at all: a fault, in a sentence
        del whole["site"]["units"]
    path = folder / f"{name}.geojson"
    path.write_text(json.dumps(whole, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    return path
