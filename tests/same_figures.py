"""The same figures before and after: records every figure and verdict, and says later which of them changed.

    python -m tests.same_figures record FILE [--sites 300] [--root DIR]
    python -m tests.same_figures compare FILE [--root DIR] [--sentences] [--except PATTERN] [--most N]

`record` copies the sample sites and writes random ones (`random_sites.py`) into FILE, a folder or a .zip, with what
`assess --json` and `place --json` tell of each, in all digits: the command line outlives a rewriting of what is below.
`compare` asks the present code about the very same files. --root names another tree whose code is to be asked (a
worktree of an earlier commit). Sentences and the order of lists are compared only where that is asked for; a sentence
that comes or goes altogether counts always. `--except 'assess/told/spots/*/water/*'` sets apart what was changed on
purpose. Exit status 1 on differences.
"""

from __future__ import annotations

import argparse
import json
import math
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

from tests.random_sites import TODAY, write_site

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
SAMPLES = ROOT / "sample_sites"
RELATIVE, NOTHING = 1e-9, 1e-12
PROCESSES = 2
VERBS = {"assess": ["assess"], "place": ["place", "--kilns", "2", "--spots", "3"]}
SENTENCES = ("text", "reason", "why", "why_none", "said")
APART = ("format", "made_with")  # the program's own marks, no figures
KEYS = (  # what tells the records of a list apart: the first of these that all of them have
    ("about", "what"),
    ("check", "about"),
    ("feature", "kind"),
    ("source", "way", "line"),
    ("id", "spot"),
    ("id",),
)
LOUD = ("number", "word", "added", "removed")
Figures = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Difference:
    """One place where two recordings differ: number, word, added, removed, sentence or order."""

    what: str
    site: str
    where: tuple[str, ...]
    before: Any
    after: Any

    @property
    def pattern(self) -> str:
        """Where, without the names and numbers of this one site: `assess/spots/*/water/*/flow_l_min/*`."""
        return "/".join("*" if part.startswith("[") else part for part in self.where)

    @property
    def far(self) -> float:
        """Relative difference of two numbers, else 0."""
        if self.what != "number":
            return 0.0
        return abs(self.after - self.before) / max(abs(self.after), abs(self.before))


def figures_of(sites: Path, root: Path = ROOT) -> Figures:
    """What the command line of a tree tells of every site file of a folder, by the file's name."""
    names = sorted(path.name for path in sites.glob("*.geojson"))
    parts = [[(name, verb) for name in names[start::PROCESSES] for verb in VERBS] for start in range(PROCESSES)]
    made: Figures = {name: {} for name in names}
    with ThreadPoolExecutor(PROCESSES) as pool:
        for part, answers in zip(parts, pool.map(lambda part: _asked(part, sites, root), parts), strict=True):
            for (name, verb), answer in zip(part, answers, strict=True):
                made[name][verb] = answer
    return made


def _asked(jobs: Sequence[tuple[str, str]], sites: Path, root: Path) -> list[Any]:
    words = []
    for name, verb in jobs:
        verb_words = VERBS[verb]
        day = [] if _says_its_day(sites / name) else ["--on", TODAY]
        words.append([verb_words[0], name, "--json", *day, *verb_words[1:]])
    command = [sys.executable, "-P", str(HERE / "figures_worker.py"), str(root.resolve()), str(sites.resolve())]
    asked = "".join(json.dumps(each) + "\n" for each in words)
    run = subprocess.run(command, input=asked, stdout=subprocess.PIPE, text=True, encoding="utf-8", check=False)
    lines = run.stdout.splitlines()
    if run.returncode or len(lines) != len(words):
        stopped = words[len(lines)] if len(lines) < len(words) else "its end"
        raise SystemExit(f"The code in {root} stopped at {stopped}.")
    return [json.loads(line) for line in lines]


