"""Whatever stands in a site file, nobody sees a traceback: every attribute of the schema takes every odd value.

Many at a time: a site has one odd value in each kind of thing it holds, and over all sites every attribute has every
value. Every day some of these sites by chance, always the same; `--thorough` tries all of them, and after that each
value alone. What they are put into is a sample: its first thing of the kind where it has one, else a new one. Warnings
are errors, as everywhere in the tests.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
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
EVERY_DAY = 16
Place = tuple[str, str, str]
Odd = tuple[tuple[Place, Any], ...]


def places() -> list[Place]:
    """(group, key, attribute), of features, equipment, sections and records."""
    groups = {"features": KINDS, "equipment": EQUIPMENT, "sections": SECTIONS, "records": RECORDS}
    return [
        (group, key, attribute.name)
        for group, kinds in groups.items()
        for key, kind in kinds.items()
        for attribute in (*kind.attributes, *(part for whole in kind.attributes for part in whole.item))
    ]


def together() -> list[Odd]:
    """Sites, each with the values put into it: in every kind its attribute of one number, each with another value."""
    kinds: dict[tuple[str, str], list[Place]] = {}
    for place in places():
        kinds.setdefault(place[:2], []).append(place)
    return [
        tuple(
            (held[number], ODD[(turn + step) % len(ODD)])
            for step, held in enumerate(kinds.values())
            if number < len(held)
        )
        for number in range(max(map(len, kinds.values())))
        for turn in range(len(ODD))
    ]


def with_values(odd: Odd) -> str:
    """The text of the sample with values put in."""
    raw = json.loads(SAMPLE)
    for place, value in odd:
        _holder(raw, *place[:2])[place[2]] = value
    return json.dumps(raw)


def _holder(raw: dict[str, Any], group: str, key: str) -> dict[str, Any]:
    if group == "features":
        found = next((each for each in raw["features"] if each["properties"].get("kind") == key), None)
        if found is None:
            found = {"type": "Feature", "id": f"odd {key}", "geometry": raw["features"][0]["geometry"]}
            found["properties"] = {"kind": key, "name": "Odd"}
            raw["features"].append(found)
        properties: dict[str, Any] = found["properties"]
        return properties
    if group == "sections":
        section: dict[str, Any] = raw["site"].setdefault(key, {})
        return section
    lists = raw["site"].setdefault("equipment", {}) if group == "equipment" else raw["site"]
    listed = lists.setdefault(key, [])
    if not listed:
        listed.append({"id": "odd"})
    item: dict[str, Any] = listed[0]
    return item


def tried() -> Iterator[Odd]:
    if thorough():
        return itertools.chain(together(), ((each,) for each in itertools.product(places(), ODD)))
    return iter(Random(20261128).sample(together(), EVERY_DAY))


def test_law_an_odd_value_is_a_sentence_at_most_and_is_kept() -> None:
    assert sum(map(len, together())) == len(places()) * len(ODD), "over all sites each attribute has each value"
    stumbled = []
    for odd in tried():
        text = with_values(odd)
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
            stumbled.append((odd, f"{type(error).__name__}: {error}"[:200]))
    if stumbled:
        pytest.fail(f"{len(stumbled)} sites stumble:\n" + "\n".join(map(str, stumbled[:40])))


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("equipment", "kilns", "fill_fraction"), 1e-300),
        (("features", "road", "width_m"), 1e-300),
        (("features", "railway", "width_m"), 1e-300),
        (("equipment", "nozzles", "rated_flow_l_min"), 1e-300),
        (("records", "forecast_hours", "time"), "0001-01-01"),
    ],
)
def test_refuses_a_value_no_site_can_have_and_goes_on_without_it(place: Place, value: Any) -> None:
    """Each of them made a warning or a traceback once."""
    site = parse_site(with_values(((place, value),)))
    assert report_text(assess(site, None, on=site.section("season").date("date")))
