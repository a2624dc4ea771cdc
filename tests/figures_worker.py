"""Runs the command line of the tree it is told, in one process, for `tests.same_figures`: jobs in, answers out.

Started as a program of its own, so that the code of another folder can be asked:
`python -P figures_worker.py ROOT SITES`. Each line of standard input is a list of words for the command line, each line
of standard output its answer as JSON. Figures come in all their digits, not in the six the report gives.
"""

from __future__ import annotations

import contextlib
import importlib
import io
import json
import os
import sys
from pathlib import Path
from typing import Any

ALL_DIGITS = 17  # a float and no other


def answer(main: Any, words: list[str]) -> dict[str, Any]:
    """Exit status (or the error that nobody caught), what was told and what was said beside it."""
    told, said = io.StringIO(), io.StringIO()
    status: int | str
    try:
        with contextlib.redirect_stdout(told), contextlib.redirect_stderr(said):
            status = main(words)
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else str(left.code)
    except Exception as error:  # a site that breaks the program is worth knowing, and the rest goes on
        status = f"{type(error).__name__}: {error}"
    text = told.getvalue()
    try:
        figures = json.loads(text)
    except ValueError:
        figures = text
    return {"status": status, "told": figures, "said": said.getvalue().splitlines()}


def serve(root: Path, sites: Path) -> None:
    """Answer line by line until the input ends."""
    sys.path.insert(0, str(root))
    verbs = importlib.import_module("sitemap.__main__")
    if not Path(str(verbs.__file__)).resolve().is_relative_to(root.resolve()):
        sys.exit(f"sitemap came from {verbs.__file__}, not from {root}.")
    units = importlib.import_module("sitemap.units")
    if not hasattr(units, "REPORT_DIGITS"):
        print(f"The code in {root} gives its figures rounded; they are taken so.", file=sys.stderr)
    units.REPORT_DIGITS = ALL_DIGITS  # type: ignore[attr-defined]
    os.chdir(sites)  # so that no sentence names a folder of this machine
    for line in sys.stdin:
        print(json.dumps(answer(verbs.main, json.loads(line))), flush=True)


if __name__ == "__main__":
    serve(Path(sys.argv[1]), Path(sys.argv[2]))
