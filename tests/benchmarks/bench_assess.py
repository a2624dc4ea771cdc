"""What an edit costs on a site of 60 features over a million cells, in one run: seconds of processor,
and against the first assess.

python -m tests.benchmarks.bench_assess --side 1000
"""

from __future__ import annotations

import argparse
import datetime as dt
import resource

import numpy as np

from sitemap.assessment import assess
from sitemap.geodesy.plane import Plane
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from tests.benchmarks.clock import against, seconds

GOALS_S = {"kiln spot moved": 0.1, "source moved": 0.3, "building moved": 2.0}
ON = dt.date(2026, 11, 25)


def site_of(plane: Plane, heaps: int, spread_m: float) -> Site:
    """Heaps, kiln spots, sources, roads and buildings strewn about the middle of the plane."""
    draw = np.random.default_rng(2)

    def point() -> dict[str, object]:
        lon, lat = plane.lonlat(*draw.uniform(-spread_m, spread_m, 2))
        return {"type": "Point", "coordinates": [float(lon), float(lat)]}

    site = Site().with_member("units", "metric").with_member("timezone", "UTC")
    site = site.with_item("kilns", {"id": "box", "shape": "box", "length_m": 2.4, "width_m": 1.2, "height_m": 0.6})
    site = site.with_item("pumps", {"id": "pump", "max_head_m": 60, "max_flow_l_min": 500})
    site = site.with_item("hoses", {"id": "hose", "bore_mm": 38, "lengths_m": [20.0] * 15})
    site = site.with_item("nozzles", {"id": "tip", "bore_mm": 10})
    site = site.with_item("machines", {"id": "digger", "bucket_l": 80})
    sizes = {"length_m": 5, "width_m": 4, "height_m": 2}
    for number in range(heaps):
        site = site.put(Feature.of(f"p{number}", point(), {"kind": "pile", **sizes}))
    for number in range(4):
        site = site.put(Feature.of(f"k{number}", point(), {"kind": "kiln_spot", "kiln": "box", "ground": "rock"}))
    hose = [{"hose": "hose", "length_m": 300}]
    water = {"kind": "water_source", "source": "tank", "volume_l": 9000, "pump": "pump", "hose": hose, "nozzle": "tip"}
    for number in range(3):
        site = site.put(Feature.of(f"w{number}", point(), water))
    for number in range(6):
        site = site.put(Feature.of(f"b{number}", point(), {"kind": "structure", "use": "own"}))
    return site


def main(arguments: list[str] | None = None) -> None:
    """Print the seconds of a first assess and of one after each kind of edit."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--side", type=int, default=1000, help="cells of 1 m along one side")
    parser.add_argument("--heaps", type=int, default=47)
    options = parser.parse_args(arguments)
    half = options.side / 2
    site = site_of(Plane(10.0, 50.0), options.heaps, 0.35 * options.side)
    plane = plane_of_site(site)
    assert plane is not None
    y, x = np.mgrid[: options.side, : options.side]
    heights = (500 + 0.03 * x + 6 * np.sin(x / 70) + 5 * np.cos(y / 55)).astype(np.float32)
    terrain = Terrain(Grid(-half, half, 1.0, options.side, options.side), heights, 1.0)

    def moved(key: str) -> Site:
        feature = site.get(key)
        assert feature is not None
        assert feature.shape is not None
        where = feature.shape.centroid
        return site.put(feature.with_geometry({"type": "Point", "coordinates": [where.x + 3e-5, where.y]}))

    first = 0.0
    for what, edited in (
        ("first", site),
        ("again", site),
        ("kiln spot moved", moved("k0")),
        ("heap moved", moved("p0")),
        ("source moved", moved("w0")),
        ("building moved", moved("b0")),
    ):
        took = seconds(lambda edited=edited: assess(edited, terrain, on=ON))
        first = first or took
        told = against(took, GOALS_S[what], "s") if what in GOALS_S else f"{took:.2f} s"
        print(f"{what:16} {told}, {took / first:.3f} of the first")
    print(f"memory at its highest {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    main()
