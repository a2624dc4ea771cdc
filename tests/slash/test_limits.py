"""Limits of wood and heaps, tried on the limit and to both sides of it."""

from __future__ import annotations

import numpy as np
import pytest

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import N_DRAWS, Measured
from sitemap.slash import dryness, moisture
from sitemap.slash.footprint import compare, sides_of, typed_footprint
from sitemap.slash.fuel import dryness_of, fuel_of, judged_by, told_of
from sitemap.slash.records import Heap, MeterReading
from sitemap.slash.result import Said
from sitemap.slash.volume import dome, rounded_ridge
from sitemap.telling import tell
from tests.slash.builders import pile, slash, whats


def heap(*readings: MeterReading, basis: str | None = None) -> Heap:
    typed = None if basis is None else Measured(10.0, None, None, basis)
    return Heap("p", "P", "pile", readings=readings, moisture=typed, moisture_basis="dry")


def read(pct: float, basis: str = "dry", core: bool = True, wood_c: float | None = 21.1) -> MeterReading:
    return MeterReading(pct, basis, core, wood_c)


def said_of(*readings: MeterReading) -> tuple[str, set[str]]:
    said = Said()
    fuel, _ = fuel_of(heap(*readings), None, said)
    return fuel, {note.what for note in (*said.assumed, *said.unknowns)}


@pytest.mark.parametrize(("wood_c", "frozen"), [(0.1, False), (0.0, False), (-0.1, True)])
def test_law_wood_below_the_freezing_point_is_frozen_and_proves_nothing(wood_c: float, frozen: bool) -> None:
    fuel, notes = said_of(*[read(8.0, wood_c=wood_c)] * 6)
    assert ("frozen_wood" in notes) == frozen
    assert fuel == ("drying" if frozen else "ready")


@pytest.mark.parametrize(("pct", "above"), [(29.9, False), (30.1, True)])
def test_law_above_fibre_saturation_a_meter_guesses(pct: float, above: bool) -> None:
    """30 % of the dry weight: Wood Handbook 2021, chapter 4 (S)."""
    assert ("above_saturation" in said_of(*[read(pct)] * 3)[1]) == above


@pytest.mark.parametrize(("count", "fuel"), [(0, "not known"), (1, "not known"), (2, "ready"), (6, "ready")])
def test_law_two_readings_are_the_fewest_that_say_anything(count: int, fuel: str) -> None:
    assert said_of(*[read(4.0)] * count)[0] == fuel


@pytest.mark.parametrize(
    ("share", "basis", "fuel"),
    [
        (0.10, "measured", "ready"),
        (0.11, "measured", "drying"),
        (0.49, "measured", "drying"),
        (0.50, "measured", "wet"),
        (0.0, "estimated", "drying"),
        (0.0, None, "drying"),
        (0.0, "assumed", "not known"),
    ],
)
def test_law_one_piece_in_ten_may_be_wet_and_of_half_none_burns(share: float, basis: str | None, fuel: str) -> None:
    """FIELD: at most one piece in ten above 20 % of the wet weight, which is 25 % of the dry one."""
    wet = round(share * N_DRAWS)
    water = np.concatenate([[0.1], np.full(wet, 0.2501), np.full(N_DRAWS - wet, 0.25)])
    said = Said()
    assert fuel_of(heap(basis=basis), water, said) == (fuel, None)
    assert any(note.what == "too_wet" for note in said.unknowns) == (fuel in ("drying", "wet"))


def test_law_a_skin_counts_only_where_it_is_wetter_than_every_core() -> None:
    assert judged_by([(18.0, True), (18.0, False), (18.1, False)]) == [(18.0, True), (18.1, False)]
    assert judged_by([(9.0, False), (8.0, False)]) == [(9.0, False), (8.0, False)]


