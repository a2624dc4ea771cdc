"""All benchmarks in one run, each beside its yardstick: python -m tests.benchmarks [--tiny]. Nothing is asserted.

--tiny : sizes of a second or two, without the browser, to see that each still runs on the code the app runs.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from importlib import import_module
from pathlib import Path

ROOT = Path(__file__).parents[2]

BENCHES: tuple[tuple[str, list[str] | None], ...] = (  # arguments when tiny, None to leave it out
    ("bench_heaps", ["--sizes", "5", "20"]),
    ("bench_setbacks", ["--targets", "30", "60", "--spots", "3"]),
    ("bench_hose", ["--lays", "40", "--loop", "10"]),
    ("bench_routes", ["--side", "40"]),
    ("bench_assess", ["--side", "80", "--heaps", "5"]),
    ("bench_sample", None),
    ("bench_many", ["--sites", "2", "--spread", "40"]),
    ("bench_drop", None),
)


def main(arguments: list[str] | None = None) -> None:
    """Run each and print its lines under its name.

    Each runs in a process of its own, for the highest memory of a process is handed on to those it starts; tiny ones
    run in this one, loaded then: processes that one starts load this module too.
    """
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--tiny", action="store_true", help="see only that each still runs")
    tiny = parser.parse_args(arguments).tiny
    for name, small in BENCHES:
        if tiny and small is None:
            continue
        print(f"\n{name}", flush=True)
        if tiny:
            import_module(f"tests.benchmarks.{name}").main(small)
        else:
            subprocess.run([sys.executable, "-m", f"tests.benchmarks.{name}"], cwd=ROOT, check=True)


if __name__ == "__main__":
    main()
