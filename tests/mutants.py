"""Do the tests notice? A seeded sample of small faults put into the code, one at a time, room by room.

    python -m tests.mutants --number 100 --seed 1 [--room slash] [--folder FOLDER] [--seconds 120]
    python -m tests.mutants --folder FOLDER --equivalent 17 "a tie: both heaps weigh the same"

Each fault is put into a copy of the tree: a constant another one, an edge of a comparison moved, a comparison turned
round, a term dropped, min for max, a `not` or a sign left out. Against all of them are run first the doctests of the
module and the test files that import or name it; against those that live, the tests of the room; then those of whole
sites; and at last all others, against all that live at once. Quick files go first, and the first test that fails ends
it. Browsers are not started. Said of each is killed, SURVIVED, not decided (out of time) or equivalent. A survivor is
either a gap, to be closed by a test, or the same program said otherwise (a tie, a tolerance), which somebody says of it
with a reason.

The folder keeps the copy, what was found and how long each test file takes: the same command goes on where it was
stopped, with the tests as they are now against the program as it was. Time is that of the processor, so that a busy
machine changes no verdict. Each file is tried in a fork of one process that has the libraries ready (not on Windows).
"""

from __future__ import annotations

import argparse
import compileall
import importlib
import json
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import pytest

from tests.faults import Mutant, mutants_of

ROOT = Path(__file__).resolve().parents[1]
WHOLE = ("tests/test_whole_site.py", "tests/test_whole_site_clear.py", "tests/test_whole_site_water.py", "tests/day")
READY = ("numpy", "scipy.sparse.csgraph", "shapely", "pyproj", "rasterio", "streamlit.testing.v1")  # libraries
WAITING = 20  # times as long by the clock as by the processor before a fault that waits for ever is given up


def sample(number: int, seed: int, room: str | None, root: Path = ROOT) -> list[tuple[Path, Mutant]]:
    """So many faults, the rooms in turn, seeded."""
    chance = random.Random(seed)
    rooms: dict[str, list[Path]] = {}
    for path in sorted((root / "sitemap").rglob("*.py")):
        inside = path.relative_to(root / "sitemap").parts
        rooms.setdefault(inside[0] if len(inside) > 1 else "floor", []).append(path.relative_to(root))
    names = [name for name in rooms if room in (None, name)]
    if not names:
        raise SystemExit(f"There is no room {room}; the rooms are {', '.join(rooms)}.")
    chosen = []
    while len(chosen) < number:
        path = chance.choice(rooms[names[len(chosen) % len(names)]])
        offered = mutants_of((root / path).read_text(encoding="utf-8"))
        if offered:
            chosen.append((path, chance.choice(offered)))
        else:
            rooms[names[len(chosen) % len(names)]].remove(path)
    return chosen


@dataclass
class Tried:
    """A fault of the sample and what is known of it."""

    path: str
    mutant: Mutant
    line: int
    old: str
    verdict: str = ""
    passed: list[str] = field(default_factory=list)  # test files that did not notice

    def __str__(self) -> str:
        old, new = (" ".join(text.split()) for text in (self.old, self.mutant.new))
        return f"{self.path}:{self.line} {self.mutant.kind}: {old} → {new}: {self.verdict or 'SURVIVED so far'}"


