"""A sample site from outside: the whole process of `assess` beside bare imports, its papers beside their map alone.

python -m tests.benchmarks.bench_sample --rounds 3
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from functools import partial
from pathlib import Path

from sitemap.assessment import assess
from sitemap.opened import opened
from sitemap.plan.map import map_svg
from sitemap.plan.papers import plan_pdf
from tests.benchmarks.clock import against, in_turn, seconds

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_sites" / "juniper_bench.geojson"
ON = dt.date(2026, 11, 25)
IMPORTS = "import numpy, scipy.sparse, shapely, pyproj, rasterio"
PROCESS, PAPERS = 2.0, 1.5  # goals: times the bare imports, times the map alone


def ran(bytecode: str, *command: str) -> None:
    """A Python process of its own, to its end; bytecode : the folder it keeps it in, as an installed program does."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env["PYTHONPYCACHEPREFIX"] = bytecode
    subprocess.run([sys.executable, *command], cwd=ROOT, env=env, stdout=subprocess.DEVNULL, check=True)


def main(arguments: list[str] | None = None) -> None:
    """Print a line each, in seconds of processor."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3)
    rounds = parser.parse_args(arguments).rounds
    commands = ("-c", IMPORTS), ("-m", "sitemap", "check", str(SAMPLE)), ("-m", "sitemap", "assess", str(SAMPLE))
    with tempfile.TemporaryDirectory() as bytecode:  # the first round writes it, the least of several reads it
        bare_s, check_s, whole_s = in_turn([partial(ran, bytecode, *command) for command in commands], rounds)
    print(f"bare imports {bare_s:.2f} s; check, whole process {check_s:.2f} s, {check_s / bare_s:.2f} ×")
    print(f"assess of a sample, whole process {whole_s:.2f} s, {against(whole_s / bare_s, PROCESS)}")
    found = opened(SAMPLE)
    site = assess(found.site, found.terrain, on=ON, today=ON)
    plan_pdf(site)  # warm: letters, tables, workings
    map_s, papers_s = in_turn((lambda: map_svg(site), lambda: plan_pdf(site)), rounds)
    print(
        f"papers of a sample, warm {papers_s:.2f} s; the map alone {map_s:.2f} s, {against(papers_s / map_s, PAPERS)}"
    )
    others = [replace(site, source=site.source.with_member("name", f"Another {number}")) for number in range(rounds)]
    print(f"papers under another name each time {min(seconds(partial(plan_pdf, each)) for each in others):.2f} s")


if __name__ == "__main__":
    main()
