"""All checks in one command: `python -m tests`. Further words go to pytest; `--thorough` tries many examples.

Finds a browser and a PostgreSQL server, or installs them where that can be done without asking. Then the tests run on
every core, and format, lint, types and dead code beside them. Without one of them it fails: a test left out in silence
has hidden many a fault.

Tests that failed are tried again, one after the other. A few of a browser that then pass were in each other's way on a
full machine: they are named, and do not fail the whole. All others do.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from pathlib import Path

from tests import browsers, servers
from tests.properties import THOROUGH

ROOT = Path(__file__).resolve().parent.parent
#  A fresh copy keeps nothing for a next time, a tenth of the work; where somebody ran mypy by hand, that is read.
KEPT = () if (ROOT / ".mypy_cache").exists() else (f"--cache-dir={os.devnull}",)
BESIDE = (
    ("ruff", "format", "--check", "--quiet", "."),
    ("ruff", "check", "--quiet", "."),
    ("mypy", *KEPT),
    ("vulture",),
    ("vulture", "sample_sites", "tests"),  # and what the tests themselves no longer use
)
MANY = "--thorough"
SEED = "--hypothesis-seed="
#  By the rows and in the order of `conftest.py`.
SPREAD = ("--numprocesses", str(min(4, 1 + (os.cpu_count() or 1))), "--no-loadscope-reorder")
#  Every worker fills its core: libraries that take all cores for themselves would only stand in each other's way.
ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
#  Memory given back is taken again at once: asked of the system each time, it costs a twentieth of the work.
KEEPS_MEMORY = {"MALLOC_TRIM_THRESHOLD_": str(2**28), "MALLOC_MMAP_THRESHOLD_": str(2**25)}
#  To see the values in a failed assertion pytest writes each test file anew, 10 s a worker: done for those that fail.
PLAIN = ("--assert=plain",)
AGAIN = ("--last-failed", "--last-failed-no-failures=none")
FAILED = ROOT / ".pytest_cache/v/cache/lastfailed"
TESTS_FAILED = 1  # pytest's word for that, and for nothing worse
FEW, OF_A_BROWSER = 3, "tests/browser/"


def main(further: list[str]) -> int:
    """Run the tests and every step beside them, whatever becomes of the others; 0 only if all of them are content."""
    program = browsers.found_or_brought()
    if program is None:
        print(
            f"No browser found: install Chromium, Chrome or Edge, or name its program file in {browsers.NAMED}.",
            file=sys.stderr,
        )
        return 1
    if servers.found_or_brought() is None:
        print(servers.MISSING, file=sys.stderr)
        return 1
    environment = {**os.environ, **ONE_THREAD, **KEEPS_MEMORY, browsers.NAMED: program}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # hundreds of processes of the tests read the same modules
    words = ("pytest", *PLAIN, *SPREAD, *asked(further))
    with started(words, environment) as tests:
        failed = [step[0] for step in BESIDE if shown(step, started(step, environment))]
        if code := shown(words, tests):
            few = few_of_a_browser() if code == TESTS_FAILED else ()
            again = ("pytest", *AGAIN, *asked(further))
            if shown(again, started(again, environment)) or not few:
                failed.append("pytest")
            else:
                print("→ passed only by themselves:", *few, flush=True)
    if failed:
        print("→ failed:", ", ".join(failed), flush=True)
    return bool(failed)


def few_of_a_browser() -> tuple[str, ...]:
    """The tests that failed, where they are few and each has a browser; else none."""
    names = tuple(json.loads(FAILED.read_text(encoding="utf-8"))) if FAILED.exists() else ()
    return names if len(names) <= FEW and all(name.startswith(OF_A_BROWSER) for name in names) else ()


def asked(further: list[str]) -> list[str]:
    """The words for pytest: `--thorough` means the thorough profile, with a seed of this run unless one is given."""
    if MANY not in further:
        return further
    words = [f"--hypothesis-profile={THOROUGH}", *(word for word in further if word != MANY)]
    if not any(word.startswith(SEED) for word in words):
        words.append(f"{SEED}{random.SystemRandom().randrange(2**32)}")
    return words


def started(words: tuple[str, ...], environment: dict[str, str]) -> subprocess.Popen[bytes]:
    """A step as a process; it waits with what it says until somebody reads it."""
    return subprocess.Popen(
        [sys.executable, "-m", *words], cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )


def shown(words: tuple[str, ...], process: subprocess.Popen[bytes]) -> int:
    """Show what a step says, as it says it, and return its exit code."""
    print("→", *words, flush=True)
    assert process.stdout is not None
    with process:
        while said := os.read(process.stdout.fileno(), 4096):
            sys.stdout.buffer.write(said)
            sys.stdout.flush()
    return process.returncode


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
