"""`python -m tests.benchmarks` ends well and says a line of each; its times are not judged here."""

from __future__ import annotations

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.benchmarks import bench_hose
from tests.benchmarks.__main__ import BENCHES

HERE = Path(__file__).parent
LINES = {  # what each must say: a word of its yardstick and of what the app does
    "bench_heaps": ("plain", "assess", "one edit", "exponent"),
    "bench_setbacks": ("tree", "columns", "goal", "shown", "exponent"),
    "bench_hose": ("together", "one by one", "largest difference"),
    "bench_routes": ("yardstick", "goal", "graph for a hose", "source moved", "best spot"),
    "bench_many": ("sites on 2 processes", "one site", "goal", "memory"),
    "bench_assess": ("first", "kiln spot moved", "heap moved", "source moved", "building moved"),
}


def test_law_the_documented_command_runs_every_benchmark() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks", "--tiny"],
        cwd=HERE.parents[1],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=None,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    parts = {part.split("\n", 1)[0].strip(): part for part in ran.stdout.lstrip().split("\n\n")}
    assert {name.strip() for name in parts if name} == set(LINES)
    for name, words in LINES.items():
        assert all(word in parts[name] for word in words), parts[name]


def test_law_no_benchmark_is_left_out_of_the_command() -> None:
    assert {path.stem for path in HERE.glob("bench_*.py")} == {name for name, _ in BENCHES}


@pytest.mark.parametrize(
    ("bench", "called"),
    [
        ("bench_heaps", {"sitemap.assessment.assess"}),
        ("bench_assess", {"sitemap.assessment.assess"}),
        ("bench_setbacks", {"sitemap.safety.near.near_of", "sitemap.safety.near.targets_by_rule"}),
        ("bench_routes", {"sitemap.terrain.routes.fresh_field", "sitemap.siting.ranking.ranked_spots"}),
        ("bench_many", {"sitemap.many.run.outcomes", "sitemap.many.work.done"}),
        ("bench_sample", {"sitemap.assessment.assess", "sitemap.plan.papers.plan_pdf", "sitemap.plan.map.map_svg"}),
        ("bench_hose", {"sitemap.hydraulics.steady_flow.steady_flow_l_min"}),
    ],
)
def test_law_a_benchmark_measures_what_the_program_calls(bench: str, called: set[str]) -> None:
    """What it imports to measure is imported by the package itself too, or is the assessment."""
    assert called <= _imported(HERE / f"{bench}.py")
    used = set().union(*(_imported(path) for path in (HERE.parents[1] / "sitemap").rglob("*.py")))
    own = {name for name in called if _called_at_home(name)}
    assert called <= used | own


@cache
def _imported(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    froms = [node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module]
    return {f"{node.module}.{name.name}" for node in froms for name in node.names}


def _called_at_home(name: str) -> bool:
    """Whether the module that defines a function calls it itself."""
    module, _, function = name.rpartition(".")
    path = HERE.parents[1] / module.replace(".", "/")
    path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return any(
        isinstance(n, ast.Call) and isinstance(n.func, ast.Name) and n.func.id == function for n in ast.walk(tree)
    )


def test_law_the_benchmark_of_hose_lines_agrees_with_itself(capsys: pytest.CaptureFixture[str]) -> None:
    bench_hose.main(["--lays", "40", "--loop", "10"])
    difference = capsys.readouterr().out.split("largest difference ")[1].split()[0]
    assert float(difference) < 1e-2
