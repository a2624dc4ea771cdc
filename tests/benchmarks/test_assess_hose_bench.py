"""The benchmarks still run, at a tiny size; their times are not judged here."""

from __future__ import annotations

import pytest

from tests.benchmarks import bench_assess, bench_hose


def test_law_the_benchmark_of_hose_lines_runs_and_agrees_with_itself(capsys: pytest.CaptureFixture[str]) -> None:
    bench_hose.main(["--lays", "40", "--loop", "10"])
    difference = capsys.readouterr().out.split("largest difference ")[1].split()[0]
    assert float(difference) < 1e-2


def test_law_the_benchmark_of_edits_runs(capsys: pytest.CaptureFixture[str]) -> None:
    bench_assess.main(["--side", "120", "--heaps", "5"])
    assert "building moved" in capsys.readouterr().out
