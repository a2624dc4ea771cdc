"""Heap shapes against numerical integration, a mesh library and published values."""

from __future__ import annotations

import csv
import doctest
import importlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import simpson

from sitemap.errors import BadValue
from sitemap.slash import volume
from sitemap.slash.volume import SHAPES, heap_volume, windrow_volume
from tests.properties import examples

PUBLISHED = Path(__file__).parents[1] / "published"
STEADY = examples(60)
size = st.floats(0.2, 60, allow_nan=False)

# One heap of each shape, its ends or its top unequal in both ways.
HEAPS = {
    "dome": {"length_m": 7.0, "width_m": 4.0, "height_m": 1.8},
    "mound": {"length_m": 7.0, "width_m": 4.0, "height_m": 1.8},
    "cone": {"length_m": 7.0, "width_m": 4.0, "height_m": 1.8},
    "ridge": {"length_m": 7.0, "width_m": 4.0, "height_m": 1.8},
    "tapered_ridge": {"length_m": 9.0, "width_m": 5.0, "height_m": 1.4, "width_b_m": 2.0, "height_b_m": 2.1},
    "rounded_ridge": {"length_m": 9.0, "width_m": 5.0, "height_m": 1.4, "width_b_m": 2.0, "height_b_m": 2.1},
    "block": {"length_m": 6.0, "width_m": 4.0, "height_m": 1.8, "length_b_m": 3.0, "width_b_m": 1.5},
}
SOLIDS = sorted(HEAPS)


def published_rows():
    with (PUBLISHED / "slash_shapes.csv").open(encoding="utf-8") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", published_rows(), ids=lambda row: f"{row['shape']}-{row['length_m']}")
def test_published_shapes(row):
    """Project's table of solids by numerical integration (D), printed to 1e-5 m³."""
    sizes = {key: float(value) for key, value in row.items() if key not in ("shape", "volume_m3") and value}
    assert heap_volume(row["shape"], **sizes) == pytest.approx(float(row["volume_m3"]), abs=6e-6)


@pytest.mark.parametrize(("section", "expected"), [("round", 39.58407), ("parabola", 33.6), ("triangle", 25.2)])
def test_published_windrow_sections(section, expected):
    """Project's table of solids (D): w 4, l 7, h 1.8 m; the round section is the half cylinder row."""
    assert windrow_volume(section, 7.0, 4.0, 1.8) == pytest.approx(expected, abs=6e-6)


def test_published_one_size_three_shapes():
    """From 0.50 (cone) over 0.75 (mound) and 1.00 (dome) to 1.91 (box) for equal sizes (D, printed to 0.01)."""
    dome = heap_volume("dome", **HEAPS["dome"])
    box = heap_volume("block", **HEAPS["dome"], length_b_m=7.0, width_b_m=4.0)
    found = [heap_volume(shape, **HEAPS["dome"]) / dome for shape in ("cone", "mound")]
    assert [*found, box / dome] == pytest.approx([0.50, 0.75, 1.91], abs=0.005)


# --- the surface of each heap over the ground, height above (x, y), written from the description of the shape


def height_field(shape, x, y, s):
    length, width, height = s["length_m"], s["width_m"], s["height_m"]
    r2 = (2 * x / length) ** 2 + (2 * y / width) ** 2
    if shape == "dome":
        return height * np.sqrt(np.maximum(1 - r2, 0))
    if shape == "mound":
        return height * np.maximum(1 - r2, 0)
    if shape == "cone":
        return height * np.maximum(1 - np.sqrt(r2), 0)
    if shape == "ridge":
        return height * np.sqrt(np.maximum(1 - (2 * y / width) ** 2, 0)) + 0 * x
    # the ridges lie along x from 0 to length
    start = s["width_m"] / 2 if shape == "rounded_ridge" else 0.0
    stop = length - (s["width_b_m"] / 2 if shape == "rounded_ridge" else 0.0)
    along = np.clip((x - start) / (stop - start), 0, 1)
    half = (width + (s["width_b_m"] - width) * along) / 2
    top = height + (s["height_b_m"] - height) * along
    beyond = np.maximum(
        np.maximum(start - x, x - stop), 0
    )  # into the rounding: an ellipsoid as long as it is half wide
    return top * np.sqrt(np.maximum(1 - (y / half) ** 2 - (beyond / half) ** 2, 0))


