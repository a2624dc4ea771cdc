"""Which site files are meant: by name, by folder, by pattern."""

from __future__ import annotations

import glob
from collections.abc import Iterable
from pathlib import Path

from sitemap.errors import BadFile
from sitemap.reasons import reason

ENDINGS = (".geojson", ".zip")


def several(words: Iterable[str]) -> bool:
    """Whether more than one named file is meant, so that a summary is wanted and not the one site's text."""
    first, *more = words
    return bool(more) or Path(first).is_dir() or _pattern(first)


def site_files(words: Iterable[str]) -> tuple[Path, ...]:
    """The site files meant, each once, in the order named; of a folder those in it and below it, by name.

    words : files, folders, patterns (`*`, `?`, `[…]`, `**`)

    Raises BadFile where a folder or a pattern holds none.
    """
    found: dict[Path, None] = {}
    for word in words:
        path = Path(word)
        if path.is_dir():
            inside = sorted(each for each in path.rglob("*") if _site_file(each))
        elif _pattern(word):
            inside = sorted(each for each in map(Path, glob.iglob(word, recursive=True)) if _site_file(each))
        else:
            inside = [path]
        if not inside:
            raise BadFile(reason("command.no_site", word=word, known=ENDINGS))
        found |= dict.fromkeys(inside)
    return tuple(found)


def _pattern(word: str) -> bool:
    return glob.has_magic(word) and not Path(word).exists()


def _site_file(path: Path) -> bool:
    return path.suffix.lower() in ENDINGS and path.is_file()
