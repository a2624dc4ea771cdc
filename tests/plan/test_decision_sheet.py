"""The decision sheet: one side whatever the site, every bar of every kiln on it, the stricter limit, the last day."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from sitemap.assessment import Assessment, assess
from sitemap.geodesy.coordinates import degrees_minutes
from sitemap.maps.verdicts import kiln_verdicts
from sitemap.opened import opened
from sitemap.plan.contents import plan_of
from sitemap.plan.map import map_svg
from sitemap.plan.model import Blanks, Block, Items, Sheet, Table, every_word
from sitemap.plan.pdf import pdf_of
from sitemap.plan.say import name_of
from sitemap.telling import tell, word
from sitemap.units import text
from sitemap.wording import check_label
from tests.plan.builders import as_typed, assessed, one_kiln, point, sample, site

ROOT = Path(__file__).resolve().parents[2]
GROUNDS = ("turf", "peat", "litter_duff", None)


def of(a: Assessment, language: str | None = None) -> Sheet:
    return plan_of(a, ["decision"], language).sheets[0]


def told(blocks: tuple[Block, ...]) -> str:
    return "\n".join(every_word(blocks))


def maps(a: Assessment) -> dict[str, str | None]:
    return {size: map_svg(a, size) for size in ("small", "smaller")}


def whole(a: Assessment, language: str | None = None) -> str:
    return told(of(a, language).blocks)


def kilns(blocks: tuple[Block, ...]) -> Table:
    return next(block for block in blocks if isinstance(block, Table))


def ten(name: str = "K{}") -> Assessment:
    """Ten kilns on different ground, the same gaps in all of them."""
    made = one_kiln(crew={"leader": "Anna " * 30, "directions": "up the landing track " * 12, "adults": 12})
    for number in range(1, 11):
        place = {"name": name.format(number), "kiln": "ring", "ground": GROUNDS[number % 4]}
        made = made.put(point(f"k{number}", "kiln_spot", 15.0 + number / 500, 60.0, **place))
    return assessed(made)


LONG = "Kiln {} by the old oak on the upper landing near the crossing of the stream, " + "where the road turns, " * 6


@pytest.mark.parametrize(
    ("name", "paper"), [("K{}", "letter"), (LONG, "a4"), (LONG, "letter"), ("K{}" + "x" * 198, "letter")]
)
def test_law_ten_kilns_are_one_side_whatever_their_names(name: str, paper: str) -> None:
    a = ten(name)
    plan = plan_of(a, ["decision"])
    assert len(re.findall(rb"/MediaBox", pdf_of(plan, maps(a), a.on, paper))) == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_law_a_site_with_next_to_nothing_is_one_side(paper: str) -> None:
    for made in (site(), one_kiln().without("k1"), one_kiln().without("w1")):
        a = assessed(made)
        plan = plan_of(a, ["decision"])
        assert len(re.findall(rb"/MediaBox", pdf_of(plan, maps(a), a.on, paper))) == 1


def test_law_no_bar_is_dropped_however_short_it_is_said() -> None:
    a = ten()
    sheet = of(a)
    for blocks in (sheet.blocks, *sheet.shorter):
        lists = told(tuple(block for block in blocks if isinstance(block, Items)))
        rows = {mark: row for row in kilns(blocks).rows for mark in str(row[0]).split(", ")}
        assert set(rows) == {decision.name for decision in a.decisions}
        assert sum(len(str(row[0]).split(", ")) for row in kilns(blocks).rows) == len(rows)
        for decision in a.decisions:
            said = "\n".join([*every_word(rows[decision.name]), lists])
            assert decision.word in said
            both = ("water_quench", "water_attack") if "Both lines" in said else ()
            assert all(check_label(bar.check) in said or bar.check in both for bar in decision.because)
            wrong = [bar for bar in decision.because if bar.verdict != "not known"]
            assert all(word(bar.verdict) in said or tell(bar.reason)[:40] in said for bar in wrong)


def crowded() -> Assessment:
    """The sample with seven kilns more, each with bars of its own."""
    a = sample()
    made, first = a.source, a.source.of_kind("kiln_spot")[0]
    for number in range(7):
        values = {"kiln": first.text("kiln"), "ground": GROUNDS[number % 4], "name": f"K{number + 4}"}
        spot = point(f"more{number}", "kiln_spot", first.shape.x + number * 1e-4, first.shape.y - 1e-4, **values)
        made = made.put(spot)
    return assess(made, a.terrain, on=a.on)


@pytest.mark.parametrize("language", ["en", "es"])
def test_law_every_kiln_that_is_not_lit_has_its_first_action_on_paper(language: str) -> None:
    """In each version, also in the shortest, which is one side."""
    a = crowded()
    sheet = of(a, language)
    for blocks in (sheet.blocks, *sheet.shorter):
        said = told(blocks)
        for decision in a.decisions:
            assert decision.may_be_lit or tell(decision.because[0].action, "us", language).rstrip(".") in said
    shortest = replace(sheet, blocks=sheet.shorter[-1], shorter=())
    plan = replace(plan_of(a, ["decision"], language), sheets=(shortest,))
    assert len(re.findall(rb"/MediaBox", pdf_of(plan, maps(a), a.on, "letter"))) == 1


def test_law_what_is_cut_says_so_and_how_much() -> None:
    sheet = of(ten())
    for blocks in (sheet.blocks, *sheet.shorter):
        said = told(blocks)
        assert ("…" in said) == ("… shortened: the whole stands in the annex." in said)
    shortest = told(sheet.shorter[-1])
    assert re.search(r"\d+ things: see the annex", shortest)
    assert "Reasons that are not told here stand in the annex" in shortest


def test_law_long_names_that_begin_alike_stay_apart_by_the_number_on_the_map() -> None:
    rows = kilns(of(ten("Kiln {} by the oak on the upper landing")).shorter[-1]).rows
    marks = [mark for row in rows for mark in re.findall(r"#\d+", str(row[0]))]
    assert sorted(marks, key=lambda mark: int(mark[1:])) == [f"#{number}" for number in range(1, 11)]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs a reader of PDF to see the words")
def test_agrees_with_poppler_that_ten_kilns_leave_permit_way_in_and_people_whole() -> None:
    """What is signed under: of ten kilns for two adults a condition was cut off, the very one that is not met."""
    a = sample()
    made, first = a.source, a.source.get("k1")
    for number in range(4, 11):
        lon, lat = first.shape.x + number % 4 * 2e-4, first.shape.y + number // 4 * 1e-4
        more = {key: value for key, value in first.entered.items() if key not in ("kind", "name", "seen")}
        made = made.put(point(f"more{number}", "kiln_spot", lon, lat, name=f"K{number}", **more))
    crew = {**made.member["crew"], "adults": 2}
    a = assess(made.with_member("crew", crew), a.terrain, on=a.on)
    assert len(a.decisions) == 10
    page = pdf_of(plan_of(a, ["decision"]), maps(a), a.on, "letter")
    read = subprocess.run(["pdftotext", "-raw", "-", "-"], input=page, capture_output=True, check=True).stdout.decode()
    assert read.count("\f") == 1
    said, permit = " ".join(read.split()), a.source.section("permit")
    for whole in (
        (permit.text("conditions") or "?").rstrip("."),
        crew["directions"],
        crew["hospital"],
        "Hands: too few people",
    ):
        assert whole in said, whole


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs a reader of PDF to see the words")
@pytest.mark.parametrize("name", ["birch_shore", "farm_dam", "juniper_bench"])
def test_agrees_with_poppler_that_the_conditions_of_the_permit_stand_whole_on_each_sample(name: str) -> None:
    """Of a sample with four kilns a condition was cut off, as other words were."""
    found = opened(ROOT / "sample_sites" / f"{name}.geojson")
    on = found.site.section("season").date("date")
    assert on is not None
    a = assess(found.site, found.terrain, on=on, today=on - dt.timedelta(days=3))
    page = pdf_of(plan_of(a, ["decision"]), maps(a), a.on, "letter" if a.source.units == "us" else "a4")
    read = subprocess.run(["pdftotext", "-raw", "-", "-"], input=page, capture_output=True, check=True).stdout.decode()
    assert (a.source.section("permit").text("conditions") or "?").rstrip(".") in " ".join(as_typed(read).split())
    assert re.search(r"\d\n(?:km/h|mph|°[CF]|L|m|ft)\b|km/\n|±\n", as_typed(read)) is None, "a figure lost its unit"


def test_law_the_first_sheet_holds_what_an_officer_asks() -> None:
    a = sample()
    said, kiln = whole(a), a.source.of_kind("kiln_spot")[0].shape
    crew = a.source.section("crew")
    for wanted in (
        *(degrees_minutes(kiln.x, kiln.y), "WGS 84", crew.text("directions"), crew.text("leader"), crew.text("phone")),
        *("Sat 5 Dec 2026", "07:22", "last burn day", "the permit ends on", "The authority agreed"),
        *("Check today", "fire ban", "Strictest limits", "Needed with reserve", "Not known", "depends on most"),
        *("Every distance is an example until the local code has been asked", "embers", "Authority: date, signature"),
        *(text(source.litres_there, "l", "us", toward="down") for source in a.sources),
    ):
        assert wanted in said, wanted
    assert any(isinstance(block, Blanks) for sides in of(a).blocks for block in getattr(sides, "left", ()))


def test_law_every_bar_has_its_reason_or_verdict_and_its_action() -> None:
    a = sample()
    said = whole(a)
    assert all(tell(bar.action, "us") in said for decision in a.decisions for bar in decision.because)


def test_law_what_may_not_be_lit_has_no_signature() -> None:
    alone = assessed(one_kiln(crew={"adults": 1}))
    assert "there is nothing to sign" in whole(alone)
    assert "signature" not in whole(alone)
    assert "enter two adults or more" in whole(alone)


@pytest.mark.parametrize("name", ["juniper_bench", "farm_dam", None])
def test_law_the_last_burn_day_stands_against_the_end_of_the_permit(name: str | None) -> None:
    """The verdict of the calendar, behind its sign: past the permit is never told as in time."""
    made = sample(name) if name else assessed(one_kiln())
    sign = {"fits the dates": "✓", "tight": "?", "not known": "?", "does not fit": "✕"}[made.calendar.word]
    assert f"{sign} {tell(made.calendar.told, made.source.units)}" in whole(made)


def test_law_the_permit_s_wind_stands_where_it_is_stricter() -> None:
    """The sample's permit: nothing alight in wind over 20 km/h, a height nobody named."""
    limits = next(t for t in tables(of(sample("farm_dam")).blocks) if "Do not burn" in t.heads)
    wind = limits.rows[0]
    assert wind[3] == "the permit’s"
    assert float(re.search(r"\d+", wind[2])[0]) < 20  # carried from 10 m down to the eye
    ours = next(t for t in tables(of(sample()).blocks) if "Do not burn" in t.heads)
    assert {row[3] for row in ours.rows} == {"ours"}