@pytest.mark.parametrize("shape", [s for s in SOLIDS if s != "block"])
def test_agrees_with_integral_of_height_over_ground(shape):
    """scipy's simpson twice over the height of the surface on 2001 × 2001 places, to 0.1 %."""
    s = HEAPS[shape]
    half = max(s["width_m"], s.get("width_b_m", 0)) / 2
    lengthwise = shape in ("tapered_ridge", "rounded_ridge")
    x = np.linspace(0, s["length_m"], 2001) - (0 if lengthwise else s["length_m"] / 2)
    y = np.linspace(-half, half, 2001)
    found = simpson(simpson(height_field(shape, x[:, None], y[None, :], s), x=y, axis=1), x=x)
    assert heap_volume(shape, **s) == pytest.approx(found, rel=1e-3)


# --- the same solids as closed meshes


def stacked(outlines):
    """A closed mesh through a stack of outlines (k, n, 3), the first and the last closed by a fan."""
    import trimesh  # dear to load: only where it is asked

    layers, points = outlines.shape[:2]
    vertices = np.vstack([outlines.reshape(-1, 3), outlines[0].mean(axis=0), outlines[-1].mean(axis=0)])
    at = np.arange(layers * points).reshape(layers, points)
    after = np.roll(at, -1, axis=1)
    low, low_after, high, high_after = at[:-1].ravel(), after[:-1].ravel(), at[1:].ravel(), after[1:].ravel()
    bottom, top = layers * points, layers * points + 1
    faces = np.vstack(
        [
            np.column_stack([low, low_after, high_after]),
            np.column_stack([low, high_after, high]),
            np.column_stack([np.full(points, bottom), after[0], at[0]]),
            np.column_stack([np.full(points, top), at[-1], after[-1]]),
        ]
    )
    return trimesh.Trimesh(vertices, faces, process=False)


def mesh_of(shape, s):
    turn = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    z = np.linspace(0, 1, 241)
    length, width, height = s["length_m"], s["width_m"], s["height_m"]
    if shape in ("dome", "mound", "cone"):  # ellipses shrinking upwards
        shrink = {"dome": np.sqrt(1 - z**2), "mound": np.sqrt(1 - z), "cone": 1 - z}[shape][:, None]
        x, y = shrink * np.cos(turn) * length / 2, shrink * np.sin(turn) * width / 2
        return stacked(np.stack([x, y, np.broadcast_to(z[:, None] * height, x.shape)], axis=2))
    if shape == "block":
        corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) / 2
        base, top = corners * [length, width], corners * [s["length_b_m"], s["width_b_m"]]
        return stacked(np.stack([np.column_stack([base, [0] * 4]), np.column_stack([top, [height] * 4])]))
    # ridges: half ellipses along x, the rounded ends as quarter turns of the same half ellipse
    wide_b, high_b = s.get("width_b_m", width), s.get("height_b_m", height)
    arc = np.linspace(0, np.pi, 240)
    body = np.column_stack([z * length, width + (wide_b - width) * z, height + (high_b - height) * z])
    if shape == "rounded_ridge":
        quarter = np.linspace(0, np.pi / 2, 120)[:, None]
        body = np.column_stack([width / 2 + z * (length - width / 2 - wide_b / 2), body[:, 1:]])
        near = np.hstack([width / 2 * (1 - np.sin(quarter)), width * np.cos(quarter), height * np.cos(quarter)])[::-1]
        far = np.hstack(
            [length - wide_b / 2 * (1 - np.sin(quarter)), wide_b * np.cos(quarter), high_b * np.cos(quarter)]
        )
        body = np.vstack([near[:-1], body, far[1:]])
    x, wide, high = (column[:, None] for column in body.T)
    y, up = wide / 2 * np.cos(arc), high * np.sin(arc)
    return stacked(np.stack([np.broadcast_to(x, y.shape), y, up], axis=2))


@pytest.mark.parametrize("shape", SOLIDS)
def test_agrees_with_mesh_library(shape):
    """trimesh's volume of the closed mesh; a mesh of 240 steps lies within 0.1 % inside the curved surface."""
    mesh = mesh_of(shape, HEAPS[shape])
    mesh.merge_vertices()
    assert heap_volume(shape, **HEAPS[shape]) == pytest.approx(abs(mesh.volume), rel=1e-3)


