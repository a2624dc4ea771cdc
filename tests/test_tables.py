"""Published figures: no row without its source."""

from __future__ import annotations

import re

import pytest

from sitemap import tables
from sitemap.errors import BadTable, PitsteadError

GOOD = '[[row]]\nkey = "a"\nvalue = 1.5\nunit = "m"\nsource = "Author 1999, table 2"\nevidence = "P"\n'


def without(line: str) -> str:
    return "".join(part + "\n" for part in GOOD.splitlines() if not part.startswith(line))


def test_law_a_row_is_read_with_its_source() -> None:
    row = tables.parse(GOOD, "heaps")["a"]
    assert (row.key, row["value"], row["unit"], row.source, row.evidence) == (
        "a",
        1.5,
        "m",
        "Author 1999, table 2",
        "P",
    )
    assert (row.get("note"), row.get("note", 3)) == (None, 3)
    with pytest.raises(TypeError):
        row.figures["value"] = 2  # type: ignore[index]


@pytest.mark.parametrize("evidence", ["M", "C"])
def test_law_memory_and_common_practice_name_themselves(evidence: str) -> None:
    text = without("source").replace('"P"', f'"{evidence}"')
    assert tables.parse(text, "heaps")["a"].source == tables.EVIDENCE_LEVELS[evidence]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (without("source"), "row a lacks its source or evidence"),
        (GOOD.replace("Author 1999, table 2", ""), "row a lacks its source"),
        (without("evidence"), "row a lacks its source or evidence"),
        (GOOD.replace('"P"', '"MC"'), "row a lacks its source or evidence"),
        (GOOD.replace('"P"', '""'), "row a lacks its source or evidence"),
        (without("source").replace('"P"', '"D"'), "row a lacks its source"),
        (without("key"), "row 1 has no key"),
        (GOOD + GOOD, "row a stands twice"),
        ("", "has no rows"),
        ("[other]\nx = 1\n", "has no rows"),
    ],
)
def test_refuses_rows_that_cannot_be_traced(text: str, says: str) -> None:
    with pytest.raises(BadTable, match=says) as caught:
        tables.parse(text, "heaps")
    assert str(caught.value).startswith("Table heaps")
    assert isinstance(caught.value, PitsteadError | ValueError)


#  A row of numbers says their unit: in `unit`, or each number in the end of its own name.
UNIT_ENDING = re.compile(
    r"_(k?m|cm|mm|m2|ha|d|m3|l|l_min|k?pa|kg|kg_m3|kw_m2|t_ha|km_h|m_s|pct|c|k|h|min|s|deg|kv|lengths)$"
)


def numbers_without_unit(row: tables.Row) -> list[str]:
    if "unit" in row.figures:
        return []
    return [
        name
        for name, value in row.figures.items()
        if isinstance(value, int | float) and not isinstance(value, bool) and not UNIT_ENDING.search(name)
    ]


@pytest.mark.parametrize("name", tables.names())
def test_law_every_row_of_every_table_has_figures_source_and_standing(name: str) -> None:
    for key, row in tables.load(name).items():
        assert row.key == key
        assert row.figures, f"{name}, {key}: nothing but a source"
        assert row.source.strip(), f"{name}, {key}"
        assert row.evidence in tables.EVIDENCE_LEVELS, f"{name}, {key}"
        assert numbers_without_unit(row) == [], f"{name}, {key}: what unit?"


def test_law_all_tables_are_found() -> None:
    assert len(tables.names()) >= 5
    assert tables.names() == tuple(sorted(set(tables.names())))
