"""Who is let in while the app listens beyond this computer: a passcode, few tries, and a mark that the browser carries.

Whether the door is shut follows from the address the server is bound to and from nothing else, so that nobody can open
the app to a network and forget the passcode.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import hmac
import ipaddress
import secrets
from collections import defaultdict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from time import monotonic

_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is taken for another when read out
_MOST, _MOST_OF_ALL, _WITHIN_S = 5, 40, 600.0  # wrong tries from one place, from all, in so long; ours
STAYS_S = 12 * 3600.0  # a day's work; ours
HERE_S = 600.0  # so long after the last thing done somebody counts as here


def beyond_this_computer(address: str | None) -> bool:
    """Whether a server bound to an address can be reached from another computer.

    >>> beyond_this_computer("127.0.0.1"), beyond_this_computer("localhost"), beyond_this_computer("::1")
    (False, False, False)
    >>> beyond_this_computer("0.0.0.0"), beyond_this_computer(None), beyond_this_computer("192.168.1.20")
    (True, True, True)
    """
    if not address:
        return True  # bound to every address
    try:
        return not ipaddress.ip_address(address).is_loopback
    except ValueError:
        return address != "localhost"


def passcode() -> str:
    """A passcode of eight letters and digits: at forty tries in ten minutes, not guessed in a thousand years."""
    return "-".join("".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(2))


@dataclass
class Visitor:
    """Somebody who was let in. host : whether by the passcode of who started the program."""

    name: str
    host: bool
    until: float
    seen: float
    seen_at: dt.datetime


@dataclass
class Gate:
    """The passcodes of one run of the program, wrong tries, and who was let in; clock : seconds that only grow."""

    clock: Callable[[], float] = monotonic
    guests: str = field(default_factory=passcode)
    host: str = field(default_factory=passcode)

    def __post_init__(self) -> None:
        """Nobody is in yet."""
        self._lock = Lock()
        self._wrong: dict[str, deque[float]] = defaultdict(deque)
        self._in: dict[str, Visitor] = {}

    def shut(self, place: str) -> bool:
        """Whether so many wrong tries came from a place, or from all, that the next must wait."""
        with self._lock:
            since = self.clock() - _WITHIN_S
            for tried in (self._wrong[place], self._wrong["all"]):
                while tried and tried[0] < since:
                    tried.popleft()
            return len(self._wrong[place]) >= _MOST or len(self._wrong["all"]) >= _MOST_OF_ALL

    def wrong(self, place: str) -> None:
        """Count a wrong try."""
        with self._lock:
            for tried in (self._wrong[place], self._wrong["all"]):
                tried.append(self.clock())

    def knows(self, typed: str) -> str | None:
        """ "host" or "guest" by the passcode that was typed, None by any other; each takes the same time."""
        code = "".join(typed.lower().split())
        host, guest = (hmac.compare_digest(code.encode(), known.encode()) for known in (self.host, self.guests))
        return "host" if host else "guest" if guest else None

    def let_in(self, name: str, host: bool) -> str:
        """Let somebody in; returns the mark the browser carries."""
        mark = secrets.token_urlsafe(32)
        with self._lock:
            now = self.clock()
            self._in[_hidden(mark)] = Visitor(name, host, now + STAYS_S, now, dt.datetime.now())
        return mark

    def visitor(self, mark: str | None) -> Visitor | None:
        """Who carries a mark; None where nobody does, or no longer."""
        with self._lock:
            now = self.clock()
            self._in = {key: each for key, each in self._in.items() if each.until > now}
            found = self._in.get(_hidden(mark)) if mark else None
            if found is not None:
                found.seen, found.seen_at = now, dt.datetime.now()
            return found

    def leave(self, mark: str | None) -> None:
        """Take a mark back."""
        with self._lock:
            self._in.pop(_hidden(mark or ""), None)

    def here(self) -> tuple[Visitor, ...]:
        """Who did something a short while ago, each once, by name."""
        with self._lock:
            since = self.clock() - HERE_S
            now = sorted((each for each in self._in.values() if each.seen >= since), key=lambda each: each.seen)
        return tuple(sorted({each.name: each for each in now}.values(), key=lambda each: each.name))


def _hidden(mark: str) -> str:
    return hashlib.sha256(mark.encode()).hexdigest()
