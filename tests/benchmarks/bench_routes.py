"""How quick routes are, as ratios in one run: python -m tests.benchmarks.bench_routes --side 1000

The yardstick is a plain pass over the same cells, 8 neighbours and one cost for all steps, nothing else heeded. (The
image library's pass that the goals were first written against took 1.4 times as long as it.)
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import Point, box

from sitemap.siting.layers import slope_layer
from sitemap.siting.ranking import ranked_spots
from sitemap.siting.usable import Setback, usable_ground
from sitemap.siting.work import Heap, Work
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import Obstacles, build_graph, field
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Hose, Machine

HEAPS = 40


def rolling(side: int) -> Terrain:
    """Rolling ground of side × side cells of 1 m, gentle enough for a machine."""
    y, x = np.mgrid[:side, :side]
    z = 500 + 0.03 * x + 6 * np.sin(x / 70) + 5 * np.cos(y / 55)
    return Terrain(Grid(0, side, 1.0, side, side), z.astype(np.float32), 1.0)


def plain_graph(side: int) -> Any:
    """The yardstick's graph."""
    cells = np.arange(side * side).reshape(side, side)
    parts = []
    for near, far, length in (
        (cells[:, :-1], cells[:, 1:], 1.0),
        (cells[:-1], cells[1:], 1.0),
        (cells[:-1, :-1], cells[1:, 1:], 2**0.5),
        (cells[1:, :-1], cells[:-1, 1:], 2**0.5),
    ):
        a, b = near.ravel(), far.ravel()
        parts += [(a, b, np.full(a.size, length)), (b, a, np.full(a.size, length))]
    starts, ends, lengths = (np.concatenate(part) for part in zip(*parts, strict=True))
    return coo_array((lengths, (starts, ends)), shape=(side * side, side * side)).tocsr()


def ranked(ground: Terrain, side: int) -> None:
    """Rank one spot among heaps strewn over the ground."""
    draw = np.random.default_rng(1)
    heaps = [
        Heap(str(number), str(number), Point(*draw.uniform(0.05 * side, 0.95 * side, 2)), float(draw.uniform(1, 6)))
        for number in range(HEAPS)
    ]
    kept_off = [Setback(heap.shape, 8.0, "") for heap in heaps]
    usable = usable_ground(ground.grid, None, kept_off, [slope_layer(ground, 3.0)], 1.0)
    ranked_spots(usable, Work(tuple(heaps), ground, Obstacles(), Machine()), spots_most=1)


def seconds(work: Callable[[], Any]) -> float:
    """Best time of two runs, nothing remembered between them."""
    times = []
    for _ in range(2):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def main(arguments: list[str] | None = None) -> dict[str, float]:
    """Run and print; returns the ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--side", type=int, default=1000, help="cells along one side")
    side = parser.parse_args(arguments).side
    ground, clear = rolling(side), Obstacles()
    middle = Point(side / 2 + 0.5, side / 2 + 0.5)
    plain = plain_graph(side)
    start = int(ground.grid.cell_of(middle.x, middle.y))
    yardstick = seconds(lambda: dijkstra(plain, indices=start, return_predecessors=True))
    build, reach = build_graph.__wrapped__, field.__wrapped__  # past what they remember
    pond = Obstacles(closed=(box(side * 0.3, side * 0.3, side * 0.35, side * 0.35),))
    builds = {
        "graph for a hose": seconds(lambda: build(ground, clear, Hose(), "one_way")),
        "graph for a machine, round trip": seconds(lambda: build(ground, clear, Machine(), "loaded_out")),
        "the same after a barrier was drawn": seconds(lambda: build(ground, pond, Machine(), "loaded_out")),
    }
    hose, machine = (
        build_graph(ground, clear, Hose(), "one_way"),
        build_graph(ground, clear, Machine(), "loaded_out"),
    )
    beside = Point(middle.x + 3, middle.y)
    passes = {
        "field of lengths, whole ground": seconds(lambda: reach(hose, middle)),
        "field of haul times, whole ground": seconds(lambda: reach(machine, middle)),
        "source moved, 300 m of hose": seconds(lambda: reach(hose, beside, 300.0)),
    }
    ranking = {f"best spot, {HEAPS} heaps, graph built": seconds(lambda: ranked(ground, side))}
    ratios = {name: taken / yardstick for name, taken in (builds | passes | ranking).items()}
    print(f"{side * side:,} cells; yardstick {yardstick:.3f} s = 1")
    for name, ratio in ratios.items():
        print(f"  {name:<38} {ratio:5.2f}")
    print(f"  peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20:.2f} GB")
    return ratios


if __name__ == "__main__":
    main(sys.argv[1:])
