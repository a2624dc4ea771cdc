"""Kiln shapes against a mesh library, numerical integration and published arithmetic."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sitemap.errors import BadValue
from sitemap.kiln.shapes import Hollow, prismatoid_volume, steel_mass

if TYPE_CHECKING:
    import trimesh

SIZE = st.floats(0.1, 10)
TROUGH = Hollow("trough", 0.9, 2.4, 1.2, 2.0, 0.8)


def rectangle(length: float, width: float, z: float) -> list[tuple[float, float, float]]:
    return [(x * length / 2, y * width / 2, z) for x in (-1, 1) for y in (-1, 1)]


def circle(diameter: float, z: float, corners: int = 720) -> list[tuple[float, float, float]]:
    turn = np.linspace(0, 2 * math.pi, corners, endpoint=False)
    return [(diameter / 2 * math.cos(a), diameter / 2 * math.sin(a), z) for a in turn]


def hull(bottom: list, top: list) -> trimesh.Trimesh:
    import trimesh  # dear to load: only where it is asked

    return trimesh.convex.convex_hull(np.array(bottom + top))


def test_published_trough_and_its_part_fill() -> None:
    """Derived here (D): 2.4×1.2 over 2.0×0.8 m, 0.9 deep = 1.992 m³, filled to 0.6 m = 1.198 m³."""
    assert TROUGH.volume_m3 == pytest.approx(1.992, abs=5e-4)
    assert TROUGH.volume_to(0.6) == pytest.approx(1.198, abs=5e-4)


def test_published_frustum_in_litres() -> None:
    """Derived here (D): 59 in across over 24 in, 24 in high = 563.5 L."""
    inch = 0.0254
    cone = Hollow("frustum", 24 * inch, 59 * inch, 59 * inch, 24 * inch, 24 * inch)
    assert 1000 * cone.volume_m3 == pytest.approx(563.5, abs=0.05)


def test_published_truncated_pyramid() -> None:
    """Numerical integration (D): 6×4 → 3×1.5 m, 1.8 high = 23.40000 m³."""
    assert prismatoid_volume(1.8, 6.0, 4.0, 3.0, 1.5) == pytest.approx(23.4, abs=5e-6)


@pytest.mark.parametrize(
    ("kiln", "bottom", "top"),
    [
        (TROUGH, rectangle(2.0, 0.8, 0), rectangle(2.4, 1.2, 0.9)),
        (Hollow("box", 1.1, 3.0, 1.5, 3.0, 1.5), rectangle(3.0, 1.5, 0), rectangle(3.0, 1.5, 1.1)),
        (Hollow("frustum", 0.7, 1.5, 1.5, 0.9, 0.9), circle(0.9, 0), circle(1.5, 0.7)),
        (Hollow("ring", 0.6, 1.8, 1.8, 1.8, 1.8), circle(1.8, 0), circle(1.8, 0.6)),
    ],
)
def test_agrees_with_a_mesh(kiln: Hollow, bottom: list, top: list) -> None:
    """trimesh: volume, and surface less the open top. 720 sides fall 1.3e-5 short of a circle's area."""
    mesh = hull(bottom, top)
    assert kiln.volume_m3 == pytest.approx(mesh.volume, rel=3e-5)
    assert kiln.steel_area_m2(True) == pytest.approx(mesh.area - kiln.open_area_m2, rel=3e-5)


@given(SIZE, SIZE, SIZE, SIZE, SIZE, st.floats(0.01, 1))
def test_agrees_with_integration_of_levels(h: float, l1: float, w1: float, l2: float, w2: float, part: float) -> None:
    """Area of each level, integrated numerically from the bottom up."""
    kiln = Hollow("trough", h, l1, w1, l2, w2)
    area = quad(lambda z: (l2 + (l1 - l2) * z / h) * (w2 + (w1 - w2) * z / h), 0, h * part)[0]
    assert kiln.volume_to(h * part) == pytest.approx(area, rel=1e-9)


@given(SIZE, SIZE, SIZE, st.floats(0.5, 3))
def test_law_volume_grows_with_the_cube_and_steel_with_the_square(h: float, d: float, b: float, k: float) -> None:
    small, large = Hollow("frustum", h, d, d, b, b), Hollow("frustum", h * k, d * k, d * k, b * k, b * k)
    assert large.volume_m3 == pytest.approx(small.volume_m3 * k**3)
    assert large.steel_area_m2(True) == pytest.approx(small.steel_area_m2(True) * k**2)


def test_law_a_cone_is_a_third_of_its_cylinder_and_upside_down_is_the_same() -> None:
    def volume(top: float, bottom: float) -> float:
        return Hollow("frustum", 1.0, top, top, bottom, bottom).volume_m3

    assert volume(2.0, 1e-9) * 3 == pytest.approx(volume(2.0, 2.0))
    assert volume(2.0, 1.2) == pytest.approx(volume(1.2, 2.0))


def test_law_floor_is_the_only_difference_of_a_ring_without_one() -> None:
    ring = Hollow("ring", 0.6, 2.0, 2.0, 2.0, 2.0)
    assert ring.steel_area_m2(True) - ring.steel_area_m2(False) == pytest.approx(math.pi)


def test_law_arrays_take_the_same_path() -> None:
    depths = np.array([0.0, 0.3, 0.9])
    assert TROUGH.volume_to(depths) == pytest.approx([TROUGH.volume_to(float(depth)) for depth in depths])


def test_published_steel_plate_by_hand() -> None:
    """EN 1993-1-2 clause 3.2.2 (S): 7850 kg/m³, so a square metre of 3 mm plate weighs 23.55 kg."""
    assert steel_mass(1.0, 3.0, 7850.0) == pytest.approx(23.55)


def test_refuses_unknown_shape_and_sizes() -> None:
    with pytest.raises(BadValue, match="oval"):
        Hollow("oval", 1, 1, 1, 1, 1)
    with pytest.raises(BadValue, match=r"Depth of the kiln .*0.* m"):
        Hollow("box", 0, 1, 1, 1, 1)
    with pytest.raises(BadValue, match="Bottom width"):
        prismatoid_volume(1, 1, 1, 1, -1)
    with pytest.raises(BadValue, match="Rim"):
        TROUGH.volume_to(1.0)
