"""The places one kiln burned at: each has its own batches and needs its own looks, wherever the kiln stands now.

A look at "K1" is of the place where it burned last by then. One at an earlier place names it as page and paper do:
"K1 @ 44.12345, -105.12345".
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from pyproj import Geod

from sitemap import tables
from sitemap.season.batches import Batch, Places, place_of
from sitemap.season.cold import Look

Place = tuple[float, float]  # longitude and latitude
_NAMED = re.compile(r"(?P<kiln>.*\S)\s*@\s*(?:\?|(?P<lat>-?\d+(?:\.\d+)?)\s*,\s*(?P<lon>-?\d+(?:\.\d+)?))\s*")


@dataclass(frozen=True)
class Bed:
    """Where a kiln burned.

    at : each place it may have been; empty where nobody knows
    batches : burned there, in the order of the log
    """

    at: tuple[Place, ...]
    batches: tuple[Batch, ...]

    def named(self, kiln: str) -> str:
        """What it is called where the kiln burned at several."""
        return f"{kiln} @ {f'{self.at[0][1]:.5f}, {self.at[0][0]:.5f}' if self._sure else '?'}"

    @property
    def _sure(self) -> bool:
        return bool(self.at) and all(each.at is not None for each in self.batches)

    def answers(self, place: Place | None) -> bool:
        """Whether a look at a place, None for one nobody knows, was made here."""
        return _near(self.at[0], place) if place is not None and self._sure else place is None and not self._sure


def beds_of(batches: Sequence[Batch], standing: Sequence[Place]) -> tuple[Bed, ...]:
    """The places where the batches of one kiln burned.

    batches : of one kiln; standing : where it stands and once stood, which is where those burned that say no place
    """
    said: list[list[Batch]] = []
    loose = [batch for batch in batches if batch.at is None]
    for batch in batches:
        if batch.at is not None:
            own = next((each for each in said if _near(_at(each[0]), batch.at)), None)
            said.append([batch]) if own is None else own.append(batch)
    places = [_at(each[0]) for each in said] + (list(standing) if loose or not said else [])
    if len(said) <= 1 and all(_near(places[0], place) for place in places):
        return (Bed(tuple(dict.fromkeys(places)), tuple(batches)),)
    found = [Bed(tuple(dict.fromkeys(map(_at, each))), tuple(each)) for each in said]
    return (*found, *((Bed(tuple(dict.fromkeys(standing)), tuple(loose)),) if loose or not said else ()))


def split(said: str) -> tuple[str, Place | None, bool]:
    """What a look was at: its kiln, the place as `Bed.named` writes it, and whether one of several is named."""
    found = _NAMED.fullmatch(said.strip())
    if found is None:
        return said, None, False
    place = None if found["lat"] is None else (float(found["lon"]), float(found["lat"]))
    return found["kiln"], place, True


def looks_of(bed: Bed, beds: Sequence[Bed], place: str, looks: Iterable[tuple[str, Look]], names: Places) -> list[Look]:
    """The looks that tell of one bed.

    bed : of `beds`; place : of its kiln, as `place_of`; looks : (what it was at, as said, and the look), of the site
    names : as `places_of`

    What was found not cold at a place that cannot be told apart counts everywhere; a cold one nowhere.
    """
    found = []
    for said, look in looks:
        kiln, at, apart = split(said)
        where, _, spot = place_of(kiln, names)
        if where != place:
            if look.found != "cold" and spot is None:
                found.append(look)
            continue
        answers = [each for each in beds if each.answers(at)] if apart else _burned_last(beds, look)
        if bed in answers or (look.found != "cold" and (not apart or not answers)):
            found.append(look)
    return found


def _burned_last(beds: Sequence[Bed], look: Look) -> list[Bed]:
    """Where the kiln burned last before a look; a look without a time is one of the evening."""
    if len(beds) == 1 or look.on is None:
        return list(beds) if len(beds) == 1 else []
    seen = look.moment or dt.datetime.combine(look.on, dt.time.max)
    begun = {
        batch.time("lit") or dt.datetime.combine(batch.on, dt.time.min): bed
        for bed in beds
        for batch in bed.batches
        if batch.on is not None
    }
    earlier = [moment for moment in begun if moment <= seen]
    return [begun[max(earlier)]] if earlier else []


def _at(batch: Batch) -> Place:
    assert batch.at is not None
    return batch.at


def _near(one: Place, other: Place) -> bool:
    return one == other or _metres(one, other) <= tables.value("cold", "same_ground")


@lru_cache(maxsize=1024)
def _metres(one: Place, other: Place) -> float:
    return float(Geod(ellps="WGS84").inv(*one, *other)[2])
