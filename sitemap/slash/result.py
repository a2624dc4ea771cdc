"""What the slash room hands back, and the list of what it had to assume or leave open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from sitemap.notes import Note
from sitemap.ranges import Drawn

QUANTITIES: Mapping[str, str] = MappingProxyType(
    {
        "length": "length",
        "width": "width",
        "height": "height",
        "shape": "shape",
        "packing": "wood share of the heap",
        "earth": "earth in it",
        "density": "density of the wood",
        "weighed": "weight",
        "char_stock": "sorting",
        "tally": "pieces on the lines",
        "size_class": "thickness classes",
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
    def told(self) -> str:
        """The unknown for a person: "wood share of the heap (loose brush)"."""
        of = f" ({self.of.replace('_', ' ')})" if self.of and self.of != "typed" else ""
        return f"{QUANTITIES[self.quantity]}{of}"


@dataclass(frozen=True)
class SlashItem:
    """One heap, one windrow, or the scattered slash of all lines.

    Volumes [m³], masses [t, oven-dry but for green_t]; None is not known.
    basis : the weakest behind the dry mass; drivers : what widens the char stock, widest first
    fuel : "ready", "drying", "wet" or "not known"
    share_too_wet : share of its pieces still above 20 % of the wet weight, by its readings; None without two of them
    """

    id: str
    name: str
    kind: str
    gross_m3: Drawn | None
    wood_m3: Drawn
    dry_t: Drawn
    green_t: Drawn | None
    char_stock_dry_t: Drawn
    oversize_dry_t: Drawn
    fines_dry_t: Drawn
    basis: str
    drivers: tuple[Driver, ...]
    fuel: str = "not known"
    share_too_wet: float | None = None


@dataclass(frozen=True)
class Slash:
    """How much there is. Heaps without a size, and heaps burned already, are not in the sums; the notes name them.

    scattered_dry_t_per_ha : by the transects alone, also where no area is known
    drivers : which unknown widens the char stock of the whole site most, widest first
    """

    dry_t: Drawn
    green_t: Drawn | None
    dry_t_per_ha: Drawn | None
    char_stock_dry_t: Drawn
    oversize_dry_t: Drawn
    fines_dry_t: Drawn
    logged_area_ha: float | None
    scattered_dry_t_per_ha: Drawn | None
    items: tuple[SlashItem, ...]
    drivers: tuple[Driver, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]

    @property
    def counted(self) -> bool:
        """Whether anything could be counted: if not, the sums are zero because nothing is known."""
        return bool(self.items)


@dataclass
class Said:
    """Collects notes while features are read; one sentence said of several features is worded once.

    system : units of the sentences, "metric" or "us"
    """

    system: str = "metric"
    _assumed: dict[tuple[str, str], list[tuple[str, str]]] = field(default_factory=dict)
    _unknowns: dict[tuple[str, str], list[tuple[str, str]]] = field(default_factory=dict)

    def assume(self, what: str, text: str, *features: tuple[str, str]) -> None:
        """Note something assumed: the rest of a sentence that begins with the names; features are (id, name)."""
        self._assumed.setdefault((what, text), []).extend(features)

    def leave_open(self, what: str, text: str, *features: tuple[str, str]) -> None:
        """Note something not known or not sound, likewise."""
        self._unknowns.setdefault((what, text), []).extend(features)

    def add(self, other: Said) -> None:
        """Take over what was said elsewhere."""
        for (what, text), features in other._assumed.items():
            self.assume(what, text, *features)
        for (what, text), features in other._unknowns.items():
            self.leave_open(what, text, *features)

    @property
    def assumed(self) -> tuple[Note, ...]:
        """Notes on what was assumed, in the order met."""
        return _notes(self._assumed)

    @property
    def unknowns(self) -> tuple[Note, ...]:
        """Notes on what is not known, in the order met."""
        return _notes(self._unknowns)


def _notes(said: Mapping[tuple[str, str], list[tuple[str, str]]]) -> tuple[Note, ...]:
    """One note for each feature, so that each finds its own; features of which the same is said share its sentence."""
    notes = []
    for (what, text), met in said.items():
        features = dict(met)
        names = list(features.values())
        shown = ", ".join(names if len(names) <= 6 else [*names[:5], f"{len(names) - 5} more"])
        sentence = f"{shown}: {text}." if shown else f"{text[0].upper()}{text[1:]}."
        notes += [Note(about, what, sentence) for about in features or ("site",)]
    return tuple(notes)