def tables(blocks: tuple[Block, ...]) -> list[Table]:
    inside = [each for block in blocks for each in (*getattr(block, "left", ()), *getattr(block, "right", ()))]
    return [block for block in (*blocks, *inside) if isinstance(block, Table)]


def test_law_no_kiln_is_no_reason_to_forget_the_water_or_the_answer() -> None:
    asked = [{"whom": "authority", "name": "A. Duty", "date": "2026-05-19", "answer": "yes"}]
    said = whole(assessed(one_kiln(asked=asked).without("k1")))
    assert "No water source" not in said
    assert "Tank" in said
    assert "A. Duty" in said
    assert "No water source" in whole(assessed(one_kiln().without("w1")))


@pytest.mark.parametrize("name", ["juniper_bench", "farm_dam", "birch_shore"])
def test_law_what_is_said_to_be_counted_is_in_the_sum_of_the_source(name: str) -> None:
    """Quenches of those that count and the reserve make what the source must give; those that do not, do not."""
    a = sample(name)
    lines, said = whole(a).splitlines(), {}
    for counted, start in ((True, "Not lit, but its water is counted in: "), (False, "Not lit, and its water is not ")):
        found = next((line for line in lines if line.startswith(start)), "")
        said |= {each.name: counted for each in a.decisions if re.search(rf"\b{each.name}\b", found)}
    assert set(said) == {each.name for each in a.decisions if each.effect == "ruled out"}
    for source in a.sources:
        drawn = [
            wet.quench.litres.likely for wet in a.water.spots if wet.quench.source == source.id and wet.quench.litres
        ]
        asked = sum(drawn) + a.burn.reserve_l.likely
        off = {wet.quench.litres.likely for wet in a.water.spots if said.get(name_of(a, wet.spot_id)) is False}
        kept = [0.0, a.burn.reserve_l.likely]
        assert any(source.litres_needed.likely == pytest.approx(asked - sum(off) - one) for one in kept), source.id


