"""What the lines of folds say, and what stands in one line because it is alike."""

from __future__ import annotations

import re
from collections.abc import Callable

from sitemap.site.model import Site
from tests.site.builders import site_of, thing
from tests.views.conftest import Visit, store

Open = Callable[..., Visit]


def _with_kilns(count: int) -> Site:
    """Kilns all alike on one heap, without a burn date."""
    size = {"shape": "box", "length_m": 2.0, "width_m": 1.2, "height_m": 1.0}
    heap = thing("p", "pile", name="P1", shape="dome", length_m=4.0, width_m=3.0, height_m=1.5)
    spots = [thing(f"k{n}", "kiln_spot", name=f"K{n}", kiln=f"kiln-{n}") for n in range(1, count + 1)]
    site = site_of(heap, *spots, thing("w", "water_source", name="W1", source="pond"))
    for n in range(1, count + 1):
        site = site.with_item("kilns", {"id": f"kiln-{n}", "name": f"Kiln {n}", **size})
    return site


def test_law_the_line_of_a_record_reads_as_people_say_it(visit: Open) -> None:
    """Dates with their day and what they are, a yes as its own words: nothing as it stands in the file."""
    tab = visit().go("rules")
    permit, authority = (each.label for each in tab.app.expander if "Invented 26" in each.label or "Duty" in each.label)
    assert "from Sun 1 Nov 2026 · until Sun 28 Feb 2027" in permit
    assert permit.endswith("each condition is met · seen by The owner · seen on Fri 20 Nov 2026")
    assert authority.startswith("The authority · Duty officer · Sun 22 Nov 2026 · agreed")
    lines = [each.label for page in ("rules", "when", "log") for each in tab.go(page).app.expander]
    assert not [line for line in lines if re.search(r"\d{4}-\d\d", line)]


def test_law_the_hour_by_which_the_fires_are_out_says_what_it_is(visit: Open) -> None:
    site = visit().site
    site = site.with_member("permit", {**site.member["permit"], "to_time": "16:00"})
    assert "until Sun 28 Feb 2027 · out by 16:00" in visit(store().create(site).link).go("rules").words


def test_law_a_cold_check_has_the_day_of_the_week_it_falls_on(visit: Open) -> None:
    """5 December 2026 is a Saturday (a calendar of that year)."""
    assert "Cold checks: first Sat 5 Dec " in visit().go("kilns").words


def test_law_what_is_alike_of_many_kilns_is_said_once(visit: Open) -> None:
    page = visit(store().create(_with_kilns(5)).link).go("kilns")
    assert "Kilns K1, K2, K3, K4, K5: not here" in page.words
    assert "All 5 kilns" in page.words
    tables = [each.proto.body for each in page.go("water").app.get("html") if ">Quench line</th>" in each.proto.body]
    assert [re.findall("<th scope=.row.>(.*?)</th>", table) for table in tables] == [["K1, K2, K3, K4, K5"]]
    few = visit(store().create(_with_kilns(1)).link).go("kilns")
    assert "Kiln K1: not here" in few.words
    assert "All 1 kilns" not in few.words


def test_law_no_line_of_a_fold_shows_the_signs_of_its_letters(visit: Open) -> None:
    """Two pairs of asterisks beside each other are no emphasis (CommonMark 0.31, section 6.2): they would be read."""
    for name in ("kilns", "water", "rules", "when"):
        labels = [each.label for each in visit().go(name).app.expander]
        assert labels
        assert not [label for label in labels if "****" in label]


def test_law_why_to_look_is_said_only_where_something_is_still_to_be_looked_for(visit: Open) -> None:
    why = "A kind nobody looked for round the kilns"
    assert why in visit(store().create(_with_kilns(1)).link).go("rules").words
    assert why not in visit().go("rules").words  # on the sample all is looked for


def test_law_scattered_slash_says_what_to_do_about_its_moisture(visit: Open) -> None:
    assert "Scattered slash: moisture not known No readings: gather it into a heap" in visit().go("when").words


def test_law_what_of_the_permit_bars_a_kiln_stands_outside_its_fold(visit: Open) -> None:
    """Also where the tick that its conditions are met no longer stands: the fold follows the decision, nothing else."""
    tab = visit()
    assert "Permit: not" not in tab.go("rules").words
    permit = dict(tab.site.member["permit"])
    for wrong in ({"conditions_met": None}, {"met_on": "2020-01-01"}, {"to": "2020-02-01", "from": "2020-01-01"}):
        link = store().create(tab.site.with_member("permit", permit | wrong)).link
        assert "Permit: not" in visit(link).go("rules").words


