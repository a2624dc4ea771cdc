"""The sampler of faults makes faults: each another program, none of it broken text."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.mutants import ROOT, importers, mutants_of, sample


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
