"""Setbacks of many shapes against many features, each kind by its own rule: ratios within one run.

Run: python -m tests.benchmarks.bench_setbacks [number of shapes] [number of features]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np
import shapely

from sitemap.safety.setbacks import distances

RULES_M = np.array([5.0, 8.0, 10.0, 15.0, 30.0, 60.0, 90.0, 305.0])


def drawn(n_shapes: int, n_features: int, sides: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places, features and the rule of each, at the same density whatever their number."""
    rng = np.random.default_rng(11)
    side_m = 200 * np.sqrt(n_features)
    places = shapely.points(rng.uniform(0, side_m, (n_shapes, 2)))
    centres = rng.uniform(0, side_m, (n_features, 1, 2))
    angles = np.linspace(0, 2 * np.pi, sides, endpoint=False)[:, None]
    corners = rng.uniform(3, 15, (n_features, 1, 1)) * np.hstack([np.cos(angles), np.sin(angles)])
    return places, shapely.polygons(centres + corners), rng.choice(RULES_M, n_features)


def seconds(work: Callable[[], object], rounds: int = 3) -> float:
    """Best of some rounds [s]."""
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def ratios(n_shapes: int = 100_000, n_features: int = 10_000, sides: int = 4, looped: int = 200) -> dict[str, float]:
    """Time against one bare tree query, and how much faster than a loop over `looped` shapes, scaled up."""
    places, things, required = drawn(n_shapes, n_features, sides)
    ours = seconds(lambda: distances(places, things, required))
    bare = seconds(lambda: shapely.STRtree(things).query(places, predicate="dwithin", distance=60.0))
    few = min(looped, n_shapes)
    loop = seconds(
        lambda: [[p.distance(t) - r for t, r in zip(things, required, strict=True)] for p in places[:few]], 1
    )
    return {"ours_s": ours, "of_bare_query": ours / bare, "faster_than_loop": loop * n_shapes / few / ours}


if __name__ == "__main__":
    sizes = [int(argument) for argument in sys.argv[1:]]
    for corners in (4, 12):
        found = ratios(*sizes, sides=corners, looped=5)
        print(corners, "corners:", ", ".join(f"{name} {value:.3g}" for name, value in found.items()))
