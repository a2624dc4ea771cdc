"""Setbacks as the app does them, beside what a tree of shapes takes to find all within the longest rule, in one run.

    python -m tests.benchmarks.bench_setbacks --targets 1000 10000 100000 --spots 10000

The app side is what `setbacks_of` begins with for all kiln spots at once: the targets with their rules as columns, the
pairs within each rule, their distances and verdicts. A row with its sentence is made for what is shown, and told beside
it. The yardstick builds an `STRtree` of the same shapes and asks it for the pairs within the longest rule.
"""

from __future__ import annotations

import argparse

import numpy as np
import shapely

from sitemap.reasons import Term
from sitemap.safety.near import Spot, near_of, targets_by_rule
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import LISTED_BEYOND_RULE_M, setbacks_of
from sitemap.safety.targets import Target
from tests.benchmarks.clock import against, in_turn

RULES_M = (5.0, 8.0, 10.0, 15.0, 30.0, 60.0, 90.0, 305.0)
SIZES = (1000, 10_000, 100_000)
SHOWN = 20  # kiln spots whose rows are made
GOAL = 1.5  # times the tree
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


def compared(count: int, n_spots: int, n_shown: int) -> tuple[float, float, float]:
    """Seconds of the tree, of the columns of verdicts of all spots, and of the rows of those shown."""
    targets = drawn(count)
    rules = tuple(Rule(str(n), f"kind {n}", "", need, "", "", "") for n, need in enumerate(RULES_M))
    places = np.random.default_rng(12).uniform(0, 200 * np.sqrt(count), (n_spots, 2))
    spots = [Spot(f"k{n}", f"K{n}", shapely.Point(*place), 1.5, ERROR_M) for n, place in enumerate(places)]
    shapes = np.array([target.shape for target in targets], dtype=object)
    within_m = max(RULES_M) + 2 * ERROR_M + LISTED_BEYOND_RULE_M
    points = np.array([spot.place for spot in spots], dtype=object)
    known = targets_by_rule(targets, rules, (), None)
    tree_s, columns_s, rows_s = in_turn(
        (
            lambda: shapely.STRtree(shapes).query(points, "dwithin", distance=within_m),
            lambda: near_of(spots, targets_by_rule(targets, rules, (), None), LISTED_BEYOND_RULE_M),
            lambda: setbacks_of(spots[:n_shown], known),
        )
    )
    return tree_s, columns_s, rows_s


def main(arguments: list[str] | None = None) -> None:
    """Print a line a size, and how the time grows."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--targets", type=int, nargs="+", default=SIZES)
    parser.add_argument("--spots", type=int, default=10_000)
    options = parser.parse_args(arguments)
    shown = min(SHOWN, options.spots)
    taken = []
    for count in options.targets:
        tree_s, columns_s, rows_s = compared(count, options.spots, shown)
        taken.append(columns_s)
        print(
            f"{count:>7} targets × {options.spots} spots: tree {tree_s:.3f} s, columns {columns_s:.3f} s, "
            f"{against(columns_s / max(tree_s, 1e-9), GOAL)}; rows of {shown} spots shown {rows_s:.3f} s"
        )
    if len(taken) > 1:
        slope = np.polyfit(np.log(options.targets), np.log(np.maximum(taken, 1e-9)), 1)[0]
        print(f"exponent {slope:.2f}")


if __name__ == "__main__":
    main()
