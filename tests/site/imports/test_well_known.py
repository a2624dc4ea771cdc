"""Shapes as text in a column of a table: which column holds them, and which only looks like it."""

from __future__ import annotations

import pytest

from sitemap.site.imports.well_known import column_of_shapes


@pytest.mark.parametrize(
    ("heads", "rows", "column"),
    [
        (["name", "WKT"], [["a", "POINT (1 2)"], ["b", "POINT (3 4)"]], 1),
        (["the_geom", "name"], [["SRID=4326;POINT(1 2)", "a"], ["", "b"]], 0),
        (["Geometry", "wkt"], [["here", "POINT (1 2)"]], 1),
        (["name", " wkt  geom "], [["a"], ["b", "multipolygon (((0 0, 1 0, 1 1, 0 0)))"]], 1),
        (["name", "WKT"], [["a", "POINT (1 2)"], ["b", "by the gate"]], None),
        (["name", "WKT"], [["a", ""], ["b"]], None),
        (["POINT", "text"], [["POINT (1 2)", "POINT (1 2)"]], None),
        (["name"], [], None),
        (["wkt"], [["POINTED"]], None),
    ],
)
def test_law_a_column_holds_shapes_by_its_head_and_by_every_cell(
    heads: list[str], rows: list[list[str]], column: int | None
) -> None:
    """Well-known text: OGC Simple Features, 06-103r4, clause 7 (S); SRID= as databases write it (S)."""
    assert column_of_shapes(heads, rows) == column
