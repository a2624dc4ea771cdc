"""The scripts of the pages, read by a checker of types and a linter of their language.

Both come in one package of the usual index (`deno`, a JavaScript runtime with the TypeScript compiler in it) and need
neither network nor a package manager of their own.
"""

import os
import subprocess
from pathlib import Path

import deno
import pytest

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = ("--config", str(ROOT / ".ci" / "deno.json"))
SCRIPTS = sorted(path for path in (ROOT / "sitemap").rglob("*.js"))


def run(*words: str, folder: Path) -> str:
    """What the checker says, empty where it finds nothing."""
    done = subprocess.run(
        [deno.find_deno_bin(), *words],
        cwd=ROOT,
        env={**os.environ, "DENO_DIR": str(folder), "DENO_NO_UPDATE_CHECK": "1", "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    return "" if done.returncode == 0 else done.stdout + done.stderr


def test_agrees_with_a_type_checker(tmp_path: Path) -> None:
    assert run("check", *SETTINGS, "--no-remote", "--no-npm", *map(str, SCRIPTS), folder=tmp_path) == ""


def test_agrees_with_a_linter(tmp_path: Path) -> None:
    assert run("lint", *SETTINGS, *map(str, SCRIPTS), folder=tmp_path) == ""


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_law_every_script_is_a_checked_module_of_small_size(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.startswith("// @ts-check\n")
    assert "\nexport " in text
    assert len(text.splitlines()) <= 400


def test_law_the_checker_sees_a_wrong_type(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.js"
    wrong.write_text("// @ts-check\n/** @param {number} x */\nexport const f = (x) => x + 1;\nf('a');\n", "utf-8")
    assert "not assignable" in run(
        "check", *SETTINGS, "--no-remote", "--no-npm", str(wrong), folder=tmp_path / "memory"
    )
