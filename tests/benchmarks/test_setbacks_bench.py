"""A tiny, unasserted run, so that the benchmark does not rot."""

from tests.benchmarks.bench_setbacks import ratios


def test_law_the_benchmark_runs() -> None:
    ratios(30)
