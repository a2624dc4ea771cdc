"""Setbacks as the app does them, beside what a tree of shapes takes to find all within the longest rule, in one run.

    python -m tests.benchmarks.bench_setbacks --targets 1000 10000 100000 --spots 20

The app side is `targets_by_rule` once and `setbacks_of` for every kiln spot, as `safety_of` calls them; the yardstick
builds an `STRtree` of the same shapes and asks it for pairs within the longest rule. Both say seconds of CPU.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable

import numpy as np
import shapely

from sitemap.reasons import Term
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import LISTED_BEYOND_RULE_M, Spot, setbacks_of, targets_by_rule
from sitemap.safety.targets import Target

RULES_M = (5.0, 8.0, 10.0, 15.0, 30.0, 60.0, 90.0, 305.0)
SIZES = (1000, 10_000, 100_000)
ERROR_M = 5.0  # [m] of every place


def drawn(count: int, sides: int = 4) -> tuple[Target, ...]:
    """Features of eight kinds, at the same density whatever their number."""
    rng = np.random.default_rng(11)
    side_m = 200 * np.sqrt(count)
    centres = rng.uniform(0, side_m, (count, 1, 2))
    angles = np.linspace(0, 2 * np.pi, sides, endpoint=False)[:, None]
    shapes = shapely.polygons(centres + rng.uniform(3, 15, (count, 1, 1)) * np.hstack([np.cos(angles), np.sin(angles)]))
    kinds = rng.integers(0, len(RULES_M), count)
    return tuple(
        Target(str(n), str(n), f"kind {kind}", Term("thing"), "", shape, ERROR_M)
        for n, (kind, shape) in enumerate(zip(kinds, shapes, strict=True))
    )


def seconds(work: Callable[[], object]) -> float:
    """CPU time of one run [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


def compared(count: int, n_spots: int) -> tuple[float, float, float]:
    """Seconds of the tree, of the targets with their rules, and of all spots against them."""
    targets = drawn(count)
    rules = tuple(Rule(str(n), f"kind {n}", "", need, "", "", "") for n, need in enumerate(RULES_M))
    places = np.random.default_rng(12).uniform(0, 200 * np.sqrt(count), (n_spots, 2))
    spots = [Spot(f"k{n}", f"K{n}", shapely.Point(*place), 1.5, ERROR_M) for n, place in enumerate(places)]
    shapes = np.array([target.shape for target in targets], dtype=object)
    within_m = max(RULES_M) + 2 * ERROR_M + LISTED_BEYOND_RULE_M
    points = np.array([spot.place for spot in spots], dtype=object)
    tree_s = seconds(lambda: shapely.STRtree(shapes).query(points, "dwithin", distance=within_m))
    columns = targets_by_rule(targets, rules, (), None)
    made_s = seconds(lambda: targets_by_rule(targets, rules, (), None))
    return tree_s, made_s, seconds(lambda: [setbacks_of(spot, columns) for spot in spots])


def main(arguments: list[str] | None = None) -> None:
    """Print a line a size, and how the time grows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--targets", type=int, nargs="+", default=SIZES)
    parser.add_argument("--spots", type=int, default=20)
    options = parser.parse_args(arguments)
    taken = []
    for count in options.targets:
        tree_s, made_s, spots_s = compared(count, options.spots)
        taken.append(made_s + spots_s)
        print(
            f"{count:>7} targets × {options.spots} spots: tree {tree_s:.4f} s, targets with rules {made_s:.3f} s, "
            f"spots {spots_s:.3f} s, together {(made_s + spots_s) / max(tree_s, 1e-9):.1f} ×"
        )
    if len(taken) > 1:
        slope = np.polyfit(np.log(options.targets), np.log(np.maximum(taken, 1e-9)), 1)[0]
        print(f"exponent {slope:.2f}")


if __name__ == "__main__":
    main()