@pytest.mark.parametrize(
    ("readings", "above", "told"),
    [
        ([12.0, 12.0, 12.0, 12.0], 0, "counted as dry"),
        ([16.0, 17.0, 16.0], 0, "1 more"),
        ([20.0, 25.0], 1, "dry"),
    ],
)
def test_law_what_readings_tell_is_told_with_what_more_would(readings: list[float], above: int, told: str) -> None:
    found = dryness_of([(pct, n % 2 == 0) for n, pct in enumerate(readings)], 20.0, 0.1)
    assert (found.count, found.cores) == (len(readings), (len(readings) + 1) // 2)
    assert found.above == above
    assert found.mean_pct == pytest.approx(sum(readings) / len(readings))
    assert found.low <= found.likely <= found.high
    assert (found.more == 0) == (found.likely <= 0.1)
    assert told in tell(told_of(found))


@pytest.mark.parametrize(
    ("drawn", "agrees"), [(100.0, True), (125.0, True), (75.0, True), (125.1, False), (74.9, False)]
)
def test_law_a_drawn_heap_may_differ_by_a_quarter(drawn: float, agrees: bool) -> None:
    assert (compare(drawn, 100.0) is None) == agrees


def test_law_a_footprint_is_that_of_its_shape() -> None:
    """An ellipse has π/4 of its box; what tapers has its mean width."""
    round_based = {shape: typed_footprint(shape, 4.0, 3.0, 9.0) for shape in ("dome", "mound", "cone")}
    assert list(round_based.values()) == pytest.approx([3 * np.pi] * 3)
    assert {typed_footprint(shape, 4.0, 3.0, 9.0) for shape in ("ridge", "block")} == {12.0}
    assert {typed_footprint(shape, 4.0, 3.0, 9.0) for shape in ("tapered_ridge", "rounded_ridge", "mean_block")} == {
        24.0
    }
    assert typed_footprint("tapered_ridge", 4.0, 3.0) == 12.0
    with pytest.raises(BadValue, match="shape of a heap"):
        typed_footprint("star", 1.0, 1.0)


def test_law_the_sides_of_a_heap_are_those_of_the_box_around_it_however_it_lies() -> None:
    from shapely import Polygon
    from shapely.affinity import rotate

    outline = Polygon([(0, 0), (8, 0), (8, 3), (0, 3)])
    for turned in (0, 30, 90, 135):
        assert sides_of(rotate(outline, turned)) == pytest.approx((8.0, 3.0))


def test_law_a_ridge_may_be_no_more_than_its_rounded_ends() -> None:
    """Two quarter ellipsoids back to back are a dome; a hair shorter is none."""
    assert rounded_ridge(3.0, 3.0, 1.0, 3.0, 1.0) == pytest.approx(dome(3.0, 3.0, 1.0))
    with pytest.raises(BadValue, match=r"2\.99"):
        rounded_ridge(2.99, 3.0, 1.0, 3.0, 1.0)


@pytest.mark.parametrize(
    ("pct", "basis", "fraction"), [(50.0, "wet", 1.0), (75.0, "wet", 3.0), (300.0, "dry", 3.0), (0.0, "dry", 0.0)]
)
def test_law_a_moisture_is_taken_by_its_basis(pct: float, basis: str, fraction: float) -> None:
    assert moisture.as_dry_basis(pct, basis) == pytest.approx(fraction)
    assert moisture.wet_basis(moisture.as_dry_basis(pct, basis)) == pytest.approx(fraction / (1 + fraction))


@pytest.mark.parametrize(
    ("pct", "basis", "told"),
    [
        (99.1234, None, "99.1234"),
        (100.0, None, "dry weight"),
        (140.0, None, "dry weight"),
        (99.9, "wet", "0.75"),
        (100.0, "wet", "100%"),
        (300.1, "dry", "3"),
    ],
)
def test_refuses_a_moisture_its_basis_does_not_allow(pct: float, basis: str | None, told: str) -> None:
    with pytest.raises(BadValue) as caught:
        moisture.as_dry_basis(pct, basis)
    assert told in str(caught.value), str(caught.value)


def test_law_cold_wood_reads_too_dry_and_no_reading_leaves_what_wood_can_hold() -> None:
    """0.5 point for 5.6 °C (Wood Handbook 2021, p. 13-3; S): 21.1 K below the reference are 1.9 points."""
    assert (
        moisture.as_read(18.0, "dry")
        == moisture.as_read(18.0, "dry", 0.0)
        == pytest.approx(0.18 + 0.5 / 5.6 * 0.211, abs=1e-4)
    )
    assert moisture.as_read(0.1, "dry", 60.0) == 0.0
    assert moisture.as_read(299.9, "dry", 0.0) == 3.0
    assert moisture.green_mass(2.0, 0.5) == 3.0


def test_law_few_readings_are_refused_and_thirty_are_the_most_looked_at() -> None:
    with pytest.raises(BadValue, match="At least 2"):
        dryness.more_to_prove([15.0], 20.0, 0.1)
    assert dryness.more_to_prove([19.0] * 40, 20.0, 0.0) is None
    assert dryness.more_to_prove([12.0] * 40, 20.0, 0.1) == 0


@pytest.mark.parametrize(
    "more", [{}, {"dry_t_weighed": 3.0}, {"mass_green_t": 4.0, "moisture_pct": 25.0, "moisture_basis": "dry"}]
)
def test_law_the_wood_of_a_heap_weighs_what_the_heap_does(more: dict[str, object]) -> None:
    """Volume times density is mass, however the mass is known; ponderosa pine by the table of woods (P)."""
    item = slash(pile("p", **more)).items[0]
    density = tables.value("wood_density", "ponderosa_pine")
    assert item.dry_t.likely == pytest.approx(item.wood_m3.likely * density / 1000)


@pytest.mark.parametrize(
    ("size", "note"),
    [
        ({"height_m": 0.0099}, "no_size"),
        ({"height_m": 0.01}, None),
        ({"height_m": 4.0}, None),
        ({"height_m": 4.01}, "higher_than_wide"),
        ({"width_m": None}, "no_size"),
    ],
)
def test_law_a_size_below_a_centimetre_is_none_and_a_heap_is_no_tower(
    size: dict[str, object], note: str | None
) -> None:
    noted = whats(slash(pile("p", **size)).unknowns) & {"no_size", "higher_than_wide"}
    assert noted == ({note} if note else set())
