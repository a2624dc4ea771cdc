"""What was said of a heap, a windrow or a taped line, as typed values: read once (`reading.py`), then computed with."""

from __future__ import annotations

from dataclasses import dataclass

from sitemap.ranges import Measured

Calibrated = tuple[tuple[str, float, float], ...]  # (look, packing ratio, its variation) of heaps weighed


@dataclass(frozen=True, slots=True)
class Wood:
    """What wood it is: its density typed [kg/m³], else a mixture as (name, share), else a name; all blank: not said."""

    density: Measured | None = None
    mix: tuple[tuple[str, float], ...] = ()
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Sorting:
    """Shares of the dry mass [fraction] as typed; None where blank."""

    char_stock: Measured | None = None
    oversize: float | None = None
    fines: float | None = None


@dataclass(frozen=True, slots=True)
class MeterReading:
    """One moisture reading.

    moisture_pct : [%] of the weight that basis says; without a basis of its own it has that of the heap
    core : on a freshly split face; else on the outside, which dries first
    wood_c : temperature of the wood [°C]
    """

    moisture_pct: float
    basis: str | None
    core: bool = False
    wood_c: float | None = None


@dataclass(frozen=True, slots=True)
class Heap:
    """One pile or windrow.

    gone : burned already
    sizes : what of its sizes was entered at all, usable or not
    length, width, height : [m]; length_b, width_b, height_b [m] at the other end or the top
    moisture : [%] of the weight that moisture_basis says
    readings : those of the latest day
    unsound : labels of what sets its mass and was typed but cannot be used
    """

    id: str
    name: str
    kind: str
    gone: bool = False
    sizes: frozenset[str] = frozenset()
    length: Measured | None = None
    width: Measured | None = None
    height: Measured | None = None
    length_b: float | None = None
    width_b: float | None = None
    height_b: float | None = None
    shape: str | None = None
    section: str | None = None
    packing: str | None = None
    packing_ratio: Measured | None = None
    soil: str | None = None
    soil_fraction: Measured | None = None
    wood: Wood = Wood()
    rotten_fraction: float | None = None
    dry_t_weighed: float | None = None
    mass_green_t: float | None = None
    moisture: Measured | None = None
    moisture_basis: str | None = None
    readings: tuple[MeterReading, ...] = ()
    sorting: Sorting = Sorting()
    unsound: tuple[str, ...] = ()

    @property
    def about(self) -> tuple[str, str]:
        """(id, name) as notes want it."""
        return self.id, self.name


@dataclass(frozen=True, slots=True)
class OnMap:
    """What the map tells of a heap [m, m²]: sides and area of its outline, or the length of its line; 0 where not."""

    length_m: float
    width_m: float = 0.0
    area_m2: float = 0.0


@dataclass(frozen=True, slots=True)
class Tallied:
    """One piece that crossed the line [cm]: rotten, of a wood of its own, or as the line says."""

    diameter_cm: float
    rotten: bool = False
    wood: str | None = None


@dataclass(frozen=True, slots=True)
class Counted:
    """Pieces of one size class counted on a stretch [m]; 0 is the whole line."""

    size_class: str
    count: int
    length_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Transect:
    """One taped line.

    length_m, slope_pct, taped : as typed; drawn_m : level length on the map [m], 0 where not drawn
    sound : every piece and count typed can be used; entered : a tally was typed, if only an empty one
    """

    id: str
    name: str
    length_m: float | None = None
    drawn_m: float = 0.0
    taped: str | None = None
    slope_pct: float | None = None
    area_ha: float | None = None
    wood: Wood = Wood()
    sorting: Sorting = Sorting()
    pieces: tuple[Tallied, ...] = ()
    counts: tuple[Counted, ...] = ()
    sound: bool = True
    entered: bool = False

    @property
    def about(self) -> tuple[str, str]:
        """(id, name) as notes want it."""
        return self.id, self.name