class Run:
    """A sample under trial in a folder: `tree` is the copy, `found.json` what is known of each fault."""

    def __init__(self, folder: Path, seconds: float) -> None:
        self.tree, self._found, self._seconds = folder / "tree", folder / "found.json", seconds
        self.tried: list[Tried] = []
        self._cost: dict[str, float] = {}  # of each test file [s of processor]
        self._sound: set[str] = set()  # tests that pass without a fault
        if self._found.exists():
            kept = json.loads(self._found.read_text(encoding="utf-8"))
            self._cost = kept["cost"]
            self.tried = [Tried(**{**each, "mutant": Mutant(**each["mutant"])}) for each in kept["tried"]]
        if not self.tree.exists():
            shutil.copytree(ROOT, self.tree, ignore=shutil.ignore_patterns(".git", ".venv", ".*_cache", "__pycache__"))
        shutil.copytree(ROOT / "tests", self.tree / "tests", dirs_exist_ok=True)
        compileall.compile_dir(self.tree, quiet=1)  # here alone: the tests of a fault write none

    def draw(self, number: int, seed: int, room: str | None) -> None:
        """The sample, where none was drawn yet."""
        for path, mutant in [] if self.tried else sample(number, seed, room, self.tree):
            text = (self.tree / path).read_text(encoding="utf-8")
            line, old = text.count("\n", 0, mutant.start) + 1, text[mutant.start : mutant.end]
            self.tried.append(Tried(str(path), mutant, line, old))
        self.keep()

    def died_near(self, tried: Tried) -> bool:
        """Was it noticed by the tests near it?"""
        by = tried.verdict.removeprefix("killed by ").partition("::")[0]
        return by in near(self.tree, tried.path)

    def keep(self) -> None:
        """Write down what is known, whole or not at all."""
        tried = [{**vars(each), "mutant": vars(each.mutant)} for each in self.tried]
        new = self._found.with_suffix(".new")
        new.write_text(json.dumps({"cost": self._cost, "tried": tried}, indent=1, ensure_ascii=False), encoding="utf-8")
        new.replace(self._found)

    def go(self) -> Iterator[Tried]:
        """Try what is not decided, the nearest tests first; each fault as it is decided or has outlived a stage."""
        for stage in (near, of_room, of_whole_sites):
            for each in self.tried:
                files = [] if each.verdict else sorted(set(stage(self.tree, each.path)) - set(each.passed))
                for file in sorted(files, key=partial(self._turn, each.path)):
                    each.verdict = self._verdict(each, file)
                    self.keep()
                    if each.verdict:
                        break
                if files:
                    yield each
        yield from self.together()

    def together(self) -> Iterator[Tried]:
        """Try all that live at once on what is left of the tests; each fault as it is noticed."""
        for file in sorted(everywhere(self.tree), key=partial(self._turn, "")):
            live = [each for each in self.tried if not each.verdict and file not in each.passed]
            self._together(live, file)
            yield from (each for each in live if each.verdict)

    def _together(self, live: Sequence[Tried], file: str) -> None:
        """Try many faults at once: where a file notices nothing it notices none of them, else each half is tried.

        Two that undo each other would pass; they stand at different places of the program, so that is next to never.
        """
        if len(live) < 2:
            for each in live:
                each.verdict = self._verdict(each, file)
        elif self._noticed(live, file):
            self._together(live[: len(live) // 2], file)
            self._together(live[len(live) // 2 :], file)
        else:
            for each in live:
                each.passed.append(file)
        self.keep()

    def _noticed(self, live: Sequence[Tried], file: str) -> bool:
        texts = {path: (self.tree / path).read_text(encoding="utf-8") for path in {each.path for each in live}}
        try:
            for each in sorted(
                live, key=lambda one: one.mutant.start, reverse=True
            ):  # places before it stay where they are
                path = self.tree / each.path
                path.write_text(each.mutant.put(path.read_text(encoding="utf-8")), encoding="utf-8")
            return bool(self._failing(file))
        except TimeoutError:
            return True
        finally:
            for name, text in texts.items():
                (self.tree / name).write_text(text, encoding="utf-8")

    def _turn(self, path: str, file: str) -> tuple[bool, float]:
        """Doctests and tests of the room first, and the quick ones before the slow."""
        size = (self.tree / file).stat().st_size
        elsewhere = Path(file).parts[1:2] != Path(path).parts[1:2] and Path(path).stem not in file
        return elsewhere, self._cost.get(file, size / 2_000)  # a guess until it has been run

    def _verdict(self, tried: Tried, file: str) -> str:
        path = self.tree / tried.path
        text = path.read_text(encoding="utf-8")
        path.write_text(tried.mutant.put(text), encoding="utf-8")
        try:
            test = self._failing(file)
        except TimeoutError:
            return f"not decided: out of time in {file}"
        finally:
            path.write_text(text, encoding="utf-8")
        if not test:
            tried.passed.append(file)
            return ""
        if test not in self._sound and self._failing(test) and self._failing(file):  # a test may bear the fault's name
            return f"not decided: {test} fails without the fault too"
        self._sound.add(test)
        return f"killed by {test}"

    def _failing(self, tests: str) -> str:
        """The first test that fails of a file, or of the doctests of a module; nothing where none does."""
        ours, theirs = os.pipe()
        child = os.fork()
        if not child:
            os.close(ours)
            _in_child(self.tree, tests, theirs, self._seconds)
        os.close(theirs)
        late = threading.Timer(WAITING * self._seconds, os.killpg, (child, signal.SIGKILL))
        late.daemon = True  # stopped meanwhile, nobody waits for it
        late.start()
        with os.fdopen(ours, encoding="utf-8") as pipe:
            said = pipe.read()
        _, status, used = os.wait4(child, 0)
        late.cancel()
        if os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL):
            raise TimeoutError(tests)
        if status and not said:
            return tests  # it fell over before a test could fail
        if not said and "::" not in tests:
            self._cost[tests] = round(used.ru_utime + used.ru_stime, 1)
        return said


class _First:
    """For pytest: writes the name of the first test that fails."""

    def __init__(self, to: int) -> None:
        self.to = to

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._say(report)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        self._say(report)

    def _say(self, report: pytest.TestReport | pytest.CollectReport) -> None:
        if report.failed and self.to:
            os.write(self.to, report.nodeid.encode())
            self.to = 0


def _in_child(tree: Path, tests: str, to: int, seconds: float) -> None:
    """Run tests in the copy, and end this process."""
    status = 1
    try:
        os.setsid()
        sys.dont_write_bytecode = True  # one of a fault put in this second would be taken for that of the sound module
        signal.signal(signal.SIGTERM, signal.SIG_DFL)
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds) + 5))
        os.chdir(tree)
        quiet = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(quiet, stream)
        sys.path[:] = [str(tree), *(each for each in sys.path if each and Path(each) != ROOT)]
        for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "sitemap")]:
            del sys.modules[name]
        how = ["-x", "-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
        doctests = ["--doctest-modules"] if tests.startswith("sitemap") else []
        ended = pytest.main([*how, *doctests, tests], plugins=[_First(to)])
        status = 0 if ended in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) else 1
    finally:
        os._exit(status)