def test_published_daylight_on_the_decision_sheet() -> None:
    """NREL solar position algorithm, 39.742 N 105.179 W, 2015-01-02, UTC−7: 07:21:55 and 16:47:43 (S); ± 2 min."""
    a = assessed(one_kiln(-105.179, 39.742, timezone="America/Denver"), dt.date(2015, 1, 2))
    found = re.search(r"sunrise (\d\d):(\d\d), sunset (\d\d):(\d\d), clock UTC−07:00", whole(a))
    rise, fall = (int(found[k]) * 60 + int(found[k + 1]) for k in (1, 3))
    assert abs(rise - (7 * 60 + 21 + 55 / 60)) <= 2
    assert abs(fall - (16 * 60 + 47 + 43 / 60)) <= 2


def test_law_the_permit_s_wind_stands_beside_the_wind_that_is_read() -> None:
    """20 km/h at 10 m is 10 at eye level, rounded down: as worked out for the sample by the profile of `weather`."""
    plan = plan_of(sample("farm_dam"), ["decision", "day", "permission", "crew"], "en")
    said = {sheet.key: "\n".join(every_word(sheet)) for sheet in plan.sheets}
    assert "Wind: 10 km/h is the permit’s 20 km/h, taken at 10 m, carried down to eye level." in said["decision"]
    assert "over 10 km/h (the permit’s 20 km/h, taken at 10 m)" in said["day"]
    assert "3–10 km/h (the permit’s 20 km/h, taken at 10 m)" in said["permission"]
    assert "20 km/h" not in said["crew"]  # one figure for who holds the card, and it is the one read
    at_eye = one_kiln(permit={"wind_km_h": 9, "wind_at": "eye_level"})
    assert "carried down" not in plan_of(assessed(at_eye), ["decision", "day"], "en").text


