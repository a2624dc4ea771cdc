"""Every public thing says what it is; every formula says its units; every example is right."""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "sitemap"
FORMULA_ROOMS = ("geodesy", "terrain", "hydraulics", "slash", "kiln", "safety", "season", "water", "ranges")
REFERENCED = ("hydraulics", "slash", "kiln", "safety", "season")  # rooms whose formulas stand on a source each
APPLIES = ("reading", "of_site", "routes")  # they read a site, and hold no formula
PLUMBING = ("kiln.standing", "slash.inputs", "water.pressure_source")  # values drawn by name, no formula
EVIDENCE = re.compile(r"(?<!\w)[PSDMC](?!\w)")  # published, second text, derived, from memory, common practice
#  A unit stands in brackets, whatever else stands there with it: [m], [kg/m³], [deg], [-], [fraction], ([m], (n,)).
UNIT = re.compile(
    r"\[[^\]]*?(?<![A-Za-z])("
    r"[kc]?m[²³]?|mm|ha|L|t|kg|g|k?Pa|[kM]?W|[kM]?J|k?V|N|K|°C?|deg(rees)?|rad|%|per ?cent|fraction|share|ratio|-|–|1|"
    r"h|hours?|min(utes?)?|s|days?|years?|months?|count|people|pieces|no unit|any unit|unit of|lon|longitude|ppm"
    r")(?![A-Za-z])[^\]]*\]"
)
NUMBER_TYPES = {"float", "int", "Array", "ndarray", "NDArray", "ArrayLike", "Floats", "Number", "Numbers", "float64"}
PLAIN_TYPES = NUMBER_TYPES | {"str", "bool", "None", "Any", "Literal", "np", "bool_", "Sequence", "tuple", "list"}


def sources() -> Iterator[tuple[str, str]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        name = ".".join(part for part in path.relative_to(ROOT).with_suffix("").parts if part != "__init__")
        if not name.startswith("sitemap.views"):
            yield name, path.read_text(encoding="utf-8")


@cache
def modules() -> dict[str, ast.Module]:
    """Read at the first asking, so that only the worker that runs these tests takes the time."""
    return {name: ast.parse(text) for name, text in sources()}


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
    assert [name for name, tree in modules().items() if tree.body and not ast.get_docstring(tree)] == []


def test_law_every_public_function_and_class_says_what_it_is() -> None:
    silent = [
        f"{name}.{own}"
        for name, tree in modules().items()
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


def sections(doc: str) -> dict[str, str]:
    """The parts of a docstring by their headings; examples belong to no part."""
    parts = re.split(r"^(\w+)\n-{3,}\n", doc.partition(">>>")[0], flags=re.M)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def described(parameters: str) -> dict[str, str]:
    """What a part "Parameters" says of each: `a, b : text`, and lines below it that are set in."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in parameters.splitlines():
        head = re.match(r"(\w+(?:, \w+)*) : (.*)", line)
        if head:
            names = head[1].split(", ")
        for name in names:
            found[name] = found.get(name, "") + " " + (head[2] if head else line)
    return found


def is_number(argument: ast.arg) -> bool:
    return argument.annotation is not None and bool(
        set(re.findall(r"\w+", _without_text(argument.annotation))) & NUMBER_TYPES
    )


def wanting(node: ast.FunctionDef, room: str) -> list[str]:
    """What the docstring of a formula does not say."""
    parts = sections(ast.get_docstring(node) or "")
    said = described(parts.get("Parameters", ""))
    arguments = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
    found = [f"unit of {one.arg}" for one in arguments if is_number(one) and not UNIT.search(said.get(one.arg, ""))]
    found += [one.arg for one in arguments if one.arg not in said and f"unit of {one.arg}" not in found]
    returns = ast.unparse(node.returns) if node.returns else "None"
    found += ["Returns"] if returns != "None" and not parts.get("Returns", "").strip() else []
    return found + (["References"] if room in REFERENCED and not EVIDENCE.search(parts.get("References", "")) else [])


def formulas() -> Iterator[tuple[str, str, ast.FunctionDef]]:
    """Public functions of the formula files that take numbers alone: name, room, node."""
    for name, tree in modules().items():
        own_name = name.removeprefix("sitemap.")
        room = own_name.split(".")[0]
        if room in FORMULA_ROOMS and not own_name.endswith(APPLIES) and own_name not in PLUMBING:
            for own, node in public(tree):
                if isinstance(node, ast.FunctionDef) and "." not in own and not is_overload(node) and is_formula(node):
                    yield f"{own_name}.{own}", room, node


def test_law_every_formula_says_each_unit_what_it_returns_and_its_source() -> None:
    """Each number handed to a formula has its unit in brackets, as in [m]; the evidence level is a letter."""
    assert {name: lacks for name, room, node in formulas() if (lacks := wanting(node, room))} == {}


def test_law_there_are_formulas_in_every_room_that_has_any() -> None:
    assert {room for _, room, _ in formulas()} >= {"geodesy", "terrain", *REFERENCED} - {"season"}


@pytest.mark.parametrize(
    ("old", "new", "lacks"),
    [
        ("b : b [kg]", "b : b", ["unit of b"]),
        ("    b : b [kg]\n", "", ["unit of b"]),
        ("how : which", "", ["how"]),
        ("the sum [kg]", "", ["Returns"]),
        ("Arithmetic (D).", "Arithmetic.", ["References"]),
    ],
)
def test_refuses_a_formula_that_leaves_something_out(old: str, new: str, lacks: list[str]) -> None:
    whole = (
        'def f(a: float, b: Numbers, how: str) -> float:\n    """Sum.\n\n    Parameters\n    ----------\n'
        "    a : a,\n        at least 0 [kg]\n    b : b [kg]\n    how : which\n\n    Returns\n    -------\n"
        '    the sum [kg]\n\n    References\n    ----------\n    Arithmetic (D).\n\n    >>> f(1, 2, "")\n    3\n    """'
    )
    assert old in whole
    for text, expected in ((whole, []), (whole.replace(old, new), lacks)):
        (node,) = ast.parse(text).body
        assert isinstance(node, ast.FunctionDef)
        assert is_formula(node)
        assert wanting(node, "slash") == expected


@pytest.mark.parametrize(
    "unit", ["[m]", "[kg/m³]", "[deg]", "([m], (n,))", "[L/min per m²]", "[-]", "[fraction 0…1]", "[t/ha]"]
)
def test_law_units_are_told_from_other_brackets(unit: str) -> None:
    assert UNIT.search(f"length_m : length {unit}, above 0")


@pytest.mark.parametrize("text", ["[0, 360)", "values[0]", "[low, likely, high]", "[]", "[str]"])
def test_law_other_brackets_are_no_units(text: str) -> None:
    assert not UNIT.search(f"returns {text}")


def with_examples() -> list[str]:
    return [name for name, text in sources() if ">>>" in text and not name.endswith("__main__")]


@pytest.mark.parametrize("name", with_examples())
def test_law_every_example_is_right(name: str) -> None:
    module = importlib.import_module(name)
    results = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE | doctest.IGNORE_EXCEPTION_DETAIL)
    assert results.attempted > 0
    assert results.failed == 0
