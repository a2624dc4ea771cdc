"""Do the tests notice? A seeded sample of small faults put into the code, one at a time, room by room.

    python -m tests.mutants --number 100 --seed 1 [--room slash] [--seconds 120]

Each fault is put into a copy of the tree: a constant another one, an edge of a comparison moved, a comparison turned
round, a term dropped, min for max, a `not` or a sign left out. First the doctests of the module and the test files that
import it are run, then the tests of the room, then those of whole sites. Says killed, SURVIVED, or not decided (out of
time) of each. A survivor is either a gap, to be closed by a test, or the same program said otherwise (a tie, a
tolerance).
"""

from __future__ import annotations

import argparse
import ast
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
WHOLE = ("tests/test_whole_site.py", "tests/test_whole_site_clear.py", "tests/test_whole_site_water.py", "tests/day")
EDGES: dict[type[ast.cmpop], str] = {ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">"}
TURNED: dict[type[ast.cmpop], str] = {
    ast.Eq: "!=",
    ast.NotEq: "==",
    ast.Is: "is not",
    ast.IsNot: "is",
    ast.In: "not in",
    ast.NotIn: "in",
}
OTHER_END = {"min": "max", "max": "min", "any": "all", "all": "any", "minimum": "maximum", "maximum": "minimum"}


@dataclass(frozen=True)
class Mutant:
    """One fault: what is written instead, from a place in the text to another [characters]."""

    kind: str
    start: int
    end: int
    new: str

    def put(self, text: str) -> str:
        """The text with the fault in it."""
        return text[: self.start] + self.new + text[self.end :]


def mutants_of(text: str) -> list[Mutant]:
    """Every fault a module offers, in the order of the text.

    >>> [m.put("y = max(x, 2) if x < 3 else -x") for m in mutants_of("y = max(x, 2) if x < 3 else -x")][:2]
    ['y = min(x, 2) if x < 3 else -x', 'y = max(x, 3) if x < 3 else -x']
    """
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    lines = text.splitlines(keepends=True)

    def place(line: int, column: int) -> int:
        return starts[line - 1] + len(lines[line - 1].encode()[:column].decode())

    def span(node: ast.expr) -> tuple[int, int]:
        return place(node.lineno, node.col_offset), place(node.end_lineno or 0, node.end_col_offset or 0)

    def said(node: ast.expr) -> str:
        """As it is written; what is made of parts in brackets, which stand outside of its own place."""
        written = text[slice(*span(node))]
        return f"({written})" if isinstance(node, ast.NamedExpr | ast.BoolOp | ast.IfExp | ast.Compare) else written

    found = []
    for node in _computed(ast.parse(text)):
        for kind, part, new in _faults(node, said):
            found.append(Mutant(kind, *span(part), new))
    return sorted(found, key=lambda mutant: (mutant.start, mutant.end, mutant.new))


def _computed(tree: ast.AST) -> Iterator[ast.expr]:
    """Expressions that compute: no annotations, no f-strings."""
    for name, value in ast.iter_fields(tree):
        for each in value if isinstance(value, list) else [value]:
            if not isinstance(each, ast.AST) or name in ("annotation", "returns") or isinstance(each, ast.JoinedStr):
                continue
            if isinstance(each, ast.expr):
                yield each
            yield from _computed(each)


def _faults(node: ast.expr, said: object) -> Iterator[tuple[str, ast.expr, str]]:
    text = said if callable(said) else str
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield "constant", node, repr(node.value + 1 if type(node.value) is int else node.value * 1.1 or 1.0)
    elif isinstance(node, ast.Compare) and len(node.ops) == 1:
        for kind, table in (("edge", EDGES), ("negate", TURNED)):
            sign = table.get(type(node.ops[0]))
            if sign:
                yield kind, node, f"{text(node.left)} {sign} {text(node.comparators[0])}"
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div):
        yield "drop", node, f"({text(node.left)})"
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield "unary", node, f"({text(node.operand)})"
    elif isinstance(node, ast.Call):
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name in OTHER_END:
            whole = text(node.func)
            yield "minmax", node.func, whole[: len(whole) - len(name)] + OTHER_END[name]


