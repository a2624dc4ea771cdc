"""Names from right to left on paper: their numbers stay beside them, and those of others are left alone."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.plan.contents import plan_of
from sitemap.plan.fonts import set_in_type
from sitemap.plan.letters import printable, shown
from sitemap.plan.papers import plan_html
from tests.plan.builders import assessed, one_kiln, point

NAMES = ("فرن", "בריכת מים", "بئر (قديم)", "مكان ٣")


@pytest.mark.parametrize(("said", "told"), [
    ("Way 1: مكان 33, 280 m SSE", "Way 1: \u2067مكان\u2069 33, 280 m SSE"),
    ("بئر (قديم) 46 L/min", "\u2067بئر (قديم)\u2069 46 L/min"),
    ("אתר and فرن", "\u2067אתר\u2069 and \u2067فرن\u2069"),
    ("Kiln (فرن) 9", "Kiln (\u2067فرن\u2069) 9"),
    ("مكان ٣, 5 m", "\u2067مكان ٣\u2069, 5 m"),
    ("Käsemühle 3", "Käsemühle 3"),
])  # fmt: skip
def test_published_what_follows_such_a_name_is_set_apart_from_it(said: str, told: str) -> None:
    """What is inside an isolate does not affect the order of what is outside it (Lanin, Davis, Pournader 2012, A
    proposal for bidi isolates in Unicode; S). Without one, numbers behind a letter from right to
    left take its direction (UAX #9, W2 and N1; from memory)."""
    assert shown(said) == told


@given(st.text(alphabet="aé1 :,.()°'٣فרמ\u202e\u2067\u2069", max_size=30))
def test_law_nothing_else_is_changed_and_every_isolate_is_closed(text: str) -> None:
    told = shown(text)
    assert re.sub("[\u2067\u2069]", "", told) == printable(text)
    assert shown(told) == told
    assert re.fullmatch("(?:[^\u2067\u2069]|\u2067[^\u2067\u2069]+\u2069)*", told)


@pytest.mark.parametrize("name", NAMES)
def test_law_a_coordinate_behind_such_a_name_keeps_its_order_on_every_paper(name: str) -> None:
    a = assessed(one_kiln().put(point("k1", "kiln_spot", 15.0, 60.0, name=name, kiln="ring")))
    place = next(line for line in plan_of(a, ["decision"]).text.splitlines() if name in line and "WGS 84" in line)
    apart = f"\u2067{name}\u2069: 60°00.000'N"
    assert apart in set_in_type(place)
    assert apart.replace("'", "&#x27;") in plan_html(a, keys=["decision"])
