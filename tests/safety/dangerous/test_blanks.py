"""A bad answer withheld is an unknown one: blank what a row of the table said, and the kiln may still not be lit.

"Not here" may become "not yet": an answer nobody gives any more is asked for. FIELD 23 is about "may be lit", and that
it never becomes, but where a blank has a meaning of its own, which FIELD or the field itself names and the plan says.
"""

from __future__ import annotations

import copy
import json
from functools import cache
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from sitemap.day.decision import MAY
from tests.safety.dangerous.rows import Row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import Values
from tests.safety.dangerous.test_laws import decided, entries, holder, leaves
from tests.safety.dangerous.test_table import ROWS

MEANT = {  # what a blank means instead
    "position_error_m": "the usual error of a place",
    "width_m": "the usual width, and a place less well known",
    "feed_kg_h": "the smaller of two figures of the trade (FIELD, what a person cannot supply)",
    "feeders": "two",
    "serves": "the heaps nearest to it",
    "about": "the site as a whole: an answer that names nothing holds for all of it",
    "day_starts": "from daylight",
    "day_ends": "until daylight",
    "last_rain": "no rain since: on the list of the morning",
    "usable_from": "usable on the burn date, which was said",
    "usable_to": "usable on the burn date, which was said",
    "volume_l_low": "the volume as typed",
    "volume_l_high": "the volume as typed",
    "wind_km_h": "the permit has no limit of its own",
    "gust_km_h": "the permit has no limit of its own",
    "wind_from_deg": "the wind of the day decides",
    "suction_lift_m": "a tank stands by its pump",
    "profile": "the ground",
    "pump": "the pump on hand",
    "conditions": "none, which was said",
    "carriers": "nobody carries",
    "rakers": "one crew",
    "distance_m": "the owner asks for no more than the rule; a row of its own without one is not known",
    "to_time": "the permit names no hour: on its last day the sheet asks to read it",
    "to": "no permit is needed, which was said",
    "humidity_pct": "the permit has no limit of its own",
    "count": "one",
    "moisture_pct": "the readings alone",
    "fill_fraction": "the usual one, with its range",
    "water_temperature_c": "the usual one",
    "elevation_m": "the height above the water that was typed",
    "has_floor": "what was said of holding water",
}
NO_NEWS = (
    "typed as",
    "in words",
    "of no height",
    "the other kiln",
)  # what cannot be true or read: without it the other gear, or nothing, says it
SAID_ABOUT = ("kind", "id", "name", "whom", "source", "spot", "on", "at", "who", "spot_at", "source_at", "seen", "*")
Said = tuple[Row, int, tuple[Any, ...]]


def flat(whole: Values) -> dict[tuple[int, str, tuple[Any, ...]], Any]:
    """Every value of a site: number and id of its entry and the way to it → value."""
    return {
        (number, key, path): holder(values, path)[path[-1]]
        for number, (key, values) in enumerate(entries(whole))
        for path in leaves(values)
    }


@cache
def said() -> tuple[Said, ...]:
    """Every value by which a row differs from the safe site: the row, the entry and the way to the value in it."""
    safe: dict[tuple[str, tuple[Any, ...]], list[Any]] = {}
    for (_, key, path), value in flat(json.loads(SafeSite().text())).items():
        safe.setdefault((key, path), []).append(value)
    found = []
    for param in ROWS:
        row = param.values[0]
        if row.today is not None or any(words in str(param.id) for words in NO_NEWS):
            continue
        for (number, key, path), value in flat(json.loads(row.change(SafeSite()).text())).items():
            named = path[-1] in SAID_ABOUT or path[-1] in MEANT or isinstance(value, dict)
            if not named and value not in safe.get((key, path), []):
                found.append((row, number, path))
    return tuple(found)


def test_law_there_is_much_to_withhold() -> None:
    assert len(said()) > 300


@given(st.data())
def test_law_a_bad_answer_withheld_is_not_known(data: st.DataObject) -> None:
    row, number, path = data.draw(st.sampled_from(said()))
    whole = copy.deepcopy(json.loads(row.change(SafeSite()).text()))
    key, values = list(entries(whole))[number]
    value = holder(values, path).pop(path[-1])
    assert decided(whole)[row.kiln].word != MAY, (key, path, value)
