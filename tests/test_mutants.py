"""The sampler of faults makes faults: each another program, none of it broken text."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.faults import Mutant, mutants_of
from tests.mutants import ROOT, Run, Tried, everywhere, importers, sample


@pytest.mark.parametrize(
    ("text", "faulty"),
    [
        ("a < 3", {"a <= 3", "a < 4"}),
        ("a is b", {"a is not b"}),
        ("x - y", {"(x)"}),
        ("np.max(q)", {"np.min(q)"}),
        ("not z", {"(z)"}),
        ("(a := b) is c", {"(a := b) is not c"}),
        ("(a or b) != c", {"(a or b) == c"}),
        ("é * -0.5", {"(é)", "é * (0.5)", f"é * -{0.5 * 1.1!r}"}),
        ("def f(a: Literal[3]) -> str: return f'{a + 1}'", set()),
    ],
)
def test_law_each_kind_of_fault_is_offered(text: str, faulty: set[str]) -> None:
    assert {mutant.put(text) for mutant in mutants_of(text)} == faulty


def test_law_every_fault_of_the_program_is_another_program() -> None:
    """None that cannot be parsed, which any test would kill, and none that is the same."""
    for path in sorted((ROOT / "sitemap/slash").glob("*.py")):
        text = path.read_text(encoding="utf-8")
        same = ast.dump(ast.parse(text))
        assert all(ast.dump(ast.parse(mutant.put(text))) != same for mutant in mutants_of(text)[::7])


def test_law_a_sample_is_the_same_for_the_same_seed() -> None:
    assert sample(5, 3, "kiln") == sample(5, 3, "kiln") != sample(5, 4, "kiln")
    assert all(path.parts[1] == "kiln" for path, _ in sample(5, 3, "kiln"))
    with pytest.raises(SystemExit, match="no room cellar"):
        sample(1, 1, "cellar")


def test_law_the_near_tests_of_a_module_are_those_that_import_it() -> None:
    assert "tests/test_command_line.py" in importers(ROOT, Path("sitemap/__main__.py"))
    assert "tests/test_units.py" in importers(ROOT, Path("sitemap/units.py"))
    assert "tests/test_tables.py" in importers(ROOT, Path("sitemap/tables/__init__.py"))
    assert not importers(ROOT, Path("sitemap/nothing.py"))


def test_law_many_faults_at_once_are_told_apart(tmp_path: Path) -> None:
    """Of three faults under trial together a test notices one: that one dies, the others outlive it."""
    (tmp_path / "tree/tests").mkdir(parents=True)
    (tmp_path / "tree/sums.py").write_text("def total(a):\n    return a + 1 + 0 + 0\n", encoding="utf-8")
    run = Run(tmp_path, 60.0)
    for file in everywhere(run.tree):
        (run.tree / file).unlink()
    (run.tree / "tests/test_sums.py").write_text(
        "from sums import total\n\ndef test_total():\n    assert total(1) == 2\n", encoding="utf-8"
    )
    text = (run.tree / "sums.py").read_text(encoding="utf-8")
    for old, new in ((" + 1", " + 2"), (" + 0", " + 00"), (" + 0\n", " - 0\n")):
        start = text.index(old)
        run.tried.append(Tried("sums.py", Mutant("constant", start, start + len(old), new), 2, old))
    assert [each.mutant.new for each in run.together()] == [" + 2"]
    assert [each.verdict for each in run.tried] == ["killed by tests/test_sums.py::test_total", "", ""]
    assert (run.tree / "sums.py").read_text(encoding="utf-8") == text
