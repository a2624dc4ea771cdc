"""Gross volume of heaps and windrows: own names for plain solids.

For the same length, width and height the shape alone moves the volume from 0.50 (cone) over 0.75 (mound) and
1.00 (dome) to 1.91 (block), so the page shows the sketches before the figures.

Letters: l length, w width, h height; A the near end or the base, B the far end or the top.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from sitemap.errors import BadValue, positive
from sitemap.ranges import Numbers
from sitemap.reasons import Term, as_typed, reason

DIMENSIONS: Mapping[str, str] = MappingProxyType(
    {
        "length_m": "length",
        "width_m": "width",
        "height_m": "height",
        "length_b_m": "length at the other end or the top",
        "width_b_m": "width at the other end or the top",
        "height_b_m": "height at the other end",
    }
)


def dome(length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    """Half an ellipsoid standing on its flat side, V = π·l·w·h/6.

    Parameters
    ----------
    length_m, width_m, height_m : scalar or (n,) [m]; all above 0, else BadValue

    Returns
    -------
    the gross volume, same shape [m³]

    References
    ----------
    Geometry, evidence D. Half a sphere of radius 1 m has 2π/3 m³:.

    >>> round(dome(2.0, 2.0, 1.0), 5)
    2.0944
    """
    return np.pi / 6 * _box(length_m, width_m, height_m)


def mound(length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    """An elliptic paraboloid: round on top, running out flatter than a dome, V = π·l·w·h/8.

    Parameters
    ----------
    length_m, width_m, height_m : scalar or (n,) [m]; all above 0, else BadValue

    Returns
    -------
    the gross volume, same shape [m³]

    References
    ----------
    Geometry, D. Three quarters of the dome.

    >>> round(mound(4.0, 4.0, 1.8) / dome(4.0, 4.0, 1.8), 5)
    0.75
    """
    return np.pi / 8 * _box(length_m, width_m, height_m)


def cone(length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    """A cone on an ellipse, V = π·l·w·h/12.

    Parameters
    ----------
    length_m, width_m, height_m : scalar or (n,) [m]; all above 0, else BadValue

    Returns
    -------
    the gross volume, same shape [m³]

    References
    ----------
    Geometry (D).

    >>> round(cone(2.0, 2.0, 3.0) / np.pi, 5)
    1.0
    """
    return np.pi / 12 * _box(length_m, width_m, height_m)


def ridge(length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    """Half an ellipse as section all along the length, upright ends, V = π·l·w·h/4.

    Parameters
    ----------
    length_m, width_m, height_m : scalar or (n,) [m]; all above 0, else BadValue

    Returns
    -------
    the gross volume, same shape [m³]

    References
    ----------
    Geometry (D).

    >>> round(ridge(1.0, 2.0, 1.0), 5)
    1.5708
    """
    return np.pi / 4 * _box(length_m, width_m, height_m)


def tapered_ridge(
    length_m: Numbers, width_m: Numbers, height_m: Numbers, width_b_m: Numbers, height_b_m: Numbers
) -> Numbers:
    """A ridge that narrows evenly from end A to end B, upright ends.

    Section half an ellipse whose width and height both run straight from A to B, so
    V = ∫ π·w(x)·h(x)/4 dx = π·l·(2·wA·hA + 2·wB·hB + wA·hB + wB·hA)/24. With w = 2h this is the half frustum of a
    cone, π·l·(hA² + hB² + hA·hB)/6.

    Parameters
    ----------
    length_m : scalar or (n,) [m], above 0
    width_m, height_m : of end A, scalar or (n,) [m], above 0
    width_b_m, height_b_m : of end B, scalar or (n,) [m], above 0

    Returns
    -------
    the gross volume, same shape [m³]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Geometry (D) (half frustum of a cone where w = 2h).

    >>> round(tapered_ridge(7.0, 2.4, 1.2, 4.0, 2.0), 5)
    28.7351
    """
    length, w_a, h_a = _sizes(length_m=length_m, width_m=width_m, height_m=height_m)
    w_b, h_b = _sizes(width_b_m=width_b_m, height_b_m=height_b_m)
    return np.pi * length * (2 * w_a * h_a + 2 * w_b * h_b + w_a * h_b + w_b * h_a) / 24


def rounded_ridge(
    length_m: Numbers, width_m: Numbers, height_m: Numbers, width_b_m: Numbers, height_b_m: Numbers
) -> Numbers:
    """A tapered ridge whose two ends are rounded off; the length is the whole length, ends included.

    Each end is a quarter of an ellipsoid, half its width long: π·w²·h/12. Between them stands a tapered ridge of
    l − wA/2 − wB/2. With w = 2h this is π·[l'(wA² + wB² + wA·wB) + wA³ + wB³]/24, l' the part between the ends.

    Parameters
    ----------
    length_m : of the whole, scalar or (n,) [m]
    width_m, height_m : of end A, scalar or (n,) [m]
    width_b_m, height_b_m : of end B, scalar or (n,) [m]

    Returns
    -------
    the gross volume, same shape [m³]

    Raises
    ------
    BadValue : a size not above 0, or the whole length shorter than half of both widths

    References
    ----------
    Geometry (D).

    >>> float(round(rounded_ridge(2.0, 2.0, 1.0, 2.0, 1.0) / dome(2.0, 2.0, 1.0), 5))
    1.0
    """
    length, w_a, h_a = _sizes(length_m=length_m, width_m=width_m, height_m=height_m)
    w_b, h_b = _sizes(width_b_m=width_b_m, height_b_m=height_b_m)
    between = length - (w_a + w_b) / 2
    if np.any(between < -1e-9 * length):
        ends_m, whole_m = as_typed(float(np.max((w_a + w_b) / 2)), "m"), as_typed(float(np.min(length)), "m")
        raise BadValue(reason("slash.shorter_than_its_ends", ends=ends_m, length=whole_m))
    ends = np.pi / 12 * (w_a**2 * h_a + w_b**2 * h_b)
    return np.pi * np.maximum(between, 0) * (2 * w_a * h_a + 2 * w_b * h_b + w_a * h_b + w_b * h_a) / 24 + ends


def block(length_m: Numbers, width_m: Numbers, height_m: Numbers, length_b_m: Numbers, width_b_m: Numbers) -> Numbers:
    """A stack with level top and rectangular base (a prismatoid), V = h·(2lw + 2l'w' + lw' + l'w)/6, ' the top.

    The mean-area pyramid form h·(A₁ + A₂ + √(A₁A₂))/3 is right only where base and top are alike in proportion.

    Parameters
    ----------
    length_m, width_m : of the base, scalar or (n,) [m], above 0
    height_m : scalar or (n,) [m], above 0
    length_b_m, width_b_m : of the top, scalar or (n,) [m], above 0

    Returns
    -------
    the gross volume, same shape [m³]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Geometry (D).

    >>> round(block(6.0, 4.0, 1.8, 3.0, 1.5), 5)
    23.4
    """
    length, width, height = _sizes(length_m=length_m, width_m=width_m, height_m=height_m)
    l_top, w_top = _sizes(length_b_m=length_b_m, width_b_m=width_b_m)
    return height * (2 * length * width + 2 * l_top * w_top + length * w_top + l_top * width) / 6


def mean_block(
    length_m: Numbers, width_m: Numbers, height_m: Numbers, length_b_m: Numbers, width_b_m: Numbers, height_b_m: Numbers
) -> Numbers:
    """An irregular stack by the means of opposite sides, V = (l₁ + l₂)(w₁ + w₂)(h₁ + h₂)/8: a rule, not exact.

    Parameters
    ----------
    length_m, width_m, height_m, length_b_m, width_b_m, height_b_m : each side and its opposite, scalar or (n,) [m];
        all above 0, else BadValue

    Returns
    -------
    the gross volume, same shape [m³]

    References
    ----------
    Mean of opposite sides, a rule of the trade (D).

    >>> round(mean_block(7.0, 2.4, 1.5, 6.0, 4.0, 2.1), 5)
    37.44
    """
    length, width, height = _sizes(length_m=length_m, width_m=width_m, height_m=height_m)
    l_b, w_b, h_b = _sizes(length_b_m=length_b_m, width_b_m=width_b_m, height_b_m=height_b_m)
    return (length + l_b) * (width + w_b) * (height + h_b) / 8


def section_area(section: str, width_m: Numbers, height_m: Numbers) -> Numbers:
    """Area of a windrow's section: round π·w·h/4, parabola 2·w·h/3, triangle w·h/2.

    Parameters
    ----------
    section : key of SECTIONS
    width_m, height_m : scalar or (n,) [m], above 0

    Returns
    -------
    the area, same shape [m²]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Geometry (D).

    >>> section_area("triangle", 4.0, 1.8)
    3.6
    """
    if section not in SECTIONS:
        raise BadValue(
            reason("slash.one_of", what=Term("The section of a windrow"), choices=tuple(SECTIONS), entered=section)
        )
    width, height = _sizes(width_m=width_m, height_m=height_m)
    return SECTIONS[section] * width * height


def windrow_volume(section: str, length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    """Gross volume of a windrow: its section times its length.

    Parameters
    ----------
    section : key of SECTIONS
    length_m, width_m, height_m : scalar or (n,) [m], above 0

    Returns
    -------
    the volume, same shape [m³]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Geometry (D).

    >>> round(windrow_volume("parabola", 7.0, 4.0, 1.8), 5)
    33.6
    """
    return section_area(section, width_m, height_m) * _sizes(length_m=length_m)[0]


def heap_volume(shape: str, **sizes_m: Numbers) -> Numbers:
    """Gross volume of a heap by the name of its shape.

    Parameters
    ----------
    shape : key of SHAPES
    sizes_m : the dimensions that SHAPES[shape].needed names, scalar or (n,) [m]; others are left unread

    Returns
    -------
    the volume, same shape [m³]

    Raises
    ------
    BadValue : no such shape, a dimension missing, or not above 0

    References
    ----------
    Each formula bears its own (D, S).

    >>> round(heap_volume("ridge", length_m=7.0, width_m=4.0, height_m=1.8), 5)
    39.58407
    """
    if shape not in SHAPES:
        raise BadValue(reason("slash.one_of", what=Term("The shape of a heap"), choices=tuple(SHAPES), entered=shape))
    form = SHAPES[shape]
    missing = [Term(DIMENSIONS[name]) for name in form.needed if sizes_m.get(name) is None]
    if missing:
        raise BadValue(reason("slash.needs_its_sizes", shape=Term(form.key.replace("_", " ")), missing=tuple(missing)))
    return form.volume(**{name: sizes_m[name] for name in form.needed})


@dataclass(frozen=True)
class HeapShape:
    """One shape of heap: its key, the sizes it needs, its formula, whether it stands on a round base."""

    key: str
    needed: tuple[str, ...]
    volume: Callable[..., Numbers]
    round_base: bool = False


_THREE = ("length_m", "width_m", "height_m")
_ENDS = (*_THREE, "width_b_m", "height_b_m")
SHAPES: Mapping[str, HeapShape] = MappingProxyType(
    {
        form.key: form
        for form in (
            HeapShape("dome", _THREE, dome, round_base=True),
            HeapShape("mound", _THREE, mound, round_base=True),
            HeapShape("cone", _THREE, cone, round_base=True),
            HeapShape("ridge", _THREE, ridge),
            HeapShape("block", ("length_m", "width_m", "height_m", "length_b_m", "width_b_m"), block),
            HeapShape("tapered_ridge", _ENDS, tapered_ridge),
            HeapShape("rounded_ridge", _ENDS, rounded_ridge),
            HeapShape("mean_block", (*_THREE, "length_b_m", "width_b_m", "height_b_m"), mean_block),
        )
    }
)
SECTIONS: Mapping[str, float] = MappingProxyType({"round": np.pi / 4, "parabola": 2 / 3, "triangle": 1 / 2})


def _sizes(**sizes_m: Numbers) -> list[Numbers]:
    checked = [positive(f"The {DIMENSIONS[key]}", value, "m") for key, value in sizes_m.items()]
    return [value if isinstance(value, int | float) else np.asarray(value) for value in checked]


def _box(length_m: Numbers, width_m: Numbers, height_m: Numbers) -> Numbers:
    length, width, height = _sizes(length_m=length_m, width_m=width_m, height_m=height_m)
    return length * width * height
