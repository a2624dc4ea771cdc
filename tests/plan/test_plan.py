"""What the plan says: page one whole, numbers as assessed, and never a word that reads as leave to burn."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re

import pytest

from sitemap.plan.contents import plan_of
from sitemap.plan.model import Boxes, BurnPlan, Sheet, Table, every_word, plain_values
from sitemap.plan.say import brief, spots_in_use, up
from sitemap.safety.rules import condition_of
from sitemap.summary import said
from sitemap.tables import EVIDENCE_LEVELS
from sitemap.telling import sentence
from sitemap.units import text
from tests.plan.builders import ON, assessed, one_kiln, point, sample, site


def words_of(plan: BurnPlan, key: str) -> str:
    """Every word of one section."""
    alone = Sheet(key, "", (plan.section(key),), one_side=False, body_pt=9)
    return dataclasses.replace(plan, sheets=(alone,)).text


def tables_of(plan: BurnPlan, key: str) -> list[Table]:
    return [block for block in plan.section(key).blocks if isinstance(block, Table)]


def test_law_numbers_are_those_of_the_assessment():
    a = sample()
    plan = plan_of(a)
    rows = {row[0]: row for table in tables_of(plan, "slash") for row in table.rows}
    for item in a.slash.items:
        likely, spread = said(item.dry_t, "t", "us").split(" US short tons ")  # the unit stands in the head
        assert rows[item.name][2] == f"{likely} {spread}"
    distances = tables_of(plan, "distances")[:-1]  # the last one holds the rules
    for spot, table in zip(a.spots, distances, strict=True):
        rounded = ["down" if (s.margin_m or 0.0) < 0 else "nearest" for s in spot.setbacks]  # as their findings say
        told = [text(s.distance_m, "m", "us", 3, way) for s, way in zip(spot.setbacks, rounded, strict=True)]
        assert [row[1] for row in table.rows] == told
        for s, far in zip(spot.setbacks, told, strict=True):
            assert s.verdict != "too close" or far in sentence(s.reason, "us")
        assert all(s.verdict in row[5] for s, row in zip(spot.setbacks, table.rows, strict=True))
    water = words_of(plan, "water")
    for wet in a.water.spots:
        for line in wet.entries:
            assert said(line.flow_l_min, "l_min", "us") in water


def test_law_every_check_and_the_deciding_one_stand_in_the_plan():
    a = sample()
    plan = plan_of(a)
    told, rules = words_of(plan, "kilns") + words_of(plan, "distances"), {rule.id: rule for rule in a.rules}
    for spot in a.spots:
        for check in spot.checks:
            if check.check != "distance":
                assert sentence(brief(check.reason), a.source.units).rstrip(".") in told
        for setback in spot.setbacks:
            assert setback.name in told
            assert condition_of(rules[setback.rule], a.source.units) in told
            assert setback.source in told
    assert told.count("embers") >= len(a.spots)  # beside every distance verdict


def test_law_every_figure_has_a_source_and_says_its_evidence():
    rows = tables_of(plan_of(sample()), "sources")[0].rows
    assert len(rows) > 50
    assert all(row[1] and row[2] and row[3] in EVIDENCE_LEVELS.values() for row in rows)


def test_law_unknown_and_ruled_out_never_read_as_leave():
    peat = one_kiln().put(point("k1", "kiln_spot", 15.0, 60.0, name="K1", kiln="ring", ground="peat"))
    for a in (assessed(one_kiln()), assessed(peat), assessed(site()), sample()):
        told = plan_of(a).text.replace("No distance here is safe from embers", "").replace("No distance is safe", "")
        assert not re.search(r"\b(all clear|go ahead|permitted|wait|stop sign)\b", told, re.I)
        assert not re.search(r"\bsafe(ly)?\b", told, re.I)


def test_law_a_kiln_is_never_called_a_bare_spot():
    told = plan_of(sample()).text
    for allowed in ("kiln spot", "Kiln spot", "a spot fire"):
        told = told.replace(allowed, "")
    assert not re.search(r"\bspots?\b", told, re.I)


def test_law_ticks_print_empty_the_next_day():
    tick = {"what": "ban", "who": "A. Duty", "when": "2026-05-20 07:10"}
    boxes = {}
    for on in (dt.date(2026, 5, 20), dt.date(2026, 5, 21)):
        blocks = plan_of(assessed(one_kiln(ticks=[tick]), on)).section("before").blocks
        boxes[on.day] = next(block for block in blocks if isinstance(block, Boxes)).rows
    assert boxes[20][0][1] == "A. Duty, 07:10"
    assert all(not who for _, who in boxes[21])


def test_law_floors_for_people_whatever_the_heat():
    """House rule: flame 1.5 m, crew at rest 3 m, visitors 8 m; common practice, no source."""
    row = tables_of(plan_of(assessed(one_kiln())), "people")[0].rows[0]
    shown = [float(cell.split()[0]) for cell in row[1:]]
    assert all(metres >= floor for metres, floor in zip(shown, (1.5, 3.0, 8.0), strict=True))


@pytest.mark.parametrize("metres", [0.01, 1.5, 2.99, 3.0, 27.3])
def test_law_least_distances_round_up(metres: float):
    assert float(up(metres, "metric").split()[0]) >= metres
    assert float(up(metres, "us").split()[0]) * 0.3048 >= metres - 1e-6


def test_published_refuge_by_the_fuel_round_it():
    """8 × height of the vegetation × slope-and-wind factor (NWCG, P): 0.5 m of grass asks 4 m, 20 m, up to 40 m."""
    told = words_of(plan_of(assessed(one_kiln(season={"fuel_height_m": 0.5}))), "people")
    assert "4 m on the level" in told
    assert "20 m with slope" in told
    assert "40 m on steep" in told


def test_law_each_kiln_s_batch_is_worked_once_in_the_annex():
    titles = [table.title for table in tables_of(plan_of(sample("farm_dam"), ["annex"]), "workings")]
    batches = [title for title in titles if title.startswith("One batch")]
    assert all(sum(f"Kiln {name}" in title for title in batches) == 1 for name in ("K1", "K2", "K3", "K4"))


def test_law_water_in_the_log_is_in_the_units_of_the_site():
    """250 L are 66 US gal of 3.785411784 L (NIST SP 811, M)."""
    entry = {"date": "2026-05-19", "kiln": "k1", "water_l": 250}
    row = tables_of(plan_of(assessed(one_kiln(log=[entry], units="us"))), "log_so_far")[0].rows[0]
    assert row[3] == "66 US gal"


def test_law_the_log_has_a_row_for_every_kiln_and_two_more():
    made = one_kiln()
    for number in range(2, 13):
        made = made.put(point(f"k{number}", "kiln_spot", 15.0 + number / 500, 60.0, name=f"K{number}", kiln="ring"))
    a = assessed(made)
    assert len(tables_of(plan_of(a), "log")[0].rows) == max(8, len(spots_in_use(a)) + 2)


def test_law_a_day_that_was_logged_stands_in_its_log_before_the_empty_lines():
    entry = {"date": ON.isoformat(), "kiln": "k1", "water_l": 250, "buckets": 30, "text": "Quiet"}
    rows = tables_of(plan_of(assessed(one_kiln(log=[entry, {**entry, "date": "2026-05-01"}]))), "log")[0].rows
    assert [cell.strip() for cell in rows[0]] == ["K1", "", "", "", "30", "250 L", "Quiet"]
    assert len(rows) == 8
    assert not any(cell.strip() for row in rows[1:] for cell in row)


def test_law_plain_values_are_plain():
    def walk(value: object) -> None:
        assert isinstance(value, str | bool | int | float | list | dict | None)
        for one in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            walk(one)

    walk(plain_values(plan_of(sample())))


def test_law_a_long_name_stands_once_in_the_annex_and_shorter_in_its_tables():
    long = (
        "the upper landing by the old oak near the crossing of the stream where the road turns and the fence has a gap"
    )
    a = assessed(one_kiln().put(point("k1", "kiln_spot", 15.0, 60.0, name=long, kiln="ring")))
    (sheet,) = plan_of(a, ["annex"], "en").sheets
    said = list(every_word(sheet))
    assert sum(long.casefold() in each.casefold() for each in said) == 1
    assert any("the upper landing by the old oak near… [1]" in each for each in said)
    assert not [word for word in every_word(plan_of(assessed(one_kiln()), ["annex"]).sheets[0]) if word == "Long names"]
