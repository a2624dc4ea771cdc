"""Map files damaged in every way chance finds: read, or refused in one sentence; no traceback, no warning, and what is
kept can be written and read again."""

from __future__ import annotations

import json
import math
import random
from tempfile import gettempdir
from typing import Any

import pytest

from sitemap.errors import BadFile
from sitemap.site.file import parse_site, site_text
from sitemap.site.imports import bring
from sitemap.site.imports.brought import keep
from sitemap.site.imports.looking import listing, prepared
from tests import properties
from tests.site.builders import site_of, thing
from tests.site.imports.map_files import FORMATS, map_file

SITE = site_of(thing("g", "gate", name="Gate"))
EVERYDAY, THOROUGH = 12, 2000
ODD = (
    *(None, True, -1, 0, 1e300, math.nan, math.inf, 10**400, "", "x", "\ud800", "P1", "<b>&amp;</b>", "[](http://x)"),
    *([], {}, [[0, 0], [1, 1]], [[[0, 0], [1, 1]]], [[[[0, 0]]]], {"type": "Point"}, {"type": "GeometryCollection"}),
    *({"type": "MultiPolygon", "coordinates": 3}, {"type": "name", "properties": {"name": "EPSG:4978"}}, "9" * 30_000),
)


def mutated(data: bytes, chance: random.Random) -> bytes:
    """Some bytes changed, a piece cut out, doubled or zeroed, or the end missing."""
    made = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 8, 40))):
        at, length = chance.randrange(len(made)), chance.choice((1, 4, 30))
        do = chance.randrange(5)
        if do == 0:
            made[at] = chance.randrange(256)
        elif do == 1:
            del made[at : at + length]
        elif do == 2:
            made[at:at] = made[at : at + length]
        elif do == 3:
            made[at : at + length] = bytes(min(length, len(made) - at))
        elif chance.random() < 0.1:
            del made[at:]
        if len(made) < 2:
            break
    return bytes(made)


@pytest.mark.parametrize("ending", FORMATS)
def test_law_a_mutated_file_is_read_or_refused_in_a_sentence(ending: str) -> None:
    whole, chance = map_file(ending), random.Random(ending)
    for number in range(THOROUGH if properties.thorough() else EVERYDAY):
        judged(mutated(whole, chance), ending, number)
    assert bring(f"drawn{ending}", whole, SITE).candidates


def judged(data: bytes, ending: str, number: int) -> None:
    """Read, looked at, kept, written and read again; or refused."""
    refused, brought = "", None
    try:
        brought = prepared(bring(f"drawn{ending}", data, SITE))
    except BadFile as bad:
        refused = str(bad)
    assert "\n" not in refused, number
    assert gettempdir() not in refused, number
    if brought is None:
        return
    list(listing(SITE, brought))
    kept = keep(SITE, brought.candidates)
    assert parse_site(site_text(kept)) == kept, number


def swapped(value: Any, chance: random.Random, odd: Any) -> Any:
    """A JSON value with one value inside it, anywhere, replaced by an odd one."""
    if isinstance(value, dict | list) and value and chance.random() < 0.85:
        key = chance.choice(list(value) if isinstance(value, dict) else range(len(value)))
        made = value.copy()
        made[key] = swapped(value[key], chance, odd)
        return made
    return odd


@pytest.mark.parametrize("system", ["EPSG:4326", "EPSG:32610"])
def test_law_geojson_with_a_wrong_meaning_is_read_or_refused_in_a_sentence(system: str) -> None:
    whole, chance = json.loads(map_file(".geojson", system)), random.Random(system)
    for number in range(8 * EVERYDAY if not properties.thorough() else THOROUGH):
        made = swapped(whole, chance, chance.choice(ODD))
        judged(json.dumps(made).encode(), ".geojson", number)