def test_law_conditions_of_a_yes_are_asked_for_outside_every_fold(visit: Open) -> None:
    """They keep every kiln from being lit until each is ticked as met, then until somebody wrote who saw it. What is
    folded stands below all else of its record."""
    asked = {"whom": "authority", "name": "Anna", "date": "2026-11-29", "answer": "conditions"}
    tab = visit()

    def folded(record: dict[str, object]) -> set[str]:
        page = visit(store().create(tab.site.with_member("asked", [record])).link).go("rules")
        keys = [str(each.key) for each in page.app.main if str(each.key).startswith("r.asked.0.")]
        return {key.rpartition(".")[2] for key in keys[keys.index("r.asked.0.about") + 1 :]}

    seldom = {"conditions_met", "met_by", "met_on", "distance_m", "none_needed"}
    assert seldom <= folded(asked | {"answer": "yes"})
    assert seldom & folded(asked) == seldom - {"conditions_met"}
    assert seldom & folded(asked | {"conditions_met": True}) == {"distance_m", "none_needed"}


def test_law_what_bars_the_day_stands_first_on_when_and_outside_every_fold(visit: Open) -> None:
    """By the decisions alone: in the order of the page, before the first part and in no fold."""
    tab = visit()
    assert "What bars" not in tab.go("when").words
    season = {**tab.site.member["season"], "ban": "in_force"}
    page = visit(store().create(tab.site.with_member("season", season)).link).go("when")
    assert page.words.index("Fire ban: ") < page.words.index("Forecast: ")
    assert not [each for fold in page.app.expander for each in fold.get("html") if "Fire ban: " in each.proto.body]


def test_law_hours_of_the_forecast_are_folded_only_where_all_are_inside_the_limits(visit: Open) -> None:
    tab = visit()
    hours = [dict(each.values) for each in tab.site.records("forecast_hours")]
    windy = [{**each, "gust_m_s": 14.0} for each in hours]  # a near gale by the Beaufort scale (WMO), from memory
    for said, folded in ((hours, True), (windy, False)):
        page = visit(store().create(tab.site.with_member("forecast_hours", said)).link).go("when")
        forecast = next(each for each in page.app.expander if each.label.startswith("**Forecast**"))
        assert ("Hour by hour" in [each.label for each in forecast.get("expander")]) is folded
        assert ("Forecast: inside limits" in page.words) is folded


def test_law_what_nobody_looked_for_round_a_kiln_is_one_thing_to_do_and_every_kind_is_named(visit: Open) -> None:
    page = visit(store().create(_with_kilns(1)).link).choose("k1")
    assert page.words.count("Not yet: look round the kiln for what is not on the map") == 1
    lookings = [each.proto.body for each in page.app.get("html") if "Looked for:" in each.proto.body]
    assert len(lookings) == 1
    for kind in ("Structure", "Standing timber", "Power line", "Buried line", "Hazard tree"):
        assert kind in lookings[0]


def test_law_the_fields_of_a_kiln_stand_above_all_else_that_is_open(visit: Open) -> None:
    """What is answered goes from the list: it must not pull the next field away from under the hand."""
    page = visit(store().create(_with_kilns(1)).link).choose("k1")
    shown = [getattr(each, "key", None) or str(getattr(each.proto, "body", "")) for each in page.app.main]
    where = {words: next(n for n, each in enumerate(shown) if words in each) for words in ("Kiln K1:", "k1.slope_pct")}
    others = [n for n, each in enumerate(shown) if "Not yet: " in each]
    assert where["Kiln K1:"] < where["k1.slope_pct"] < min(others)


def test_law_what_bars_a_kiln_is_told_once_and_no_branch_is_measured_that_is_not_there(visit: Open) -> None:
    """On a phone its form was six screens long: what stands as a bar stood below it as a note again."""
    page = visit(store().create(_with_kilns(1)).link).choose("k1")
    assert page.words.count("The ground under the kiln is not entered") == 1
    page.app.selectbox(key="f.k1.branches_overhead").set_value("none").run()
    assert not [each for each in page.app.text_input if each.key == "f.k1.branch_height_m"]
    page.app.selectbox(key="f.k1.branches_overhead").set_value("yes").run()
    page.app.text_input(key="f.k1.branch_height_m").set_value("9").run()
    page.app.selectbox(key="f.k1.branches_overhead").set_value("none").run()
    assert page.app.text_input(key="f.k1.branch_height_m").value == "9", "what was typed stays in sight"


