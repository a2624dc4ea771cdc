"""What many heaps cost: `assess` beside the same draws and formulas on plain arrays, in one run, at three sizes.

python -m tests.benchmarks.bench_heaps --sizes 1000 10000 100000

Both sides draw from the same named streams. The plain side is three sizes and a shape a heap, the formulas of volume,
wood, mass and sorting, and their sums, in blocks of plain numpy, without a Site, records, notes or drivers.
"""

from __future__ import annotations

import argparse
import datetime as dt
import hashlib
import math
import resource
import time

import numpy as np

from sitemap.assessment import assess
from sitemap.geodesy.plane import Plane
from sitemap.ranges import N_DRAWS
from sitemap.site.model import Feature, Site

ON = dt.date(2026, 11, 25)
SIZES = (1000, 10_000, 100_000)
RATIO, EXPONENT = 3.0, 1.05  # what is asked: times the plain arrays, growth with the number of heaps
_Z90 = 1.2815515655446004


def site_of(count: int) -> Site:
    """Heaps of two looks and two woods on three kilometres square. No kiln: it would draw each char stock again."""
    chance, plane = np.random.default_rng(7), Plane(-121.3, 44.1)
    lons, lats = plane.lonlat(*chance.uniform(-1500, 1500, (2, count)))
    sizes = np.round(chance.uniform((3, 2, 1), (9, 6, 2), (count, 3)), 1)
    heaps = [
        Feature.of(
            f"p{n}",
            {"type": "Point", "coordinates": [float(lon), float(lat)]},
            {
                "kind": "pile",
                "name": f"P{n}",
                "shape": "dome",
                **dict(zip(("length_m", "width_m", "height_m"), map(float, taped), strict=True)),
                "packing": ("tops", "loose_brush")[n % 2],
                "wood": ("ponderosa pine", "western juniper")[n % 3 % 2],
                "soil": "none",
            },
        )
        for n, (lon, lat, taped) in enumerate(zip(lons, lats, sizes, strict=True))
    ]
    return Site(tuple(heaps)).with_member("units", "metric").with_member("timezone", "UTC")


def plain(sizes_m: np.ndarray) -> np.ndarray:
    """Char stock of domes [t] in 2,001 draws by the same formulas and draws on plain arrays, sizes (n, 3) [m]."""
    sigma = [math.sqrt(math.log1p(cv**2)) for cv in (*[0.12 / math.sqrt(3)] * 3, 0.15)]
    shared = {name: np.exp(0.2 * _stream("site", name)) for name in ("packing", "density", "char", "earth")}
    sums = np.zeros((4, N_DRAWS + 1))
    for start in range(0, len(sizes_m), 64):
        block = sizes_m[start : start + 64]
        drawn = []
        for column, quantity in enumerate(("length", "width", "height", "shape")):
            z = np.stack([_stream(f"p{n}", quantity) for n in range(start, start + len(block))])
            usual = block[:, column, None] if column < 3 else 1.0
            low, high = sigma[column] * _Z90, sigma[column] * _Z90
            drawn.append(usual * np.exp(z * np.where(z < 0, low / _Z90, high / _Z90)))
        gross = np.pi / 6 * drawn[0] * drawn[1] * drawn[2] * drawn[3]
        wood = gross * (1 - 0.03 * shared["earth"]) * 0.12 * shared["packing"]
        dry = wood * 400 * shared["density"] / 1000
        char = dry * np.minimum(0.7 * shared["char"], 1)
        rest = dry - char
        sums += np.stack([dry.sum(axis=0), char.sum(axis=0), (rest / 2).sum(axis=0), (rest / 2).sum(axis=0)])
    return sums


def _stream(about: str, quantity: str) -> np.ndarray:
    seed = hashlib.sha256(f"{about}\x1f{quantity}".encode()).digest()
    draws = np.random.default_rng(int.from_bytes(seed[:8], "big")).standard_normal(N_DRAWS)
    return np.concatenate([[0.0], draws])


def compared(count: int) -> tuple[float, float, float]:
    """Seconds of CPU of the plain arrays, of a first `assess`, and of one after an edit of one heap."""
    site = site_of(count)
    sizes = np.array([[f.values[name] for name in ("length_m", "width_m", "height_m")] for f in site.features])
    started = time.process_time()
    plain(sizes)
    plain_s = time.process_time() - started
    started = time.process_time()
    assert len(assess(site, on=ON).slash.items) == count
    first_s = time.process_time() - started
    edited = site.put(site.features[count // 2].with_values(height_m=1.5))
    started = time.process_time()
    assess(edited, on=ON)
    return plain_s, first_s, time.process_time() - started


def main(arguments: list[str] | None = None) -> None:
    """Print a line a size, and how the time grows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    options = parser.parse_args(arguments)
    firsts = []
    for count in options.sizes:
        plain_s, first_s, edit_s = compared(count)
        firsts.append(first_s)
        peak_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
        print(
            f"{count:>7} heaps: plain {plain_s:.2f} s, assess {first_s:.2f} s ({first_s / plain_s:.2f} ×, asked "
            f"{RATIO:g}), one edit {edit_s:.2f} s, peak {peak_gb:.2f} GB"
        )
    if len(firsts) > 1:
        slope = np.polyfit(np.log(options.sizes), np.log(firsts), 1)[0]
        print(f"exponent {slope:.2f}, asked {EXPONENT:g}")


if __name__ == "__main__":
    main()
