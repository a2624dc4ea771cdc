"""The letters our papers are set in, and what they lack: nothing is printed as an empty box without a word about it.

DejaVu Sans (Latin, Greek, Cyrillic, Arabic, Hebrew) comes with Matplotlib; Devanagari and Chinese, Japanese and Korean
come as packages of their own, whose licences (SIL Open Font License) lie beside them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from sitemap.plan.letters import shown
from sitemap.site.frozen import thaw
from sitemap.site.model import Site
from sitemap.telling.unbroken import unbroken

STANDS_FOR = "·"  # a letter no font has
# Packages, found without loading them, and where in each the fonts lie; the first is always there.
_PACKAGES = (
    ("matplotlib", "mpl-data/fonts/ttf"),
    ("fontpkg_noto_sans_devanagari", "."),
    ("noto_cjk_sans_jp_regular", "."),
)
_LONG = re.compile(r"\S{24,}")
_PIECE = 8  # letters of a long word between two places where it may wrap
_WRAPS = "\u200b"
_UNSEEN = ("Cf", "Zs", "Zl", "Zp", "Cc")  # they have no letter of their own
_VARIANTS = range(0xFE00, 0xFE10)  # say which form of a sign is meant, and are no sign


@cache
def folders() -> tuple[Path, ...]:
    """Where the fonts lie."""
    specs = ((find_spec(package), inside) for package, inside in _PACKAGES)
    return tuple(Path(spec.origin).parent / inside for spec, inside in specs if spec is not None and spec.origin)


def set_in_type(value: Any) -> Any:
    """Plain JSON values as they can be printed: a dot for what no font has; figures keep their unit."""
    if isinstance(value, dict):
        return {key: set_in_type(each) for key, each in value.items()}
    if isinstance(value, list):
        return [set_in_type(each) for each in value]
    return unbroken(wrapping(typed(shown(value)))) if isinstance(value, str) else value


def typed(text: str) -> str:
    """A text with a dot for each letter that no font has.

    >>> typed("Ежевика 名前 \\U0001f525")
    'Ежевика 名前 ·'
    """
    if text.isascii() or not any(_lacks(letter) for letter in set(text)):
        return text
    return "".join(letter if not _lacks(letter) else "" if _is_mark(letter) else STANDS_FOR for letter in text)


def wrapping(text: str) -> str:
    """A text whose long words may wrap.

    >>> wrapping("x" * 30).split("\\u200b")[0]
    'xxxxxxxx'
    """
    return _LONG.sub(lambda word: _WRAPS.join(re.findall(f".{{1,{_PIECE}}}", word[0])), text)


def lacking(texts: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Which texts cannot be printed as they are, each with the scripts that lack, named as Unicode does.

    >>> lacking(["Kiln", "เตา 1"])
    {'เตา 1': ('Thai',)}
    """
    found = {text: tuple(dict.fromkeys(_script(letter) for letter in text if _lacks(letter))) for text in texts}
    return {text: scripts for text, scripts in found.items() if scripts}


def texts_of(site: Site) -> Iterable[str]:
    """Every text somebody entered: of the things on the map and of the site."""
    waiting: list[Any] = [thaw(site.member), *(thaw(feature.values) for feature in site.features)]
    while waiting:
        value = waiting.pop(0)
        if isinstance(value, str):
            yield value
        elif isinstance(value, dict | list):
            waiting += value.values() if isinstance(value, dict) else value


def _script(letter: str) -> str:
    """The script of a letter by its Unicode name; what is no letter is a sign."""
    if unicodedata.category(letter)[0] not in "LM":
        return "signs"
    return unicodedata.name(letter, "signs").split()[0].capitalize()


def _is_mark(letter: str) -> bool:
    """Whether it stands over or under a letter: gone with it, it leaves no dot of its own."""
    return unicodedata.category(letter) in ("Mn", "Me")


@cache
def _lacks(letter: str) -> bool:
    if letter.isascii() or unicodedata.category(letter) in _UNSEEN or ord(letter) in _VARIANTS:
        return False
    return not any(ord(letter) in _letters(font) for font in _fonts())


@cache
def _fonts() -> tuple[Path, ...]:
    own = folders()[0] / "DejaVuSans.ttf"
    return (own, *(font for place in folders()[1:] for font in sorted(place.rglob("*.[ot]tf"))))


@cache
def _letters(font: Path) -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(font, lazy=True) as read:
        return frozenset(read.getBestCmap())
