"""Every public thing says what it is; every formula says its units; every example is right."""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "sitemap"
FORMULA_ROOMS = ("slash", "kiln", "water", "safety", "season", "ground")
#  A unit stands in brackets, whatever else stands there with it: [m], [kg/m³], [deg], [-], [fraction], ([m], (n,)).
UNIT = re.compile(
    r"\[[^\]]*?(?<![A-Za-z])("
    r"[kc]?m[²³]?|mm|ha|L|t|kg|g|k?Pa|[kM]?W|[kM]?J|k?V|N|K|°C?|deg(rees)?|rad|%|per ?cent|fraction|share|ratio|-|–|1|"
    r"h|hours?|min(utes?)?|s|days?|years?|months?|count|people|pieces|no unit|any unit|unit of|lon|longitude|ppm"
    r")(?![A-Za-z])[^\]]*\]"
)
NUMBER_TYPES = {"float", "int", "Array", "ndarray", "NDArray", "ArrayLike", "Floats", "Number", "Numbers", "float64"}
PLAIN_TYPES = NUMBER_TYPES | {"str", "bool", "None", "Any", "Literal", "np", "bool_", "Sequence", "tuple", "list"}


def modules() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        name = ".".join(part for part in path.relative_to(ROOT).with_suffix("").parts if part != "__init__")
        if not name.startswith("sitemap.views"):
            yield name, ast.parse(path.read_text(encoding="utf-8"))


MODULES = dict(modules())


def public(tree: ast.Module | ast.ClassDef, prefix: str = "") -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    """Functions, classes and their methods whose names do not begin with an underscore."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield prefix + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node, f"{prefix}{node.name}.")


def is_overload(node: ast.FunctionDef | ast.ClassDef) -> bool:
    return any("overload" in ast.unparse(decorator) for decorator in node.decorator_list)


def test_law_every_module_says_what_it_is() -> None:
    """Empty package files have nothing to say."""
    assert [name for name, tree in MODULES.items() if tree.body and not ast.get_docstring(tree)] == []


def test_law_every_public_function_and_class_says_what_it_is() -> None:
    silent = [
        f"{name}.{own}"
        for name, tree in MODULES.items()
        for own, node in public(tree)
        if not ast.get_docstring(node) and not is_overload(node)
    ]
    assert silent == []


def is_formula(node: ast.FunctionDef) -> bool:
    """Numbers in, at least one, and beside them choices and flags: no thing of a site, no object of ours."""
    arguments = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
    types = {word for a in arguments if a.annotation for word in re.findall(r"\w+", _without_text(a.annotation))}
    return bool(types & NUMBER_TYPES) and types <= PLAIN_TYPES


def _without_text(annotation: ast.expr) -> str:
    """Without the words of a Literal, and without arrays of yes and no, which are no numbers."""
    return re.sub(r"'[^']*'|NDArray\[np\.bool_\]", "", ast.unparse(annotation))


def test_law_every_formula_says_its_units() -> None:
    """Public functions of the formula rooms that take numbers alone name at least one unit in brackets, as in [m]."""
    silent = [
        f"{name}.{own}"
        for name, tree in MODULES.items()
        if (name + "..").split(".")[1] in FORMULA_ROOMS
        for own, node in public(tree)
        if isinstance(node, ast.FunctionDef) and "." not in own and is_formula(node)
        if not UNIT.search(ast.get_docstring(node) or "")
    ]
    assert silent == []


@pytest.mark.parametrize(
    "unit", ["[m]", "[kg/m³]", "[deg]", "([m], (n,))", "[L/min per m²]", "[-]", "[fraction 0…1]", "[t/ha]"]
)
def test_law_units_are_told_from_other_brackets(unit: str) -> None:
    assert UNIT.search(f"length_m : length {unit}, above 0")


@pytest.mark.parametrize("text", ["[0, 360)", "values[0]", "[low, likely, high]", "[]", "[str]"])
def test_law_other_brackets_are_no_units(text: str) -> None:
    assert not UNIT.search(f"returns {text}")


def with_examples() -> list[str]:
    return [name for name, tree in MODULES.items() if ">>>" in ast.unparse(tree) and not name.endswith("__main__")]


@pytest.mark.parametrize("name", with_examples())
def test_law_every_example_is_right(name: str) -> None:
    module = importlib.import_module(name)
    results = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE | doctest.IGNORE_EXCEPTION_DETAIL)
    assert results.attempted > 0
    assert results.failed == 0
