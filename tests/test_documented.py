"""What README and DEVELOPERS name is there: every command line is taken, every file and folder stands."""

from __future__ import annotations

import importlib.util
import re
import shlex
from fnmatch import fnmatch
from pathlib import Path

import pytest

from sitemap.__main__ import command_parser

ROOT = Path(__file__).resolve().parents[1]
PAGES = {name: (ROOT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md")}
FOLDERS = ("sitemap", "tests", "sample_sites", ".ci", ".github", ".streamlit")
IN_A_ZIP = {"files/<sha256>"}  # of a site that travels with its pictures
_COMMAND = re.compile(
    r"\.venv/bin/python -m ((?:sitemap +\w+ +)?[^`\n]+?)(?: {3,}.*)?$", re.MULTILINE
)  # words after it say why
COMMANDS = [line for text in PAGES.values() for line in _COMMAND.findall(text)]


@pytest.fixture(scope="module")
def standing() -> set[str]:
    """Every file and folder of the project."""
    within = [path for folder in FOLDERS for path in (ROOT / folder, *(ROOT / folder).rglob("*"))]
    return {f"/{path.relative_to(ROOT).as_posix()}" for path in (*ROOT.glob("*.*"), *within)}


@pytest.mark.parametrize("command", COMMANDS)
def test_law_every_command_a_page_names_is_taken(command: str) -> None:
    module, *words = shlex.split(command)
    found = importlib.util.find_spec(module)
    assert found is not None
    if module != "sitemap":
        origin = Path(str(found.origin))
        source = (origin.with_name("__main__.py") if origin.stem == "__init__" else origin).read_text("utf-8")
        assert not [word for word in words if word.startswith("--") and word not in source]
    else:
        asked = command_parser().parse_args(words)
        lost = [name for name in getattr(asked, "sites", None) or [asked.site] if not list(ROOT.glob(name))]
        assert not lost, f"it names {lost}, which is not in the tree"


@pytest.mark.parametrize("page", PAGES)
def test_law_every_file_a_page_names_is_there(page: str, standing: set[str]) -> None:
    lost = [path for path in _paths(PAGES[page]) if not any(fnmatch(each, f"*/{path}") for each in standing)]
    assert not lost, f"{page} names what is not there: {lost}"


def _paths(text: str) -> list[str]:
    """What stands in a page as code and reads like a path; a word to be filled in is any one."""
    words = [word.rstrip("/,.:") for code in re.findall(r"`([^`\n]+)`", text) for word in code.split()]
    paths = [
        word
        for word in words
        if re.fullmatch(r"[\w.*<>/-]+", word) and ("/" in word or re.search(r"\.(py|toml|js|ts|css|typ|md)$", word))
    ]
    return [re.sub(r"<\w+>|\bROOM\b", "*", path) for path in paths if path not in IN_A_ZIP]
