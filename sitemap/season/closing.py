"""Closing a site: bags counted and weighed, what is still left, what is still open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap import tables
from sitemap.season.batches import Batch, batches_of
from sitemap.season.cold_of_site import Burned
from sitemap.site.model import Entry, Site

STEPS = ("checked", "roots", "char", "gear", "ground", "told")  # of the close-out, as the cold sheet words them
GONE = ("burned", "cold")
_HEAPS = ("pile", "windrow")


@dataclass(frozen=True)
class Bags:
    """Bags of char.

    count : bags in all; m3 : what they hold [m³]; weighed : of them those with a weight; kg : of those [kg]
    places : (where they stand or went, how many), the most first; empty text where nobody said
    """

    count: int
    m3: float
    weighed: int
    kg: float
    places: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Step:
    """One step of the close-out. key : of `STEPS`; who, when : empty where it is not done."""

    key: str
    who: str
    when: str

    @property
    def done(self) -> bool:
        """Whether somebody signed and dated it."""
        return bool(self.who and self.when)


@dataclass(frozen=True)
class Closing:
    """How far a site is closed.

    bags : of char; char_m3 : counted in buckets by the log [m³]; heaps_left : names of heaps not burned
    not_cold : places where something burned that is not proved cold; steps : of the close-out
    """

    bags: Bags
    char_m3: float
    heaps_left: tuple[str, ...]
    not_cold: tuple[Burned, ...]
    steps: tuple[Step, ...]

    @property
    def begun(self) -> bool:
        """Whether anything has burned or was bagged."""
        return bool(self.char_m3 or self.bags.count or self.not_cold or any(step.done for step in self.steps))

    @property
    def closed(self) -> bool:
        """Everything cold, and every step signed; a heap that stays lying is no bar, and is named."""
        return not self.not_cold and all(step.done for step in self.steps)


def closing_of(site: Site, burned: Iterable[Burned], bucket_l: float) -> Closing:
    """How far a site is closed.

    site : as entered; burned : `burned_of` it; bucket_l : what people call a bucket [L]
    """
    return Closing(
        bags_of(site.records("bags")),
        char_counted_m3(batches_of(site), bucket_l),
        tuple(heap.name for heap in site.of_kind(*_HEAPS) if heap.choice("status") not in GONE),
        tuple(each for each in burned if not each.proved),
        tuple(_step(site, key) for key in STEPS),
    )


def bags_of(rows: Iterable[Entry]) -> Bags:
    """Bags by their rows; a row whose count cannot be read counts none, and `check` says so.

    >>> bags_of(()).count
    0
    """
    usual_l = tables.value("kiln_burning", "bulk_bag")
    count = weighed = 0
    m3 = kg = 0.0
    places: Counter[str] = Counter()
    for row in rows:
        own = row.integer("count") if row.has("count") else 1
        if not own:
            continue
        weight = row.number("weight_kg")
        count += own
        m3 += own * (row.number("litres") or usual_l) / 1000
        weighed += own if weight is not None else 0
        kg += own * (weight or 0.0)
        places[(row.text("goes_to") or "").strip()] += own
    return Bags(count, m3, weighed, kg, tuple(places.most_common()))


def char_counted_m3(batches: Iterable[Batch], bucket_l: float) -> float:
    """Char the log counted [m³]. batches : of it; bucket_l : of one bucket [L]"""
    return sum((batch.figure("buckets") or 0.0) for batch in batches) * bucket_l / 1000


def _step(site: Site, key: str) -> Step:
    for tick in site.records("ticks"):
        said = (tick.text("what") or "").strip().casefold().replace(" ", "_")
        who, when = (tick.text("who") or "").strip(), (tick.text("when") or "").strip()
        if said == f"close_{key}" and who and when:
            return Step(key, who, when)
    return Step(key, "", "")