def sample(number: int, seed: int, room: str | None) -> list[tuple[Path, Mutant]]:
    """So many faults, the rooms in turn, seeded."""
    chance = random.Random(seed)
    rooms: dict[str, list[Path]] = {}
    for path in sorted((ROOT / "sitemap").rglob("*.py")):
        inside = path.relative_to(ROOT / "sitemap").parts
        rooms.setdefault(inside[0] if len(inside) > 1 else "floor", []).append(path.relative_to(ROOT))
    names = [name for name in rooms if room in (None, name)]
    if not names:
        raise SystemExit(f"There is no room {room}; the rooms are {', '.join(rooms)}.")
    chosen = []
    while len(chosen) < number:
        path = chance.choice(rooms[names[len(chosen) % len(names)]])
        offered = mutants_of((ROOT / path).read_text(encoding="utf-8"))
        if offered:
            chosen.append((path, chance.choice(offered)))
        else:
            rooms[names[len(chosen) % len(names)]].remove(path)
    return chosen


def verdict(copy: Path, path: Path, mutant: Mutant, seconds: float) -> str:
    """Run the near tests, then those of whole sites, on the copy with the fault in it; the copy is put right again."""
    text = (copy / path).read_text(encoding="utf-8")
    room = path.parts[1] if len(path.parts) > 2 else ""
    rooms = [f"tests/{room}"] if room and (copy / "tests" / room).is_dir() else []
    try:
        for tests in (["--doctest-modules", str(path), *importers(copy, path)], rooms, list(WHOLE)):
            if not tests:
                continue
            (copy / path).write_text(mutant.put(text), encoding="utf-8")
            fails = _fails(copy, tests, seconds)
            (copy / path).write_text(text, encoding="utf-8")
            if fails and _fails(copy, tests, seconds):
                return "not decided: these tests fail without the fault too"
            if fails:
                return f"killed by {fails[:110]}"
    except subprocess.TimeoutExpired:
        return "not decided"
    finally:
        (copy / path).write_text(text, encoding="utf-8")
    return "SURVIVED"


def importers(copy: Path, path: Path) -> list[str]:
    """The test files that import a module; the slow ones with a browser are not among them."""
    *folders, name = path.with_suffix("").parts
    words = re.compile(rf"^(?:from|import) {re.escape('.'.join(folders))}(?:\.{name}\b| import .*\b{name}\b)", re.M)
    files = sorted((copy / "tests").rglob("test_*.py"))
    found = (each for each in files if "browser" not in each.parts and words.search(each.read_text(encoding="utf-8")))
    return [str(each.relative_to(copy)) for each in found]


def _fails(copy: Path, tests: list[str], seconds: float) -> str:
    """What fails of some tests, or nothing."""
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests],
        cwd=copy,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=seconds,
        check=False,
    )
    why = [line for line in ran.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return "" if ran.returncode in (0, 5) else (why or tests)[0]


def main(arguments: list[str] | None = None) -> None:
    """Print a line a fault, and how many died."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--number", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room")
    parser.add_argument("--seconds", type=float, default=120.0, help="for each of the three runs of tests")
    options = parser.parse_args(arguments)
    found: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "tree"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache"))
        for path, mutant in sample(options.number, options.seed, options.room):
            text = (ROOT / path).read_text(encoding="utf-8")
            line = text.count("\n", 0, mutant.start) + 1
            found.append(verdict(copy, path, mutant, options.seconds))
            old = " ".join(text[mutant.start : mutant.end].split())
            print(f"{path}:{line} {mutant.kind}: {old} → {' '.join(mutant.new.split())}: {found[-1]}", flush=True)
    dead, left = (sum(word.startswith(start) for word in found) for start in ("killed", "SURVIVED"))
    print(f"{dead} of {dead + left} decided died; {len(found) - dead - left} not decided")


if __name__ == "__main__":
    main()
