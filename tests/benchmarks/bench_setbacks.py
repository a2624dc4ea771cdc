"""Setbacks of one kiln spot against many features, each kind by its own rule: ratios within one run.

Run: python -m tests.benchmarks.bench_setbacks [number of features]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np
import shapely

from sitemap.reasons import Term
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import Spot, setbacks_of, targets_by_rule
from sitemap.safety.targets import Target

RULES_M = (5.0, 8.0, 10.0, 15.0, 30.0, 60.0, 90.0, 305.0)


def drawn(n_features: int, sides: int) -> tuple[Target, ...]:
    """Features of eight kinds, at the same density whatever their number."""
    rng = np.random.default_rng(11)
    side_m = 200 * np.sqrt(n_features)
    centres = rng.uniform(0, side_m, (n_features, 1, 2))
    angles = np.linspace(0, 2 * np.pi, sides, endpoint=False)[:, None]
    shapes = shapely.polygons(
        centres + rng.uniform(3, 15, (n_features, 1, 1)) * np.hstack([np.cos(angles), np.sin(angles)])
    )
    kinds = rng.integers(0, len(RULES_M), n_features)
    return tuple(
        Target(str(n), str(n), f"kind {kind}", Term("thing"), "", shape, 5.0)
        for n, (kind, shape) in enumerate(zip(kinds, shapes, strict=True))
    )


def seconds(work: Callable[[], object], rounds: int = 3) -> float:
    """Best of some rounds [s]."""
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def ratios(n_features: int = 100_000, sides: int = 4) -> dict[str, float]:
    """Time of one spot against the bare distances to all features, and of the columns made once."""
    targets = drawn(n_features, sides)
    rules = tuple(Rule(str(n), f"kind {n}", "", need, "", "", "") for n, need in enumerate(RULES_M))
    columns = targets_by_rule(targets, rules, (), None)
    spot = Spot("k", "K", shapely.Point(1000.0, 1000.0), 1.5, 5.0)
    bare = seconds(lambda: shapely.distance(spot.place, columns.shape))
    return {
        "spot_of_bare_distances": seconds(lambda: setbacks_of(spot, columns)) / bare,
        "columns_of_bare_distances": seconds(lambda: targets_by_rule(targets, rules, (), None), 1) / bare,
    }


def main(arguments: list[str]) -> None:
    """Print the ratios; arguments : number of features."""
    for corners in (4, 12):
        found = ratios(*(int(each) for each in arguments), sides=corners)
        print(corners, "corners:", ", ".join(f"{name} {value:.3g}" for name, value in found.items()))


if __name__ == "__main__":
    main(sys.argv[1:])
