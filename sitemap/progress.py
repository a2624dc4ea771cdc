"""How far a long calculation is, for whoever waits for it; and where it can be ended.

Nobody waits for most of them: then it costs a look at a variable. What is worked out is the same either way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Thing = TypeVar("Thing")
Listener = Callable[[str, float], None]
_listener: ContextVar[Listener | None] = ContextVar("listener", default=None)


@contextmanager
def told_to(listener: Listener) -> Iterator[None]:
    """Within it, what is worked out by this thread tells `listener` what it is at and the share of that done (0 to 1).

    What the listener raises ends the calculation; what was remembered until then is whole.
    """
    token = _listener.set(listener)
    try:
        yield
    finally:
        _listener.reset(token)


def counted(what: str, things: Sequence[Thing]) -> Iterator[Thing]:
    """Things one by one, telling the listener before each.

    >>> with told_to(lambda what, share: print(what, share)):
    ...     for heap in counted("heaps", ("P1", "P2")):
    ...         print(heap)
    heaps 0.0
    P1
    heaps 0.5
    P2
    """
    listener = _listener.get()
    for number, thing in enumerate(things):
        if listener is not None:
            listener(what, number / len(things))
        yield thing
