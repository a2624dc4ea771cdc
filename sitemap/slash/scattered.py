"""The scattered slash of a Site: all its transects together, by the area they stand for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import Array, Drawn, Measured, draw_cv, fixed
from sitemap.reasons import Quantity, Term, percent, reason
from sitemap.slash import intersect
from sitemap.slash.inputs import (
    Input,
    density_input,
    drivers_of,
    made,
    shares,
    species_density,
    spread,
    weaker,
    weakest,
)
from sitemap.slash.records import Sorting, Tallied, Transect
from sitemap.slash.result import Figures, Said, SlashItem
from sitemap.slash.wood import ROTTEN, density_of

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

    transect: Transect
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


def scattered(transects: tuple[Transect, ...], said: Said, piece_limit_cm: float | None = None) -> Scattered | None:
    """All lines taken together; None without a line that can be used. Thicker than the limit [cm] is oversize."""
    lines = tuple(line for each in transects if (line := _read(each, said)) is not None)
    if not lines:
        return None
    names = tuple(line.transect.about for line in lines)
    lengths = np.array([line.length_m for line in lines])
    mean, scatter = intersect.several_lines([line.t_ha for line in lines], lengths)
    sorting, parts = _sorting(lines, names, said, piece_limit_cm)
    if mean == 0:
        said.leave_open("nothing_crossed", reason("slash.nothing_crossed"), *names)
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
    figures = Figures(
        gross_m3=None,
        wood_m3=Drawn(found.m3_ha * area_ha),
        dry_t=Drawn(dry_t),
        green_t=None if water is None else Drawn(dry_t * (1 + water)),
        char_stock_dry_t=Drawn(dry_t * char),
        oversize_dry_t=Drawn(dry_t * oversize),
        fines_dry_t=Drawn(dry_t * fines),
        drivers=drivers_of(found.inputs),
    )
    behind = [each.basis for each in found.inputs if each.quantity != "char_stock"]
    basis, char_t = weakest(behind) if dry_t[0] else "measured", figures.char_stock_dry_t.likely
    return SlashItem(SCATTERED, Term("Scattered slash"), "transect", basis, figures, char_t=char_t)


def area_stood_for(transects: tuple[Transect, ...], logged_area_ha: float | None, said: Said) -> float | None:
    """The area [ha] the lines stand for: the largest one typed, else the logged area, else None."""
    typed = {each.about: each.area_ha for each in transects if each.area_ha is not None}
    if len(set(typed.values())) > 1:
        said.leave_open("areas_differ", reason("slash.areas_differ"), *typed)
    if typed:
        return max(typed.values())
    if logged_area_ha is None:
        said.leave_open("no_area", reason("slash.no_area"), *(each.about for each in transects))
    return logged_area_ha


def _read(line: Transect, said: Said) -> Line | None:
    length = _level_length(line, said)
    if length is None:
        said.leave_open("no_length", reason("slash.no_length"), line.about)
        return None
    if not line.sound:
        said.leave_open("unsound", reason("slash.tally_unsound"), line.about)
        return None
    if not line.entered:
        said.leave_open("no_tally", reason("slash.no_tally"), line.about)
        return None
    typed = line.length_m or 0.0
    shrink = length / typed if typed >= SHORTEST_M else 1.0
    pieces, (counts, refused) = _pieces(line, said), _counts(line, length, shrink, said)
    if refused and not pieces and not counts:
        return None  # what was crossed is not known: that is not nothing
    for name, _, _ in counts:
        row = intersect.size_class(name)
        if any(row["above_cm"] < piece.diameter_cm <= row["to_cm"] for piece in pieces):
            said.leave_open("double_tally", reason("slash.double_tally", size_class=name), line.about)
    return Line(line, length, pieces, counts)


def _level_length(line: Transect, said: Said) -> float | None:
    typed = line.length_m
    if typed is None or typed < SHORTEST_M:
        return line.drawn_m if line.drawn_m >= SHORTEST_M else None  # a map is level already
    if line.taped is None:
        said.assume("taped", reason("slash.taped_not_given"), line.about)
    if line.slope_pct is None and line.taped != "horizontal":
        said.assume("slope", reason("slash.slope_not_given"), line.about)
    return float(intersect.level_length(typed, line.taped or "slope", line.slope_pct or 0.0))


def _pieces(line: Transect, said: Said) -> tuple[Piece, ...]:
    if not line.pieces:
        return ()
    rotten = made("density", species_density(ROTTEN), "site", "estimated", f"density:{ROTTEN}")
    own = any(not piece.rotten and piece.wood is None for piece in line.pieces)
    usual = density_input(line.wood, line.about, said) if own else rotten
    return tuple(
        Piece(piece.diameter_cm, rotten if piece.rotten else _density(piece, usual, line, said))
        for piece in line.pieces
    )


def _density(piece: Tallied, usual: Input, line: Transect, said: Said) -> Input:
    if piece.wood is None:
        return usual
    try:
        row = density_of(piece.wood)
        return made("density", species_density(row.key), "site", "estimated", f"density:{row.key}")
    except BadValue as bad:
        said.leave_open("unknown_wood", reason("slash.wood_of_the_line", why=bad.reason), line.about)
        return density_input(line.wood, line.about, said)


def _counts(
    line: Transect, length_m: float, shrink: float, said: Said
) -> tuple[tuple[tuple[str, int, float], ...], bool]:
    """The counted classes as (class, count, t/ha), and whether one was refused."""
    found, refused = [], False
    for each in line.counts:
        stretch = each.length_m * shrink if each.length_m >= SHORTEST_M else length_m
        try:
            mass = float(intersect.class_mass_per_ha(each.size_class, each.count, stretch))
        except BadValue as bad:
            refused = True
            said.leave_open("bad_class", reason("slash.class_left_out", why=bad.reason), line.about)
            continue
        found.append((each.size_class, each.count, mass))
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
            density, diameters = woods.get(piece.density.stream, (piece.density, []))
            woods[piece.density.stream] = weaker(density, piece.density), [*diameters, piece.diameter_cm]
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
    typed = [line.transect.sorting for line in lines]
    char = _mean([each.char_stock.likely if each.char_stock else None for each in typed])
    thick = _mean([each.oversize for each in typed])
    fines = _mean([each.fines for each in typed])
    pieces = [piece for line in lines for piece in line.pieces]
    if (char, thick, fines) == (None, None, None) and pieces:
        limit = piece_limit_cm or tables.value("sorting", "oversize_above")
        all_t = sum(line.t_ha * line.length_m for line in lines)
        thick_t = sum(
            _pieces_t_ha([p for p in line.pieces if p.diameter_cm > limit], line.length_m) * line.length_m
            for line in lines
        )
        thick = thick_t / all_t if all_t > 0 else None
        if thick is not None:
            told = reason("slash.oversize_by_tally", limit=Quantity(limit, "cm", 2), share=percent(100 * thick))
            said.assume("oversize_by_tally", told, *names)
    return shares(Sorting(None if char is None else Measured(char, None, None, "estimated"), thick, fines), names, said)


def _mean(shares_typed: Sequence[float | None]) -> float | None:
    """Mean of what the lines say [fraction], None where none says it."""
    typed = [share for share in shares_typed if share is not None]
    return float(np.mean(typed)) if typed else None
