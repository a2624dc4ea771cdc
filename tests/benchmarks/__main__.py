"""All benchmarks in one run, each beside its yardstick: python -m tests.benchmarks [--tiny]. Nothing is asserted.

--tiny : sizes of a second or two, without the browser, to see that each still runs on the code the app runs.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable

from tests.benchmarks import (
    bench_assess,
    bench_drop,
    bench_heaps,
    bench_hose,
    bench_many,
    bench_routes,
    bench_sample,
    bench_setbacks,
)

Bench = tuple[str, Callable[[list[str]], object], list[str] | None]  # the last: arguments when tiny, None to leave out
BENCHES: tuple[Bench, ...] = (
    ("bench_heaps", bench_heaps.main, ["--sizes", "5", "20"]),
    ("bench_setbacks", bench_setbacks.main, ["--targets", "30", "60", "--spots", "3"]),
    ("bench_hose", bench_hose.main, ["--lays", "40", "--loop", "10"]),
    ("bench_routes", bench_routes.main, ["--side", "40"]),
    ("bench_assess", bench_assess.main, ["--side", "120", "--heaps", "5"]),
    ("bench_sample", bench_sample.main, None),
    ("bench_many", bench_many.main, ["--sites", "1"]),
    ("bench_drop", bench_drop.main, None),
)


def main(arguments: list[str] | None = None) -> None:
    """Run each and print its lines under its name."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--tiny", action="store_true", help="see only that each still runs")
    tiny = parser.parse_args(arguments).tiny
    for name, bench, small in BENCHES:
        if tiny and small is None:
            continue
        print(f"\n{name}", flush=True)
        bench(small if tiny and small is not None else [])


if __name__ == "__main__":
    main()
