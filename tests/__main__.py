"""All checks in one command: `python -m tests`. Further words go to pytest.

Finds a browser, or installs one where that can be done without asking; then format, lint, types and tests. Without a
browser it fails: a test left out in silence has hidden many a fault.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests import browsers

ROOT = Path(__file__).resolve().parent.parent
STEPS = (
    ("ruff", "format", "--check", "--quiet", "."),
    ("ruff", "check", "--quiet", "."),
    ("mypy",),
    ("pytest",),
)


def main(further: list[str]) -> int:
    """Run every step in turn and stop at the first that fails; its exit code is ours."""
    program = browsers.found_or_brought()
    if program is None:
        print(
            f"No browser found: install Chromium, Chrome or Edge, or name its program file in {browsers.NAMED}.",
            file=sys.stderr,
        )
        return 1
    environment = {**os.environ, browsers.NAMED: program}
    for step in STEPS:
        words = [*step, *(further if step[0] == "pytest" else ())]
        print("→", *words, flush=True)
        code = subprocess.run([sys.executable, "-m", *words], cwd=ROOT, env=environment, check=False).returncode
        if code:
            return code
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
