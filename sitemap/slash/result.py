"""What the slash room hands back, and the list of what it had to assume or leave open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Protocol

from sitemap.notes import Note
from sitemap.ranges import Array, Drawn
from sitemap.reasons import Reason, Term, reason

NAMED = 5  # so many names are told, and how many more there are

QUANTITIES: Mapping[str, Term] = MappingProxyType(
    {
        "length": Term("length"),
        "width": Term("width"),
        "height": Term("height"),
        "shape": Term("shape"),
        "packing": Term("wood share of the heap"),
        "earth": Term("earth in it"),
        "density": Term("density of the wood"),
        "weighed": Term("weight"),
        "char_stock": Term("sorting"),
        "tally": Term("pieces on the lines"),
        "size_class": Term("thickness classes"),
    }
)


@dataclass(frozen=True)
class Driver:
    """One unknown behind a figure, and how much of its range it makes.

    quantity : key of QUANTITIES
    about : feature id, or "site" for an error that heaps share
    of : which of them share it: the sketch, the wood, …; empty where it says nothing more
    basis : "measured", "estimated" or "assumed"
    share : of the range of the char stock, squared as errors add up, what goes when it alone is known, 0 to 1
    half_range : half of the low-to-high range it alone gives the figure, as a share of it
    """

    quantity: str
    about: str
    of: str
    basis: str
    share: float
    half_range: float

    @property
    def what(self) -> Reason:
        """The unknown for a person: "wood share of the heap (loose brush)"."""
        quantity = QUANTITIES[self.quantity]
        if not self.of or self.of == "typed":
            return reason("slash.unknown_behind", quantity=quantity)
        return reason("slash.unknown_of", quantity=quantity, of=Term(self.of.replace("_", " ")))


@dataclass(frozen=True)
class Figures:
    """What one item amounts to: volumes [m³], masses [t, oven-dry but for green_t]; None is not known.

    drivers : what widens the char stock, widest first
    """

    gross_m3: Drawn | None
    wood_m3: Drawn
    dry_t: Drawn
    green_t: Drawn | None
    char_stock_dry_t: Drawn
    oversize_dry_t: Drawn
    fines_dry_t: Drawn
    drivers: tuple[Driver, ...]

    def made(self) -> Figures:
        """Themselves: they need no making."""
        return self

    def char_stock_t(self) -> Array:
        """The draws of the char stock [t]."""
        return self.char_stock_dry_t.values


class Maker(Protocol):
    """Something hashable that makes the figures of an item when somebody looks at them."""

    def made(self) -> Figures:
        """The figures, the same at every asking."""

    def char_stock_t(self) -> Array:
        """The draws of the char stock alone [t]: much less work than all figures."""


@dataclass(frozen=True)
class Dryness:
    """What the latest readings of a heap tell of its wood.

    count, cores : readings it is judged by, and how many of them were of the core
    above : of them above the limit
    mean_pct, limit_pct : [% of the wet weight], cold wood allowed for
    low, likely, high : share of the pieces above the limit [share]
    more : readings like these that would prove it dry; 0 proved, None where no number of them would
    """

    count: int
    cores: int
    above: int
    mean_pct: float
    limit_pct: float
    low: float
    likely: float
    high: float
    more: int | None


@dataclass(frozen=True)
class SlashItem:
    """One heap, one windrow, or the scattered slash of all lines.

    basis : the weakest behind the dry mass
    source : makes its figures, at the first look
    fuel : "ready", "drying", "wet" or "not known"
    dryness : by its readings; None without two of them
    large_m3 : gross volume of a heap, likely and 90th percentile [m³], or None where it is not known
    large_t : 90th percentile of the dry mass of a heap [t]; None of scattered slash
    char_t : likely char stock [t]
    """

    id: str
    name: str
    kind: str
    basis: str
    source: Maker
    fuel: str = "not known"
    dryness: Dryness | None = None
    large_m3: tuple[float, float] | None = None
    large_t: float | None = None
    char_t: float = 0.0

    @property
    def share_too_wet(self) -> float | None:
        """Share of its pieces still above the limit, or None."""
        return None if self.dryness is None else self.dryness.likely

    @property
    def gross_m3(self) -> Drawn | None:
        """Gross volume [m³], or None."""
        return self.source.made().gross_m3

    @property
    def wood_m3(self) -> Drawn:
        """Volume of the wood [m³]."""
        return self.source.made().wood_m3

    @property
    def dry_t(self) -> Drawn:
        """Dry mass [t]."""
        return self.source.made().dry_t

    @property
    def green_t(self) -> Drawn | None:
        """Mass with its water [t], or None."""
        return self.source.made().green_t

    @property
    def char_stock_dry_t(self) -> Drawn:
        """Dry mass of what goes in a kiln [t]; drawn when it is looked at."""
        return _CharStock(self.source, self.char_t)

    @property
    def oversize_dry_t(self) -> Drawn:
        """Dry mass of what is too thick [t]."""
        return self.source.made().oversize_dry_t

    @property
    def fines_dry_t(self) -> Drawn:
        """Dry mass of the fines [t]."""
        return self.source.made().fines_dry_t

    @property
    def drivers(self) -> tuple[Driver, ...]:
        """What widens its char stock, widest first."""
        return self.source.made().drivers


class _CharStock(Drawn):
    """The char stock of an item, drawn at the first look; it is known again by what it is made of."""

    source: Maker
    known_t: float

    def __init__(self, source: Maker, known_t: float) -> None:
        object.__setattr__(self, "source", source)
        object.__setattr__(self, "known_t", known_t)

    @property
    def values(self) -> Array:
        """The draws [t]."""
        return self.source.char_stock_t()

    @property
    def likely(self) -> float:
        """As the sums have it: nothing is drawn for it."""
        return self.known_t

    def __eq__(self, other: object) -> bool:
        return self.source == other.source if isinstance(other, _CharStock) else super().__eq__(other)

    def __hash__(self) -> int:
        return hash(self.source)


@dataclass(frozen=True, eq=False)
class Slash:
    """How much there is. Heaps without a size, and heaps burned already, are not in the sums; the notes name them.

    drivers : which unknown widens the char stock of the whole site most, widest first
    """

    dry_t: Drawn
    green_t: Drawn | None
    dry_t_per_ha: Drawn | None
    char_stock_dry_t: Drawn
    oversize_dry_t: Drawn
    fines_dry_t: Drawn
    logged_area_ha: float | None
    items: tuple[SlashItem, ...]
    drivers: tuple[Driver, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]

    def __eq__(self, other: object) -> bool:
        return self is other or (
            isinstance(other, Slash)
            and (self.items, self.dry_t, self.green_t, self.logged_area_ha)
            == (other.items, other.dry_t, other.green_t, other.logged_area_ha)
            and (self.assumed, self.unknowns) == (other.assumed, other.unknowns)
        )

    def __hash__(self) -> int:
        return hash((self.dry_t, self.char_stock_dry_t, len(self.items)))  # of a hundred thousand items, each is much

    @property
    def counted(self) -> bool:
        """Whether anything could be counted: if not, the sums are zero because nothing is known."""
        return bool(self.items)

    @property
    def fuel(self) -> dict[str, str]:
        """How dry each heap is by its readings, by its id."""
        return {item.id: item.fuel for item in self.items}


@dataclass
class Said:
    """Collects notes while heaps and lines are reckoned; what is said of several is one finding."""

    _assumed: dict[tuple[str, Reason], list[tuple[str, str]]] = field(default_factory=dict)
    _unknowns: dict[tuple[str, Reason], list[tuple[str, str]]] = field(default_factory=dict)

    def assume(self, what: str, found: Reason, *features: tuple[str, str]) -> None:
        """Note something assumed; features are (id, name), none where it is said of the site."""
        self._assumed.setdefault((what, found), []).extend(features)

    def leave_open(self, what: str, found: Reason, *features: tuple[str, str]) -> None:
        """Note something not known or not sound, likewise."""
        self._unknowns.setdefault((what, found), []).extend(features)

    def add(self, other: Said) -> None:
        """Take over what was said elsewhere."""
        for mine, theirs in ((self._assumed, other._assumed), (self._unknowns, other._unknowns)):
            for key, features in theirs.items():
                mine.setdefault(key, []).extend(features)

    @property
    def assumed(self) -> tuple[Note, ...]:
        """Notes on what was assumed, in the order met."""
        return _notes(self._assumed)

    @property
    def unknowns(self) -> tuple[Note, ...]:
        """Notes on what is not known, in the order met."""
        return _notes(self._unknowns)


def _notes(said: Mapping[tuple[str, Reason], list[tuple[str, str]]]) -> tuple[Note, ...]:
    """One note for each feature, so that each finds its own; features of which the same is said share its finding."""
    notes = []
    for (what, found), met in said.items():
        features = dict(met)
        told = _of(tuple(features.values()), found)
        notes += [Note(about, what, told) for about in features or ("site",)]
    return tuple(notes)


def _of(names: tuple[str, ...], found: Reason) -> Reason:
    if not names:
        return found
    more = len(names) - NAMED
    if more <= 1:
        return reason("slash.of_heaps", names=names, what=found)
    return reason("slash.of_heaps_and_more", names=names[:NAMED], more=more, what=found)
