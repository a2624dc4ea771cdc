"""Where two sites want the same thing on the same day: a machine, a kiln, a pump, a tank, or who leads the crew.

Gear is the same where kind and name are; a name that a list gives by itself ("Kiln 1") says nothing and is left out.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.many.row import SiteRow

LEADER = "leader"
_NUMBERED = re.compile(r"(kiln|pump|machine|tank)?\s*\d*", re.IGNORECASE)


@dataclass(frozen=True)
class Clash:
    """One thing that several sites want.

    kind, name : of the gear; kind "leader" is whoever leads the crew
    days : the days they want it on; sites : their keys, in the order given
    """

    kind: str
    name: str
    days: tuple[dt.date, ...]
    sites: tuple[str, ...]


def clashes(rows: Iterable[SiteRow]) -> tuple[Clash, ...]:
    """Every thing two or more sites want on one of their burn days, the earliest day first.

    >>> clashes(())
    ()
    """
    wanted: dict[tuple[str, str], dict[dt.date, list[str]]] = defaultdict(lambda: defaultdict(list))
    names: dict[tuple[str, str], str] = {}
    for row in rows:
        leader = ((LEADER, row.leader),) if row.leader.strip() else ()
        for kind, name in dict.fromkeys((*row.gear, *leader)):
            thing = kind, " ".join(name.casefold().split())
            if _NUMBERED.fullmatch(thing[1]):
                continue
            names.setdefault(thing, name)
            for day in row.burn_days:
                wanted[thing][day].append(row.key)
    found = []
    for (kind, _), days in wanted.items():
        both = {day: keys for day, keys in days.items() if len(set(keys)) > 1}
        if both:
            sites = tuple(dict.fromkeys(key for keys in both.values() for key in keys))
            found.append(Clash(kind, names[kind, _], tuple(sorted(both)), sites))
    return tuple(sorted(found, key=lambda clash: (clash.days[0], clash.kind, clash.name)))