def _says_its_day(path: Path) -> bool:
    """Does the site say a burn date? Without one the command line would take today's."""
    season = json.loads(path.read_text(encoding="utf-8"))["site"].get("season")
    day = season.get("date") if isinstance(season, dict) else None
    return isinstance(day, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", day) is not None


def record(file: Path, sites: int, root: Path = ROOT) -> Figures:
    """Write the samples, random sites and their figures into a folder or zip."""
    with _opened(file, new=True) as folder:
        inside = folder / "sites"
        inside.mkdir(parents=True)
        for path in sorted(SAMPLES.iterdir()):
            if path.suffix in (".geojson", ".tif"):
                shutil.copy(path, inside)
        for number in range(sites):
            write_site(inside, number)
        made = figures_of(inside, root)
        lines = [f"{json.dumps(name)}: {json.dumps(told, ensure_ascii=False)}" for name, told in made.items()]
        (folder / "figures.json").write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
    return made


def compare(file: Path, root: Path = ROOT) -> list[Difference]:
    """What a tree tells otherwise than the recording, of the recording's own files."""
    with _opened(file) as folder:
        before = json.loads((folder / "figures.json").read_text(encoding="utf-8"))
        after = figures_of(folder / "sites", root)
    return [found for name in before for found in differences(name, before[name], after[name])]


@contextmanager
def _opened(file: Path, new: bool = False) -> Iterator[Path]:
    """The recording as a folder; a zip is unpacked, and packed where it is new."""
    if new and file.exists():
        raise SystemExit(f"{file} is there already: a recording is not overwritten.")
    if not new and not file.exists():
        raise SystemExit(f"There is no recording {file}.")
    if file.suffix != ".zip":
        yield file
        return
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        if not new:
            with zipfile.ZipFile(file) as packed:
                packed.extractall(folder)
        yield folder
        if new:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
                for path in sorted(folder.rglob("*")):
                    packed.write(path, path.relative_to(folder))


def differences(site: str, before: Any, after: Any, where: tuple[str, ...] = ()) -> Iterator[Difference]:
    """Every place where two values of a recording differ."""
    key = where[-1] if where else ""
    sentence = key in SENTENCES or (key == "source" and "setbacks" in where)
    if key in APART or _same(before, after):
        return
    if isinstance(before, dict) and isinstance(after, dict):
        yield from _within(site, before, after, where)
    elif isinstance(before, list) and isinstance(after, list) and not sentence:
        first, second = _keyed(before), _keyed(after)
        yield from _within(site, first, second, where)
        if sorted(first) == sorted(second) and list(first) != list(second):
            yield Difference("order", site, where, list(first), list(second))
    elif _number(before) and _number(after):
        yield Difference("number", site, where, before, after)
    elif sentence and before and after:
        yield Difference("sentence", site, where, before, after)
    else:
        yield Difference("word", site, where, before, after)


def _within(site: str, before: dict[str, Any], after: dict[str, Any], where: tuple[str, ...]) -> Iterator[Difference]:
    for key in before.keys() | after.keys():
        if key not in after:
            yield Difference("removed", site, (*where, key), before[key], None)
        elif key not in before:
            yield Difference("added", site, (*where, key), None, after[key])
        else:
            yield from differences(site, before[key], after[key], (*where, key))


def _keyed(values: list[Any]) -> dict[str, Any]:
    """A list by what tells its records apart, else by number."""
    records = bool(values) and all(isinstance(value, dict) for value in values)
    keys = next((keys for keys in KEYS if records and all(key in value for value in values for key in keys)), None)
    seen: Counter[str] = Counter()
    made: dict[str, Any] = {}
    for number, value in enumerate(values):
        name = str(number) if keys is None else ", ".join(str(value[key]) for key in keys)
        seen[name] += 1
        made[f"[{name}]" if seen[name] == 1 else f"[{name} #{seen[name]}]"] = value
    return made


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _same(before: Any, after: Any) -> bool:
    if _number(before) and _number(after):
        return math.isclose(before, after, rel_tol=RELATIVE, abs_tol=NOTHING)
    return type(before) is type(after) and bool(before == after)


def told(found: Sequence[Difference], most: int) -> Iterator[str]:
    """The differences for a person: by kind and place, the largest first, a few of each with site and values."""
    groups: dict[tuple[str, str], list[Difference]] = {}
    for one in found:
        groups.setdefault((one.what, one.pattern), []).append(one)
    for (what, pattern), those in sorted(groups.items(), key=lambda group: (group[0][0], -len(group[1]))):
        far = max(one.far for one in those)
        largest = f", the largest by {far:.2g}" if far else ""
        yield f"{what} {pattern}: {len(those)} in {len({one.site for one in those})} sites{largest}"
        for one in sorted(those, key=lambda one: (-one.far, one.site))[:most]:
            before, after = (json.dumps(value, ensure_ascii=False)[:200] for value in (one.before, one.after))
            yield f"    {one.site} {'/'.join(one.where)}: {before} → {after}"


def counted(made: Figures) -> str:
    """How much a recording holds: sites, figures, and sites the program could not read."""

    def figures(value: Any) -> int:
        inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
        return _number(value) + sum(figures(one) for one in inside)

    failed = Counter(str(told["assess"]["status"]) for told in made.values())
    statuses = ", ".join(f"{count} with status {status}" for status, count in failed.items())
    return f"{len(made)} sites, {figures(made)} figures; {statuses}."


def main(arguments: Sequence[str] | None = None) -> int:
    """Record or compare; returns the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.same_figures", description=__doc__.splitlines()[0])
    parser.add_argument("verb", choices=("record", "compare"))
    parser.add_argument("file", type=Path, help="the recording: a folder or a .zip")
    parser.add_argument("--root", type=Path, default=ROOT, help="the tree whose code is asked (this one)")
    parser.add_argument("--sites", type=int, default=300, help="random sites to record (300)")
    parser.add_argument("--sentences", action="store_true", help="compare sentences and the order of lists too")
    parser.add_argument("--except", dest="apart", action="append", default=[], metavar="PATTERN")
    parser.add_argument("--most", type=int, default=3, help="examples of each kind of difference (3)")
    options = parser.parse_args(arguments)
    if options.verb == "record":
        print(counted(record(options.file, options.sites, options.root)))
        return 0
    found = compare(options.file, options.root)
    found = [one for one in found if options.sentences or one.what in LOUD]
    apart = [one for one in found if any(fnmatch(one.pattern, pattern) for pattern in options.apart)]
    left = [one for one in found if one not in apart]
    print(*told(left, options.most), sep="\n", end="\n" if left else "")
    print(f"{len(left)} differences" + (f", {len(apart)} set apart." if apart else "."))
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