def test_law_each_thing_that_is_open_leads_to_where_it_is_answered(visit: Open) -> None:
    """Ban and grass are asked on the day, where nobody would look for them: the button opens their fold too."""
    page = visit(store().create(_with_kilns(1)).link).choose("k1")
    leads = {each.key: each.label for each in page.app.button if str(each.key).startswith("lead.k1.")}
    assert {"Rules and permit", "Kilns and clock", "Log and afterwards", "When"} <= set(leads.values())
    page.app.button(key=next(key for key, label in leads.items() if label == "Log and afterwards")).click().run()
    assert {"State of the grass and brush around", "Fire ban"} <= {each.label for each in page.app.selectbox}


def test_law_a_kind_of_distance_that_is_open_is_one_line_for_all_kilns_and_answered_there(visit: Open) -> None:
    page = visit(store().create(_with_kilns(5)).link).go("rules")
    lines = [each.label.replace("\\", "") for each in page.app.expander]
    assert [each for each in lines if "Heap: " in each] == ["✕ Heap: too close: K1, K2, K3, K4, K5"]
    assert "Move the kiln away from P1" in page.words
    page.app.text_input(key="distances.pile.p.position_error_m").set_value("2").run()
    assert page.site.get("p").number("position_error_m") == 2


def test_law_what_is_far_enough_on_the_map_does_not_hide_that_not_all_was_looked_for(visit: Open) -> None:
    far = [each.label for each in visit().go("rules").app.expander if "Far enough by the rule" in each.label]
    assert [label[0] for label in far] == ["✓"]
    blind = visit(store().create(visit().site.with_member("looked", None)).link).go("rules")
    words = [each.label for each in blind.app.expander if "Far enough by the rule" in each.label]
    assert [label[0] for label in words] == ["?"]
    assert "not all was looked for" in words[0]


def test_law_papers_tell_each_kind_of_bar_once_with_its_number_and_all_of_them_on_demand(visit: Open) -> None:
    tab = visit(store().create(_with_kilns(5)).link)
    words = tab.go("papers").words
    assert words.count("Burn date: not known Kilns all 5") == 1
    assert "##### Every kiln" in words


def test_law_what_bars_many_kilns_is_said_once_before_the_clock_with_all_their_names(visit: Open) -> None:
    site = _with_kilns(5).with_member("timezone", "America/Los_Angeles").with_member("season", {"date": "2026-12-21"})
    for kiln in site.equipment("kilns"):
        site = site.with_item("kilns", kiln.values.put(feed_kg_h=2))  # a day has 24 hours
    page = visit(store().create(site).link).go("kilns")
    warned = [each.value for each in page.app.warning if "No batch fits this daylight" in each.value]
    assert len(warned) == 1
    assert warned[0].count("No batch fits") == 1
    assert "K1, K2, K3, K4, K5" in warned[0]


def test_law_of_many_heaps_the_largest_are_drawn_and_the_figures_of_all_are_on_demand(visit: Open) -> None:
    size = {"shape": "dome", "width_m": 3.0, "height_m": 1.5}
    heaps = [thing(f"p{n}", "pile", name=f"P{n}", length_m=3.0 + n, **size) for n in range(1, 21)]
    page = visit(store().create(site_of(*heaps)).link).go("slash")
    assert "Heap by heap: the 15 largest of 20" in page.words
    assert "Figures of all 20" in [each.label for each in page.app.expander]
    drawn = page.app.get("vega_lite_chart")[0].proto.SerializeToString()
    assert [name for name in (b"P20", b"P19", b"P7", b"P6", b"P5", b"P4") if name in drawn] == [
        b"P20",
        b"P19",
        b"P7",
        b"P6",
    ]


def test_law_many_kilns_alike_are_told_together_beside_the_map_and_each_can_be_opened(visit: Open) -> None:
    page = visit(store().create(_with_kilns(5)).link)
    assert page.words.count("Kilns K1, K2, K3, K4, K5: not here") == 1
    page.app.button(key="show.k3").click().run()
    assert "Kiln K3: not here" in page.words


def test_law_all_that_is_open_of_one_thing_is_one_line_answered_together(visit: Open) -> None:
    """What is answered goes from the sentence and its field stays, also when the next one is typed."""
    page = visit(store().create(_with_kilns(1)).link).go("water")
    fields = [each.key for each in (*page.app.selectbox, *page.app.text_input) if "water.unknown.thing.w." in each.key]
    assert len([key for key in fields if key.endswith((".permission", ".volume_l"))]) == 2, fields
    volume = next(key for key in fields if key.endswith(".volume_l"))
    page.app.text_input(key=volume).set_value("9000").run()
    assert page.site.get("w").number("volume_l") == 9000
    assert volume in [each.key for each in page.app.text_input]
