"""How quick 10,000 hose lines are, against one root search after the other on the same balance, in one run.

python -m tests.benchmarks.bench_hose --lays 10000
"""

from __future__ import annotations

import argparse
import time

import numpy as np
from scipy.optimize import brentq

from sitemap.hydraulics.nozzle import bore_factor
from sitemap.hydraulics.pump import plate_pump
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun, head_margin_m, steady_flow_l_min


def main(arguments: list[str] | None = None) -> None:
    """Print both times and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lays", type=int, default=10_000)
    parser.add_argument("--loop", type=int, default=500, help="lays searched one by one, scaled up")
    options = parser.parse_args(arguments)
    draw = np.random.default_rng(1)
    lift, length = draw.uniform(-5, 30, options.lays), draw.uniform(20, 300, options.lays)
    supply, outlet = plate_pump(60.0, 400.0), bore_factor(10.0)
    start = time.perf_counter()
    together = steady_flow_l_min(HoseLine(supply, (HoseRun(38.1, length),), outlet), lift)
    whole = time.perf_counter() - start
    few = min(options.loop, options.lays)
    start = time.perf_counter()
    one_by_one = []
    for one_lift, one_length in zip(lift[:few], length[:few], strict=True):
        hoses = (HoseRun(38.1, float(one_length)),)

        def margin(flow: float, hoses: tuple[HoseRun, ...] = hoses, lift: float = float(one_lift)) -> float:
            return float(head_margin_m(HoseLine(supply, hoses, outlet), flow, lift))

        one_by_one.append(brentq(margin, 1e-6, 400.0, xtol=1e-6))
    loop = (time.perf_counter() - start) * options.lays / few
    apart = float(np.nanmax(np.abs(together[:few] - np.array(one_by_one))))
    print(
        f"{options.lays} hose lines: together {whole:.3f} s, one by one {loop:.2f} s (from {few}), {loop / whole:.0f} ×"
    )
    print(f"largest difference {apart:.2g} L/min")


if __name__ == "__main__":
    main()
