"""How quick routes are, as ratios in one run: python -m tests.benchmarks.bench_routes --side 1000

The yardstick the goals are written against is a pass of MCP_Geometric of scikit-image, told by a plain pass over the
same cells in the same run, 8 neighbours and one cost for all steps, nothing else heeded: it takes MCP times as long.
"""

from __future__ import annotations

import argparse
import resource
import sys
from typing import Any

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import Point, box

from sitemap.siting.layers import slope_layer
from sitemap.siting.ranking import ranked_spots
from sitemap.siting.usable import Setback, usable_ground
from sitemap.siting.work import Heap, Work
from sitemap.terrain.graph import Graph
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import Obstacles, build_graph, fresh_field
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Hose, Machine
from tests.benchmarks.clock import against, in_turn

HEAPS = 40
MCP = 1.42  # a pass of the image library's MCP_Geometric over a plain one, by the processor: 0.42 s over 0.295 s
GOALS = {
    "graph for a hose": 2.5,
    "graph for a machine": 2.5,
    "the same after a barrier was drawn": 2.5,
    "field of lengths": 1.0,
    "field of haul times": 1.0,
    "source moved": 0.5,
    "best spot": 6.0,
}


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


def main(arguments: list[str] | None = None) -> dict[str, float]:
    """Run and print; returns the ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--side", type=int, default=1000, help="cells along one side")
    side = parser.parse_args(arguments).side
    ground, clear = rolling(side), Obstacles()
    middle = Point(side / 2 + 0.5, side / 2 + 0.5)
    plain = plain_graph(side)
    start = int(ground.grid.cell_of(middle.x, middle.y))
    reach = fresh_field  # past what they remember
    pond = Obstacles(closed=(box(side * 0.3, side * 0.3, side * 0.35, side * 0.35),))
    hose, machine = (
        build_graph(ground, clear, Hose(), "one_way"),
        build_graph(ground, clear, Machine(), "loaded_out"),
    )
    _ = hose.steps, machine.steps
    beside = Point(middle.x + 3, middle.y)
    works = {
        "plain pass": lambda: dijkstra(plain, indices=start, return_predecessors=True),
        "graph for a hose": lambda: Graph(ground, clear, Hose(), "one_way").steps,
        "graph for a machine, round trip": lambda: Graph(ground, clear, Machine(), "loaded_out").steps,
        "the same after a barrier was drawn": lambda: Graph(ground, pond, Machine(), "loaded_out").steps,
        "field of lengths, whole ground": lambda: reach(hose, middle),
        "field of haul times, whole ground": lambda: reach(machine, middle),
        "source moved, 300 m of hose": lambda: reach(hose, beside, 300.0),
        f"best spot, {HEAPS} heaps, graph built": lambda: ranked(ground, side),
    }
    taken = dict(zip(works, in_turn(tuple(works.values()), 2), strict=True))
    yardstick = taken.pop("plain pass") * MCP
    ratios = {name: each / yardstick for name, each in taken.items()}
    print(f"{side * side:,} cells; yardstick {yardstick:.3f} s = 1, {MCP:g} plain passes")
    for name, ratio in ratios.items():
        print(f"  {name:<38} {against(ratio, GOALS[name.split(',')[0]])}")
    print(f"  peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20:.2f} GB")
    return ratios


if __name__ == "__main__":
    main(sys.argv[1:])
