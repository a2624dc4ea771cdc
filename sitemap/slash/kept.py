"""The char stock of single heaps, kept while there is room: a kiln adds it up once the slash is counted."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from threading import Lock

from sitemap.ranges import Array

MOST = 12_000  # heaps, 16 kB each
_kept: dict[Hashable, Array] = {}
_lock = Lock()


def keep(of: Hashable, char_t: Array) -> Array:
    """Keep the draws of a heap [t]; the one kept longest goes where there is no more room. Gives them back."""
    char_t.flags.writeable = False
    with _lock:
        while len(_kept) >= MOST:
            del _kept[next(iter(_kept))]
        _kept[of] = char_t
    return char_t


def kept(of: Hashable, made: Callable[[], Array]) -> Array:
    """The draws of a heap [t], made anew where they are not kept.

    >>> import numpy as np
    >>> kept("a heap of its own", lambda: np.ones(1)), kept("a heap of its own", lambda: np.zeros(1))
    (array([1.]), array([1.]))
    """
    found = _kept.get(of)
    return keep(of, made()) if found is None else found


def forget() -> None:
    """Keep none."""
    with _lock:
        _kept.clear()
