"""A thousand sites on two processes, beside one site as many times; and whether their memory stays as it is.

python -m tests.benchmarks.bench_many --sites 1000
"""

from __future__ import annotations

import argparse
import datetime as dt
import resource
import tempfile
from pathlib import Path

from sitemap.geodesy.plane import Plane
from sitemap.many.run import outcomes
from sitemap.many.work import Task, done
from sitemap.site.file import site_text
from tests.benchmarks.bench_assess import site_of
from tests.benchmarks.clock import against, in_turn, seconds

ON = dt.date(2026, 11, 25)
GOAL = 1.2  # times one site as often
HEAPS = 10
FEW = 2  # sites: what fewer take is no more than the start of the processes


def peak_mb() -> float:
    """Memory of the largest process that ended [MB]."""
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024


def main(arguments: list[str] | None = None) -> None:
    """Print one line: seconds of processor in all, and the memory after a tenth of the sites and after all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sites", type=int, default=1000)
    parser.add_argument("--spread", type=float, default=300.0, help="metres from the middle of a site")
    options = parser.parse_args(arguments)
    count = options.sites
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "one.geojson"
        path.write_text(site_text(site_of(Plane(10.0, 50.0), HEAPS, options.spread)), encoding="utf-8")
        task = Task(path, ON, ON)
        done(task)  # tables and packages are read once, here as in each process
        (one_s,) = in_turn((lambda: done(task),), min(count, 5))

        def worked(number: int) -> None:
            assert all(outcome.row for _, outcome in outcomes([task] * number, workers=2))

        few = min(count, max(count // 10, FEW))
        all_s, few_mb = seconds(lambda: worked(few)), peak_mb()
        if few < count:
            all_s = seconds(lambda: worked(count))
        ratio = against(all_s / (count * one_s), GOAL)
        print(f"{count} sites on 2 processes: {all_s:.1f} s in all; one site {one_s:.3f} s as many times, {ratio}")
        print(f"memory of a process: {few_mb:.0f} MB after a tenth of them, {peak_mb():.0f} MB at the end")


if __name__ == "__main__":
    main()
