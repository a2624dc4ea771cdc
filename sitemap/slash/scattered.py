"""The scattered slash of a Site: all its transects together, by the area they stand for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane
from sitemap.ranges import Array, Drawn, draw_cv, fixed
from sitemap.site.model import Entry, Feature, Measured
from sitemap.slash import intersect
from sitemap.slash.heaps import on_plane
from sitemap.slash.inputs import (
    Input,
    clause,
    density_input,
    drivers_of,
    made,
    name_of,
    shares,
    species_density,
    spread,
    weakest,
)
from sitemap.slash.result import Said, SlashItem
from sitemap.slash.wood import ROTTEN, density_of, wood_key
from sitemap.units import text

SCATTERED = "scattered_slash"
SHORTEST_M = 0.1  # [m] a line shorter than this is a slip, not a line


@dataclass(frozen=True, eq=False)
class Piece:
    """One measured piece with the drawn density of its wood."""

    diameter_cm: float
    density: Input


@dataclass(frozen=True, eq=False)
class Line:
    """One line as read: level length [m], measured pieces, counted classes as (class, count, t/ha)."""

    feature: Feature
    length_m: float
    pieces: tuple[Piece, ...]
    counts: tuple[tuple[str, int, float], ...]

    @property
    def t_ha(self) -> float:
        """Dry mass by this line alone at the likely densities [t/ha]."""
        return _pieces_t_ha(self.pieces, self.length_m) + sum(mass for _, _, mass in self.counts)


@dataclass(frozen=True, eq=False)
class Scattered:
    """Scattered slash per hectare in drawn numbers, and what stands behind it."""

    t_ha: Array
    m3_ha: Array
    inputs: tuple[Input, ...]
    sorting: tuple[Array, Array, Array]


def scattered(
    transects: tuple[Feature, ...], plane: Plane | None, said: Said, piece_limit_cm: float | None = None
) -> Scattered | None:
    """All lines taken together; None without a line that can be used. Thicker than the limit [cm] is oversize."""
    lines = tuple(line for each in transects if (line := _read(each, plane, said)) is not None)
    if not lines:
        return None
    names = tuple(name_of(line.feature) for line in lines)
    lengths = np.array([line.length_m for line in lines])
    mean, scatter = intersect.several_lines([line.t_ha for line in lines], lengths)
    sorting, parts = _sorting(lines, names, said, piece_limit_cm)
    if mean == 0:
        said.leave_open(
            "nothing_crossed", "no piece crossed the line: there may still be some, tape more lines", *names
        )
        return Scattered(fixed(0.0), fixed(0.0), (sorting,), parts)
    error = _error_of_tally(lines) if scatter is None else scatter
    tally = made("tally", draw_cv(1.0, error, about="site", quantity="tally"), "site", "measured")
    masses, volumes, inputs = _by_wood(lines, float(np.sum(lengths)))
    t_ha, m3_ha = masses * tally.values, volumes * tally.values
    return Scattered(t_ha, m3_ha, (tally, *inputs, sorting), parts)


def scattered_item(found: Scattered, area_ha: float, water: Array | None) -> SlashItem:
    """The scattered slash as one item over the area [ha] it stands for, with a moisture [dry basis] where known."""
    dry_t = found.t_ha * area_ha
    char, oversize, fines = found.sorting
    return SlashItem(
        id=SCATTERED,
        name="Scattered slash",
        kind="transect",
        gross_m3=None,
        wood_m3=Drawn(found.m3_ha * area_ha),
        dry_t=Drawn(dry_t),
        green_t=None if water is None else Drawn(dry_t * (1 + water)),
        char_stock_dry_t=Drawn(dry_t * char),
        oversize_dry_t=Drawn(dry_t * oversize),
        fines_dry_t=Drawn(dry_t * fines),
        basis=weakest(each.basis for each in found.inputs if each.quantity != "char_stock") if dry_t[0] else "measured",
        drivers=drivers_of(found.inputs),
    )


def area_stood_for(transects: tuple[Feature, ...], logged_area_ha: float | None, said: Said) -> float | None:
    """The area [ha] the lines stand for: the largest one typed, else the logged area, else None."""
    typed = {each: area for each in transects if (area := each.number("area_ha")) is not None}
    if len(set(typed.values())) > 1:
        told = "the lines name different areas, the largest is taken: give the area all lines stand for together"
        said.leave_open("areas_differ", told, *(name_of(each) for each in typed))
    if typed:
        return max(typed.values())
    if logged_area_ha is None:
        told = "no logged area drawn and none typed, scattered slash is known per hectare only and not in the sums"
        said.leave_open("no_area", told, *(name_of(each) for each in transects))
    return logged_area_ha


def _read(line: Feature, plane: Plane | None, said: Said) -> Line | None:
    length = _level_length(line, plane, said)
    if length is None:
        said.leave_open("no_length", "length not known, left out: draw the line or type its length", name_of(line))
        return None
    if not _sound_tally(line):
        told = "the tally cannot be used as entered, left out: give every piece a thickness and every class a count"
        said.leave_open("unsound", told, name_of(line))
        return None
    if not line.has("pieces") and not line.has("classes"):
        said.leave_open("no_tally", "no piece measured or counted, left out: type the tally", name_of(line))
        return None
    typed = line.number("length_m") or 0.0
    shrink = length / typed if typed >= SHORTEST_M else 1.0
    pieces, (counts, refused) = _pieces(line, said), _counts(line, length, shrink, said)
    if refused and not pieces and not counts:
        return None  # what was crossed is not known: that is not nothing
    for name, _, _ in counts:
        row = intersect.size_class(name)
        if any(row["above_cm"] < piece.diameter_cm <= row["to_cm"] for piece in pieces):
            told = f"pieces as thick as the class {name} are both measured and counted, twice in the sum: keep one"
            said.leave_open("double_tally", told, name_of(line))
    return Line(line, length, pieces, counts)


def _sound_tally(line: Feature) -> bool:
    """Whether every piece and count typed can be used: a tally that cannot be read is not an empty one."""
    for key, wanted in (("pieces", "diameter_cm"), ("classes", "count")):
        records = line.attribute(key).read(line.raw(key))
        if line.has(key) and records is None:
            return False
        if any(record.has(wanted) and record.number(wanted) is None for record in line.records(key)):
            return False
    return True


def _level_length(line: Feature, plane: Plane | None, said: Said) -> float | None:
    typed = line.number("length_m")
    if typed is None or typed < SHORTEST_M:
        drawn_line = on_plane(line, plane, ("LineString", "MultiLineString"))
        length = 0.0 if drawn_line is None else measure.length_m(drawn_line)  # a map is level already
        return length if length >= SHORTEST_M else None
    taped = line.choice("taped")
    if taped is None:
        said.assume("taped", "tape taken as laid along the slope", name_of(line))
    slope = line.number("slope_pct")
    if slope is None and taped != "horizontal":
        said.assume("slope", "slope of the line not given, taken as level", name_of(line))
    return float(intersect.level_length(typed, taped or "slope", slope or 0.0))


def _pieces(line: Feature, said: Said) -> tuple[Piece, ...]:
    records = [record for record in line.records("pieces") if record.number("diameter_cm") is not None]
    if not records:
        return ()
    rotten = made("density", species_density(ROTTEN), "site", "estimated", f"density:{ROTTEN}")
    own = [record for record in records if not record.flag("rotten") and record.text("wood") is None]
    usual = density_input(line, said) if own else rotten
    return tuple(
        Piece(
            record.number("diameter_cm") or 0.0,
            rotten if record.flag("rotten") else _density(record, usual, line, said),
        )
        for record in records
    )


def _density(record: Entry, usual: Input, line: Feature, said: Said) -> Input:
    name = record.text("wood")
    if name is None:
        return usual
    try:
        return made("density", species_density(name), "site", "estimated", f"density:{density_of(name).key}")
    except BadValue as bad:
        said.leave_open("unknown_wood", f"{clause(bad, said)}; it counts as the wood of the line", name_of(line))
        return density_input(line, said)


def _counts(
    line: Feature, length_m: float, shrink: float, said: Said
) -> tuple[tuple[tuple[str, int, float], ...], bool]:
    """The counted classes as (class, count, t/ha), and whether one was refused."""
    found, refused = [], False
    for record in line.records("classes"):
        name, count = wood_key(record.text("size_class") or ""), record.integer("count")
        if not count:
            continue
        typed = record.number("length_m") or 0.0
        stretch = typed * shrink if typed >= SHORTEST_M else length_m
        try:
            found.append((name, count, float(intersect.class_mass_per_ha(name, count, stretch))))
        except BadValue as bad:
            refused = True
            said.leave_open("bad_class", f"{clause(bad, said)}; it is left out", name_of(line))
    return tuple(found), refused


def _pieces_t_ha(pieces: Sequence[Piece], length_m: float) -> float:
    densities = [piece.density.values[0] for piece in pieces]
    return intersect.mass_per_ha([piece.diameter_cm for piece in pieces], densities, length_m)


def _error_of_tally(lines: tuple[Line, ...]) -> float:
    """Relative error from the pieces alone, measured and counted together, all lines as one long line."""
    pieces = [piece for line in lines for piece in line.pieces]
    counted = [(mass * line.length_m, count) for line in lines for _, count, mass in line.counts]
    total = sum(line.t_ha * line.length_m for line in lines)
    counted_mass = sum(mass for mass, _ in counted)
    variance = 0.0
    if pieces:
        thick, weights = [p.diameter_cm for p in pieces], [p.density.values[0] for p in pieces]
        variance += (intersect.error_of_pieces(thick, weights) * (total - counted_mass)) ** 2
    if counted:
        variance += (
            intersect.error_of_counts([m for m, _ in counted], [n for _, n in counted], 0.0) * counted_mass
        ) ** 2
    return float(np.sqrt(variance)) / total


def _by_wood(lines: tuple[Line, ...], length_m: float) -> tuple[Array, Array, tuple[Input, ...]]:
    """Drawn mass [t/ha] and volume [m³/ha], and the errors of density and class as factors of the mass."""
    woods: dict[str, tuple[Input, list[float]]] = {}
    for line in lines:
        for piece in line.pieces:
            woods.setdefault(piece.density.stream, (piece.density, []))[1].append(piece.diameter_cm)
    mass, volume, inputs = fixed(0.0), fixed(0.0), []
    for density, diameters in woods.values():
        part = intersect.volume_per_ha(diameters, length_m)
        mass, volume = mass + part * density.values / 1000, volume + part
    counted = sum(t_ha * line.length_m for line in lines for _, _, t_ha in line.counts) / length_m
    total = mass[0] + counted
    for density, diameters in woods.values():
        weight = intersect.mass_per_ha(diameters, density.values[0], length_m) / total
        factor = 1 + weight * (density.values / density.values[0] - 1)
        inputs.append(made("density", density.values, "site", density.basis, density.stream, factor))
    if counted:
        factor = draw_cv(1.0, spread("size_class"), about="site", quantity="size_class")
        gravity = sum(
            t_ha * line.length_m / (1000 * intersect.size_class(name)["s"])
            for line in lines
            for name, _, t_ha in line.counts
        )
        mass, volume = mass + counted * factor, volume + 1000 * gravity / length_m * factor
        inputs.append(made("size_class", factor, "site", "estimated", factor=1 + counted / total * (factor - 1)))
    return mass, volume, tuple(inputs)


def _sorting(
    lines: tuple[Line, ...], names: tuple[tuple[str, str], ...], said: Said, piece_limit_cm: float | None
) -> tuple[Input, tuple[Array, Array, Array]]:
    """Shares typed on the lines (their mean); where none are, what is too thick comes from the tally."""
    keys = ("char_stock_fraction", "oversize_fraction", "fines_fraction")
    typed = [[v for line in lines if (v := line.feature.number(key)) is not None] for key in keys]
    char, thick, fines = (float(np.mean(values)) if values else None for values in typed)
    pieces = [piece for line in lines for piece in line.pieces]
    if (char, thick, fines) == (None, None, None) and pieces:
        limit = piece_limit_cm or float(tables.load("sorting")["oversize_above"]["value"])
        all_t = sum(line.t_ha * line.length_m for line in lines)
        thick_t = sum(
            _pieces_t_ha([p for p in line.pieces if p.diameter_cm > limit], line.length_m) * line.length_m
            for line in lines
        )
        thick = thick_t / all_t if all_t > 0 else None
        if thick is not None:
            above = text(limit, "cm", said.system, 2)
            told = f"pieces above {above} are taken as too thick for the kiln, {100 * thick:.0f} % by the tally"
            said.assume("oversize_by_tally", told, *names)
    return shares((None if char is None else Measured(char, None, None, "estimated"), thick, fines), names, said)