@STEADY
@given(size, size, size, st.floats(0.5, 3))
def test_law_each_size_counts_once(length, width, height, factor):
    """Stretching a three-size heap in one direction stretches its volume by as much."""
    for shape in ("dome", "mound", "cone", "ridge"):
        plain = heap_volume(shape, length_m=length, width_m=width, height_m=height)
        assert heap_volume(shape, length_m=length * factor, width_m=width, height_m=height) == pytest.approx(
            factor * plain
        )
        assert heap_volume(shape, length_m=length, width_m=width, height_m=height * factor) == pytest.approx(
            factor * plain
        )


@STEADY
@given(st.sampled_from(sorted(SHAPES)), size, size, size, st.floats(0.5, 3))
def test_law_scale_cubed(shape, a, b, c, scale):
    """Every length times s makes the volume times s³."""
    sizes = {"length_m": a + b + c, "width_m": b, "height_m": c, "length_b_m": a, "width_b_m": c, "height_b_m": b}
    bigger = {name: value * scale for name, value in sizes.items()}
    assert heap_volume(shape, **bigger) == pytest.approx(scale**3 * heap_volume(shape, **sizes))


@STEADY
@given(size, size, size)
def test_law_order_of_shapes_and_equal_ends(length, width, height):
    """Cone < mound < dome < ridge < block of the same sizes; a ridge with equal ends is a ridge."""
    three = {"length_m": length + width, "width_m": width, "height_m": height}
    ends = {"length_b_m": length + width, "width_b_m": width, "height_b_m": height}
    row = [heap_volume(shape, **three, **ends) for shape in ("cone", "mound", "dome", "ridge", "block")]
    assert row == sorted(row)
    assert heap_volume("tapered_ridge", **three, **ends) == pytest.approx(row[3])
    assert heap_volume("mean_block", **three, **ends) == pytest.approx(row[4])
    assert row[2] < heap_volume("rounded_ridge", **three, **ends) < row[3]


def test_law_arrays_take_the_same_path():
    for shape, sizes in HEAPS.items():
        many = {name: np.array([value, 2 * value]) for name, value in sizes.items()}
        found = heap_volume(shape, **many)
        assert found.shape == (2,)
        assert found == pytest.approx([heap_volume(shape, **sizes), 8 * heap_volume(shape, **sizes)])


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
def test_refuses_sizes_that_are_none(value):
    with pytest.raises(BadValue, match="height must be above 0 m"):
        heap_volume("dome", length_m=4.0, width_m=3.0, height_m=value)


def test_refuses_unknown_shape_missing_end_and_short_ridge():
    with pytest.raises(BadValue, match=r"dome.*it is 'pyramid'"):
        heap_volume("pyramid", length_m=1.0, width_m=1.0, height_m=1.0)
    with pytest.raises(BadValue, match="width at the other end"):
        heap_volume("tapered_ridge", length_m=4.0, width_m=3.0, height_m=1.0)
    with pytest.raises(BadValue, match="at least half of both widths"):
        heap_volume("rounded_ridge", length_m=2.0, width_m=3.0, height_m=1.0, width_b_m=3.0, height_b_m=1.0)
    with pytest.raises(BadValue, match=r"round.*it is 'square'"):
        windrow_volume("square", 5.0, 2.0, 1.0)


MODULES = ("volume", "wood", "packing", "moisture", "intersect", "footprint", "calibrate", "inputs")


@pytest.mark.parametrize("name", MODULES)
def test_agrees_with_examples_in_docstrings(name):
    """The small cases by hand that stand in the docstrings of the room."""
    assert doctest.testmod(importlib.import_module(f"sitemap.slash.{name}")).failed == 0


def test_law_names_agree_with_the_schema():
    """The shapes a form offers are the shapes there are."""
    from sitemap.site.kinds import KINDS

    assert KINDS["pile"].attribute("shape").choice_keys == tuple(volume.SHAPES)
    assert KINDS["windrow"].attribute("section").choice_keys == tuple(volume.SECTIONS)
