"""The schema and the rest of the program speak of the same attributes: what is asked is read, what is read is asked."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from sitemap.site.attributes import Attribute, by_name
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.kind import ROLES
from sitemap.site.kinds import KINDS, with_role
from sitemap.units import UNITS

PACKAGE = Path(__file__).parents[2] / "sitemap"
SCHEMA = {
    PACKAGE / "site" / f"{name}.py" for name in ("attributes", "equipment", "kinds", "season_values", "vocabulary")
}
GROUPS = {"features": KINDS, "equipment": EQUIPMENT, "sections": SECTIONS, "records": RECORDS}
READERS = ("number", "integer", "text", "choice", "flag", "date", "names", "records", "numbers", "curve", "measured")


def attributes() -> Iterator[tuple[str, Attribute]]:
    """(where, attribute) of the whole schema, records within records too."""
    for group, kinds in GROUPS.items():
        for key, kind in kinds.items():
            for attribute in kind.attributes:
                yield f"{group}.{key}", attribute
                for part in attribute.item:
                    yield f"{group}.{key}.{attribute.name}", part


@cache
def nodes() -> tuple[tuple[Path, ast.AST], ...]:
    """What stands in the modules below the pages: a form names what it shows, and that is no reading."""
    paths = (path for path in sorted(PACKAGE.rglob("*.py")) if path not in SCHEMA)
    below = [path for path in paths if PACKAGE / "views" not in path.parents]
    return tuple((path, node) for path in below for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


def test_law_what_is_asked_is_read_somewhere() -> None:
    words = {node.value for _, node in nodes() if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    unread = {attribute.name for _, attribute in attributes() if attribute.name not in words}
    assert unread == set()


def test_law_what_is_read_is_asked() -> None:
    """`entry.number("…")` and its like name an attribute of the schema, which has a field and a line in the file."""
    known = {name for _, a in attributes() for name in (a.name, *a.also)} | {"name"} | set(RECORDS)
    strange = [
        f"{path.relative_to(PACKAGE)}:{node.lineno} {node.args[0].value}"
        for path, node in nodes()
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in READERS
        and len(node.args) == 1
        and isinstance(node.args[0], ast.Constant)
        and isinstance(node.args[0].value, str)
        and re.fullmatch(r"[a-z][a-z0-9_]+", node.args[0].value)
        and node.args[0].value not in known
    ]
    assert strange == []


@pytest.mark.parametrize("where", sorted({where for where, _ in attributes()}))
def test_law_a_figure_in_a_text_of_the_schema_is_marked_up(where: str) -> None:
    """A length or a weight in words would stay metric on a page in US units: it stands as {15 cm}."""
    labels = "|".join(sorted({re.escape(unit.metric) for unit in UNITS.values() if unit.metric != unit.us}))
    bare = re.compile(rf"\d ?({labels})(?![\w/²³])")
    for place, attribute in attributes():
        if place == where:
            for text in (attribute.label, attribute.help, attribute.blank):
                assert not bare.search(re.sub(r"\{[^{}]*\}", "", text)), (where, attribute.name, text)


@pytest.mark.parametrize("said", ["letters", "words"])
def test_law_what_an_import_knows_a_kind_by_means_one_kind(said: str) -> None:
    known = [each for kind in KINDS.values() for each in getattr(kind, said)]
    assert sorted(known) == sorted(set(known))
    assert all(each == (each.upper() if said == "letters" else each.casefold()) for each in known)


def test_law_roles_of_kinds_are_known_and_each_has_one() -> None:
    assert {role for kind in KINDS.values() for role in kind.roles} == ROLES.keys()
    assert with_role("soft") == ("stream", "wetland", "standing_timber")


def test_law_a_tree_may_be_as_high_as_any_and_no_higher() -> None:
    """The highest tree measured, a coast redwood, stands 116 m (from memory)."""
    height = by_name(KINDS["hazard_tree"].attributes)["height_m"]
    assert height.fault(116) is None
    assert height.fault(120.5) is not None
