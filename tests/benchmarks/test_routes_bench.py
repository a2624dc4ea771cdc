"""The benchmark still runs: a tiny size, its times not judged."""

from __future__ import annotations

from tests.benchmarks.bench_routes import main


def test_law_the_benchmark_runs(capsys) -> None:
    assert len(main(["--side", "40"])) == 7
    assert "yardstick" in capsys.readouterr().out
