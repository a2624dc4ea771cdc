"""Makes the sample sites and their ground. Every place, person and number in them is invented.

    python -m sample_sites.make

Each sample is drawn in metres east and north of a centre and brought to longitude and latitude; its elevation is a
smooth invented surface with seeded roughness, written as a GeoTIFF beside it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from sitemap.ground.plane import Plane

FOLDER = Path(__file__).parent
Height = Callable[[Any, Any], Any]


class Drawing:
    """Collects features drawn in metres about a centre."""

    def __init__(self, lon: float, lat: float, height: Height) -> None:
        self.plane = Plane(lon, lat)
        self.height = height
        self.features: list[dict[str, Any]] = []

    def _lonlat(self, x: float, y: float) -> list[float]:
        lon, lat = self.plane.lonlat(x, y)
        return [round(float(lon), 7), round(float(lat), 7)]

    def point(self, kind: str, key: str, name: str, x: float, y: float, **values: Any) -> None:
        """A point; its elevation is read off the invented ground."""
        if kind in ("kiln_spot", "water_source"):
            values.setdefault("elevation_m", round(float(self.height(x, y)), 1))
        self._add(kind, key, name, {"type": "Point", "coordinates": self._lonlat(x, y)}, values)

    def line(self, kind: str, key: str, name: str, corners: list[tuple[float, float]], **values: Any) -> None:
        """A line through corners."""
        coordinates = [self._lonlat(x, y) for x, y in corners]
        self._add(kind, key, name, {"type": "LineString", "coordinates": coordinates}, values)

    def area(self, kind: str, key: str, name: str, corners: list[tuple[float, float]], **values: Any) -> None:
        """An area with these corners, counter-clockwise."""
        ring = [self._lonlat(x, y) for x, y in [*corners, corners[0]]]
        self._add(kind, key, name, {"type": "Polygon", "coordinates": [ring]}, values)

    def _add(self, kind: str, key: str, name: str, geometry: dict[str, Any], values: dict[str, Any]) -> None:
        properties = {"kind": kind, "name": name, **values}
        self.features.append({"type": "Feature", "id": key, "geometry": geometry, "properties": properties})


def write(key: str, drawing: Drawing, member: dict[str, Any], half_width_m: float = 360.0, cell_m: float = 2.0) -> None:
    """Write the elevation and the site file of one sample."""
    raster = f"{key}.tif"
    write_elevation(FOLDER / raster, drawing, half_width_m, cell_m, seed=key)
    digest = hashlib.sha256((FOLDER / raster).read_bytes()).hexdigest()
    site = {
        "format": 1,
        **member,
        "invented": "This site, its people and its figures are invented.",
        "files": {"terrain": {"name": raster, "sha256": digest, "unit": "m"}},
    }
    text = json.dumps(
        {"type": "FeatureCollection", "site": site, "features": drawing.features}, ensure_ascii=False, indent=1
    )
    (FOLDER / f"{key}.geojson").write_text(text + "\n", encoding="utf-8")


def write_elevation(path: Path, drawing: Drawing, half_width_m: float, cell_m: float, seed: str) -> None:
    """Sample the invented ground on a grid in the local plane, with centimetres of smooth seeded roughness."""
    import rasterio
    from rasterio.transform import from_origin
    from scipy.ndimage import gaussian_filter

    cells = round(2 * half_width_m / cell_m)
    centres = -half_width_m + cell_m * (np.arange(cells) + 0.5)
    x, y = np.meshgrid(centres, centres[::-1])
    number = int.from_bytes(hashlib.sha256(seed.encode()).digest()[:4], "big")
    rough = gaussian_filter(np.random.default_rng(number).standard_normal(x.shape), 6)
    ground = np.round(drawing.height(x, y) + 0.15 * rough / rough.std(), 2).astype("float32")
    lon, lat = drawing.plane.lon0, drawing.plane.lat0
    crs = f"+proj=tmerc +lat_0={lat} +lon_0={lon} +k_0=0.9999994 +datum=WGS84 +units=m +type=crs"
    profile = {"driver": "GTiff", "width": cells, "height": cells, "count": 1, "dtype": "float32", "crs": crs}
    transform = from_origin(-half_width_m, half_width_m, cell_m, cell_m)
    with rasterio.open(path, "w", **profile, transform=transform, nodata=-9999, compress="deflate", predictor=3) as out:
        out.write(ground, 1)


def juniper_bench() -> None:
    """A juniper and ponderosa fuel-break thinning in the western US: US units, a water tender, ring kilns."""

    def height(x: Any, y: Any) -> Any:
        return 1284 + 0.055 * y + 0.012 * x + 3.0 * np.exp(-(((x + 150) / 90) ** 2) - ((y - 60) / 120) ** 2)

    site = Drawing(-120.6125, 44.2871, height)
    site.area(
        "logged_area",
        "area-1",
        "Fuel break",
        [(-130, -60), (-20, -85), (95, -70), (120, 20), (60, 95), (-60, 100), (-125, 50)],
    )
    juniper = {"wood": "western_juniper", "shape": "dome", "packing": "loose_brush", "soil": "some"}
    pine = {"wood": "ponderosa_pine", "shape": "dome", "packing": "tops", "soil": "none"}
    site.point("pile", "p1", "P1", -95, -35, **juniper, length_m=6.1, width_m=4.9, height_m=2.1, thickest_cm=14)
    site.point("pile", "p2", "P2", -60, 30, **juniper, length_m=5.5, width_m=4.6, height_m=1.8, thickest_cm=12)
    site.point("pile", "p3", "P3", -15, 70, **pine, length_m=6.4, width_m=5.2, height_m=2.3, thickest_cm=18)
    site.point("pile", "p4", "P4", 35, 60, **pine, length_m=4.9, width_m=4.3, height_m=1.7, thickest_cm=13)
    site.point("pile", "p5", "P5", 70, -20, **juniper, length_m=7.3, width_m=5.5, height_m=2.4, thickest_cm=15)
    site.point("pile", "p6", "P6", 20, -60, **(juniper | {"shape": "mound"}), length_m=4.6, width_m=4.0, height_m=1.5)
    site.line(
        "windrow",
        "w1",
        "W1",
        [(-70, -55), (-45, -62), (-15, -66)],
        **{k: pine[k] for k in ("wood", "packing", "soil")},
        section="parabola",
        width_m=3.4,
        height_m=1.4,
        thickest_cm=15,
    )
    site.line(
        "transect",
        "t1",
        "T1",
        [(-30, 10), (0, 18)],
        taped="slope",
        slope_pct=6,
        wood="western_juniper",
        pieces=[{"diameter_cm": d} for d in (3.0, 4.5, 5.0, 7.5, 8.0, 3.5, 6.0, 11.0, 4.0)],
    )
    kiln = {"kiln": "ring-5", "branches_overhead": "none", "fuel_upslope": "no", "slope_pct": 4}
    site.point("kiln_spot", "k1", "K1", -32, -22, **kiln, ground="mineral_soil", position_error_m=0.5)
    site.point("kiln_spot", "k2", "K2", 12, 26, **kiln, ground="litter_duff", position_error_m=5)
    site.point("kiln_spot", "k3", "K3", 92, 18, **kiln, ground="turf", position_error_m=5)
    site.point(
        "water_source",
        "tender",
        "Water tender",
        -48,
        -6,
        source="tanker",
        volume_l=7570,
        volume_l_basis="measured",
        pump="pump-1",
        hose=[{"hose": "hose-38", "length_m": 60}],
        nozzle="nozzle-10",
        usable_on_date=True,
        permission="yes",
        position_error_m=2,
    )
    site.line("road", "road-1", "County road", [(-330, -150), (-60, -165), (330, -150)], public=True)
    site.line("track", "track-1", "Landing track", [(-60, -165), (-66, -90), (-52, -30), (-48, -6), (10, 45), (50, 75)])
    site.point("structure", "cabin", "Own cabin", -190, 30, use="own")
    site.line(
        "power_line",
        "power-1",
        "Power line",
        [(118, -200), (122, 200)],
        overhead=True,
        voltage_kv=25,
        owner="Line owner",
    )
    site.area(
        "standing_timber",
        "timber-1",
        "Ponderosa stand",
        [(-140, 118), (80, 112), (150, 180), (-140, 200)],
        height_m=22,
    )
    site.line("property_line", "line-1", "North line", [(-300, 240), (300, 240)])
    site.line("escape_route", "out-1", "Way out along the track", [(-50, -20), (-66, -90), (-60, -165)])
    site.line("escape_route", "out-2", "Way out to the cabin", [(-50, -10), (-120, 10), (-180, 25)])
    site.area("refuge", "refuge-1", "Bare landing", [(-75, -120), (-45, -120), (-45, -95), (-75, -95)])
    site.point("meeting_point", "meet-1", "Meeting point", -64, -135)
    site.point("gate", "gate-1", "Gate", -60, -158)
    site.point("parking", "park-1", "Parking", -72, -145)
    site.point("turning_place", "turn-1", "Turning place", -58, -108)
    site.point("lookout", "look-1", "Lookout", -140, 70)
    site.point("smoke_place", "smoke-1", "Neighbour's house", 300, -60, what="home")
    member = {
        "name": "Juniper Bench fuel break (invented)",
        "units": "us",
        "timezone": "America/Los_Angeles",
        "language": "en",
        "equipment": {
            "kilns": [
                {
                    "id": "ring-5",
                    "name": "5 ft ring",
                    "shape": "ring",
                    "diameter_m": 1.52,
                    "height_m": 0.91,
                    "holds_water": "no_floor",
                    "has_floor": False,
                    "plate_thickness_mm": 3,
                    "piece_limit_cm": 15,
                }
            ],
            "pumps": [{"id": "pump-1", "name": "Tender pump", "max_head_m": 50, "max_flow_l_min": 500, "worn": "worn"}],
            "hoses": [
                {
                    "id": "hose-38",
                    "name": "1½ in hose",
                    "bore_mm": 38.1,
                    "lengths_m": [30.48, 30.48, 30.48],
                    "rated_kpa": 1700,
                    "coupling_mm": 38.1,
                }
            ],
            "nozzles": [{"id": "nozzle-10", "name": "⅜ in tip", "bore_mm": 9.525}],
            "machines": [
                {
                    "id": "mini",
                    "name": "Mini excavator",
                    "bucket_l": 70,
                    "max_slope_pct": 30,
                    "width_m": 1.6,
                    "reach_m": 4.5,
                }
            ],
        },
        "crew": {
            "leader": "Person in charge (invented)",
            "phone": "000 0000",
            "adults": 5,
            "rakers": 1,
            "carriers": 2,
            "feeders": 2,
            "emergency": "911",
            "directions": "From the county road through the gate, 250 ft up the landing track.",
        },
        "permit": {"authority": "Local fire authority", "from": "2026-11-01", "to": "2027-02-28"},
        "season": {
            "date": "2026-12-05",
            "date_walked": "2026-11-20",
            "surroundings": "wet",
            "fuel_height_m": 0.4,
            "wind_from_deg": 270,
        },
        "looked": [
            {"kind": kind, "within_m": 100, "who": "Crew lead", "when": "2026-11-20"}
            for kind in ("stream", "wetland", "fuel_store", "railway", "buried_line", "hazard_tree", "no_go")
        ],
        "asked": [
            {
                "whom": "authority",
                "name": "Duty officer",
                "date": "2026-11-22",
                "answer": "yes",
                "said": "Call before lighting.",
            }
        ],
        "rules": [
            {
                "id": "line",
                "kind": "property_line",
                "distance_m": 15,
                "condition": "agreed with the neighbour",
                "source": "invented for this sample",
                "standing": "C",
            }
        ],
        "links": [
            {
                "source": "tender",
                "spot": "k1",
                "lift_m": -0.7,
                "lift_error_m": 0.5,
                "bucket_litres": 18.9,
                "bucket_seconds": 9,
            }
        ],
    }
    write("juniper_bench", site, member)


if __name__ == "__main__":
    juniper_bench()
