"""All benchmarks: python -m tests.benchmarks. Ratios in one run; nothing is asserted."""

from __future__ import annotations

from tests.benchmarks import bench_assess, bench_hose, bench_routes, bench_setbacks

for bench in (bench_setbacks, bench_hose, bench_routes, bench_assess):
    print(f"\n{bench.__name__.rsplit('.', 1)[-1]}: {(bench.__doc__ or '').splitlines()[0]}")
    bench.main([])
