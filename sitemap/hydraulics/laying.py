"""Which hoses lie on the ground for a way of a given length: whole lengths only, in the order they are joined.

Area of reach and single kiln spot read these same functions, so they cannot disagree about the hose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import positive, within
from sitemap.hydraulics.friction import Numbers
from sitemap.ranges import Array

SLACK = 0.10  # share added to a way for bends and play: 5–15 %, common practice, no source


@dataclass(frozen=True)
class Piece:
    """One hose length on hand.

    kind : id of the hose it is of
    rated_kpa : pressure it is rated for, None where not known
    name : of the hose
    share : of all there is of that hose
    coupling_mm : or None
    """

    length_m: float
    bore_mm: float
    roughness_c: float = 140.0
    kind: str = ""
    rated_kpa: float | None = None
    name: str = ""
    share: float = 0.0
    coupling_mm: float | None = None


def laid_by_run(route_m: Numbers, pieces: Sequence[Piece], slack: float = SLACK) -> tuple[tuple[Piece, Array], ...]:
    """Length of each hose of one size on the way, in the order joined.

    Whole pieces are laid, in order, until the way with its slack is covered. Neighbouring pieces of the same bore,
    roughness and kind make one run.

    Parameters
    ----------
    route_m : scalar or array [m]
    pieces : the hoses on hand, from the pump on
    slack : share added to the way

    Returns
    -------
    ((a piece standing for its run, length of the run [m] in the shape of route_m), …); NaN where the hoses on hand do
    not reach

    Raises
    ------
    BadValue : a piece not above zero, slack outside its limits

    References
    ----------
    Adding up to whole lengths (P); slack 5–15 % C.

    >>> [float(length) for _, length in laid_by_run(50.0, [Piece(20.0, 38.1)] * 4)]
    [60.0]
    """
    ends = np.concatenate([[0.0], np.cumsum(_lengths([piece.length_m for piece in pieces]))])
    index = _pieces_needed(route_m, ends, slack)
    laid = np.append(ends, np.nan)[index]
    runs: list[tuple[Piece, Array]] = []
    start = 0
    for number in range(1, len(pieces) + 1):
        if number < len(pieces) and _same_run(pieces[number], pieces[start]):
            continue
        length = np.clip(laid - ends[start], 0.0, ends[number] - ends[start])
        runs.append((pieces[start], np.asarray(length)))
        start = number
    return tuple(runs)


def pieces_needed(route_m: Numbers, pieces: Sequence[Piece], slack: float = SLACK) -> NDArray[np.int_]:
    """How many of the pieces, from the first on, lie on a way, scalar or array [m]; one more than there are where they
    do not reach.
    """
    ends = np.concatenate([[0.0], np.cumsum(_lengths([piece.length_m for piece in pieces]))])
    return np.asarray(_pieces_needed(route_m, ends, slack), dtype=int)


def _same_run(one: Piece, other: Piece) -> bool:
    return (one.bore_mm, one.roughness_c, one.kind) == (other.bore_mm, other.roughness_c, other.kind)


def _lengths(piece_lengths_m: Sequence[float]) -> Array:
    return np.asarray(positive("Hose length", np.asarray(piece_lengths_m, dtype=float), "m"))


def _pieces_needed(route_m: Numbers, ends: Array, slack: float) -> Array:
    """Number of pieces for a way; one more than there are where it is out of reach or not known."""
    asked = np.asarray(route_m, dtype=float) * (1.0 + within("Slack", slack, 0.0, 0.5))
    # a millimetre of rounding in a measured way must not cost a whole hose
    index = np.searchsorted(ends, asked - 1e-3, side="left")
    return np.where(np.isnan(asked), len(ends), index)