@pytest.mark.parametrize(("permit", "told"), [
    ({"none_needed": True}, "none is needed"),
    ({"number": "7", "from": "2026-04-01", "to": "2026-05-10"}, "none: the permit ended on Sun 10 May 2026"),
])  # fmt: skip
def test_law_no_permit_needed_and_one_that_has_ended_are_said(permit: dict[str, Any], told: str) -> None:
    said = plan_of(assessed(one_kiln(permit=permit)), ["decision"], "en").text
    assert told in said
    assert ("read its conditions" in said) == ("none_needed" not in permit)


def test_law_what_is_asked_of_several_kilns_names_each_of_them_once() -> None:
    """Ten kilns of which each has several things nobody looked for: one line, each mark in it once."""
    lines = [text for blocks in (of(crowded()).blocks, *of(crowded()).shorter) for text in told(blocks).split("\n")]
    lists = [re.findall(r"K\d+", line.partition(":")[0]) for line in lines if re.match(r"K\d+, K\d+", line)]
    assert lists
    assert [marks for marks in lists if len(marks) != len(set(marks))] == []


@pytest.mark.parametrize(("count", "told"), [(1, True), (9, True), (10, False)])
def test_law_of_fewer_kilns_than_places_no_more_are_lit_than_there_are(count: int, told: bool) -> None:
    """Ten places that pass, and nine kilns: day sheet and decision name ten, and say that nine are alight."""
    kilns_on_hand = ten().source.member["equipment"]["kilns"]
    made = ten().source.with_member("equipment", {"kilns": [{**kilns_on_hand[0], "count": count}]})
    a = assessed(made)
    a = replace(a, decisions=tuple(replace(each, because=()) for each in a.decisions))
    on_map = {kiln.first for kiln in kiln_verdicts(a)}
    names = "kilns K1, K2, K3, K4, K5, K6, K7, K8, K9 and K10"
    assert all((f"{count} × Ring for {names}: no more than {count} of these" in said) is told for said in on_map)
    words = f"{count} × Ring for K1, K2, K3, K4, K5, K6, K7, K8, K9, K10: no more than {count} of these"
    assert (words in whole(a)) is told
    assert (words in "\n".join(every_word(plan_of(a, ["day"]).sheets[0].blocks))) is (told and bool(a.clock_of("k1")))
