"""Whatever stands in a site file, nobody sees a traceback: every attribute of the schema takes every odd value in turn.

Every day some by chance, always the same; `--thorough` tries each of them. What they are put into is a sample:
its first thing of the kind where it has one, else a new one. Warnings are errors, as everywhere in the tests.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Any

import pytest

from sitemap.assessment import assess
from sitemap.errors import PitsteadError
from sitemap.report import report_text
from sitemap.site.check import check
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import parse_site, site_text
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.summary import summary_text
from tests.properties import thorough

SAMPLE = (Path(__file__).parents[1] / "sample_sites" / "birch_shore.geojson").read_text(encoding="utf-8")
ODD: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 1e-300, -1e-300, 1e300, 5.5, 10**40),
    *(
        "",
        " ",
        "5",
        "1,5",
        "x",
        "nan",
        "\u202e\x00",
        "a" * 3000,
        "9999-12-31",
        "0001-01-01",
        "24:61",
        "<b>*[a](b)*</b>",
    ),
    *([], [1], [[0, 0], [1, 1]], [[1, None]], ["x", 1, None], [{}], [{"a": {"b": []}}]),
    *({}, {"x": "y"}, {"low": "x"}),
)
EVERY_DAY = 30


def places() -> list[tuple[str, str, str]]:
    """(group, key, attribute), of features, equipment, sections and records."""
    groups = {"features": KINDS, "equipment": EQUIPMENT, "sections": SECTIONS, "records": RECORDS}
    return [
        (group, key, attribute.name)
        for group, kinds in groups.items()
        for key, kind in kinds.items()
        for attribute in (*kind.attributes, *(part for whole in kind.attributes for part in whole.item))
    ]


def with_value(group: str, key: str, name: str, value: Any) -> str:
    """The text of the sample with one value put in."""
    raw = json.loads(SAMPLE)
    if group == "features":
        found = next((each for each in raw["features"] if each["properties"].get("kind") == key), None)
        if found is None:
            found = {"type": "Feature", "id": "odd", "geometry": raw["features"][0]["geometry"]}
            found["properties"] = {"kind": key, "name": "Odd"}
            raw["features"].append(found)
        holder = found["properties"]
    elif group == "sections":
        holder = raw["site"].setdefault(key, {})
    else:
        lists = raw["site"].setdefault("equipment", {}) if group == "equipment" else raw["site"]
        listed = lists.setdefault(key, [])
        if not listed:
            listed.append({"id": "odd"})
        holder = listed[0]
    holder[name] = value
    return json.dumps(raw)


def tried() -> Iterator[tuple[tuple[str, str, str], Any]]:
    every = list(itertools.product(places(), ODD))
    return iter(every if thorough() else Random(20261128).sample(every, EVERY_DAY))


@lru_cache(maxsize=1)
def sample() -> Site:
    return parse_site(SAMPLE)


def test_law_an_odd_value_is_a_sentence_at_most_and_is_kept() -> None:
    stumbled = []
    for where, value in tried():
        text = with_value(*where, value)
        try:
            site = parse_site(text)
            assert parse_site(site_text(site)) == site, "what was written is what is read again"
            assert json.loads(site_text(site)) == json.loads(text) | {"site": json.loads(site_text(site))["site"]}
            for gap in check(site):
                assert str(gap)
            a = assess(site, None, on=site.section("season").date("date"))
            assert summary_text(a)
            assert report_text(a)
        except PitsteadError:
            continue  # a sentence
        except Exception as error:  # all of them are told together
            stumbled.append((*where, value, f"{type(error).__name__}: {error}"[:200]))
    if stumbled:
        pytest.fail(f"{len(stumbled)} values stumble:\n" + "\n".join(map(str, stumbled[:40])))