def near(tree: Path, path: str) -> list[str]:
    """The module itself, for its doctests, and the test files that import or name it."""
    doctests = [path] if ">>>" in (tree / path).read_text(encoding="utf-8") else []
    return [*doctests, *importers(tree, Path(path))]


def of_room(tree: Path, path: str) -> list[str]:
    """The test files of the room of a module."""
    room = Path(path).parts[1]
    return _test_files(tree, tree / "tests" / room) if len(Path(path).parts) > 2 else []


def of_whole_sites(tree: Path, path: str) -> list[str]:
    """The test files that work out whole sites."""
    del path
    return [file for each in WHOLE for file in _test_files(tree, tree / each)]


def everywhere(tree: Path) -> list[str]:
    """All test files without a browser; not those of speed."""
    return [file for file in _test_files(tree, tree / "tests") if "benchmarks" not in Path(file).parts]


def importers(tree: Path, path: Path) -> list[str]:
    """The test files that import a module or name it; those with a browser are not among them."""
    *folders, name = (part for part in path.with_suffix("").parts if part != "__init__")
    room = re.escape(".".join(folders))
    words = re.compile(rf"^(?:from|import) {room}(?:\.{name}\b| import .*\b{name}\b)|\b{room}\.{name}\b", re.M)
    return [each for each in _test_files(tree, tree / "tests") if words.search((tree / each).read_text("utf-8"))]


def _test_files(tree: Path, under: Path) -> list[str]:
    """The test files under a folder, without a browser."""
    files = [under] if under.is_file() else sorted(under.rglob("test_*.py"))
    return [str(each.relative_to(tree)) for each in files if "browser" not in each.parts]


def summary(tried: Sequence[Tried]) -> str:
    """How many died of those that can be decided.

    >>> ways = ("killed by x", "killed by y", "", "equivalent: a tie", "not decided: out of time")
    >>> print(summary([Tried("a.py", Mutant("edge", 0, 1, ""), 1, "", way) for way in ways]))
    2 of 3 decidable died (67 %); 1 equivalent, 1 not decided
    """
    dead, same, unknown = (
        sum(each.verdict.startswith(word) for each in tried) for word in ("killed", "equivalent", "not decided")
    )
    left = len(tried) - same - unknown
    share = round(100 * dead / max(left, 1))
    return f"{dead} of {left} decidable died ({share} %); {same} equivalent, {unknown} not decided"


def main(arguments: list[str] | None = None) -> None:
    """Print a line a fault, and how many died."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--number", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room")
    parser.add_argument("--folder", type=Path, help="where the run is kept, to be continued")
    parser.add_argument("--seconds", type=float, default=120.0, help="of the processor, for each test file")
    parser.add_argument("--equivalent", nargs=2, metavar=("NUMBER", "WHY"), help="say that a survivor is no fault")
    options = parser.parse_args(arguments)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("Stopped; the same command goes on."))  # the copy is put right
    with tempfile.TemporaryDirectory() as passing:
        run = Run(options.folder or Path(passing), options.seconds)
        run.draw(options.number, options.seed, options.room)
        if options.equivalent:
            run.tried[int(options.equivalent[0])].verdict = f"equivalent: {options.equivalent[1]}"
            run.keep()
        else:
            for name in READY:
                importlib.import_module(name)
            for each in run.go():
                print(run.tried.index(each), each, flush=True)
        print("", *(f"{number} {each}" for number, each in enumerate(run.tried) if not each.verdict), sep="\n")
        print(summary(run.tried))
        print(f"{sum(run.died_near(each) for each in run.tried)} of them died by the tests near them")


if __name__ == "__main__":
    main()
