"""The phone page and what it sends back."""

from __future__ import annotations

import hashlib
import json
import re
from base64 import b64encode
from html import unescape

import pytest

from sitemap.__main__ import main
from sitemap.errors import BadFile
from sitemap.plan.exports import export_bytes
from sitemap.plan.map import corners_of
from sitemap.plan.phone import phone_html
from sitemap.plan.sheets.day import TICKS
from sitemap.season.batches import batches_of
from sitemap.site.bundle import packed, read_bundle
from sitemap.site.check import check
from sitemap.site.file import read_site, site_text
from sitemap.site.imports.returned import is_returned, read_returned, with_returned
from tests.plan.builders import assessed, one_kiln, point, sample, site

SENT = {
    "pitstead_from_the_landing": 1,
    "plan": "x",
    "site": "Somewhere",
    "date": "2026-05-20",
    "units": "us",
    "ticks": [{"id": "a1", "what": "ban", "who": "Anna", "when": "2026-05-20 07:40"}],
    "log": [
        {"id": "b2", "kind": "log", "date": "2026-05-20", "at": "08:10", "who": "Anna", "kiln": "K1", "text": "lit",
         "buckets": None, "water": 10},
    ],
}  # fmt: skip


def data_of(page: str) -> dict:
    return json.loads(re.search(r'<script type="application/json" id="data">(.*?)</script>', page)[1])


@pytest.mark.parametrize("language", ["en", "es"])
def test_law_decision_and_crew_card_stand_first_then_the_fields(language: str):
    page = phone_html(sample(), language)
    places = [page.index(f'id="{key}') for key in ("decision", "crew", "write", "map", "day", "cold")]
    assert places == sorted(places)
    assert page.count("data-tick=") == len(TICKS) + 5  # five cold checks of the one kiln that may be lit
    assert len(page.encode()) < 3_000_000
    assert 'class="pen"' not in page
    assert re.search(r"<(link|img|iframe|form)\b", page) is None
    assert not re.search(r"url\((?!#)|@import|https?://(?!www\.w3\.org/)", page)


def test_law_a_kiln_comes_back_by_its_name_whatever_its_letters():
    """What a browser sends for a choice is its value: no mark that turns Arabic letters for the eye is in it."""
    made = one_kiln()
    for number, name in enumerate(("فرن 9", "כבשן", "K<1> & co")):
        made = made.put(point(f"x{number}", "kiln_spot", 15.001 + number / 1000, 60.0, name=name, kiln="ring"))
    chosen = re.search(r'<select id="line-kiln">(.*?)</select>', phone_html(assessed(made)), re.DOTALL)[1]
    values = [unescape(value) for value in re.findall(r'<option value="([^"]+)">', chosen)]
    assert set(values) == {spot.name for spot in made.of_kind("kiln_spot")}


def test_law_a_time_on_a_phone_is_never_without_its_word():
    """The first cell of a row heads its card: where it is a time or a number, the head of its column goes before it."""
    page = phone_html(sample(), "en")
    assert re.search(r'<th scope="row" data-head="Light by">\d\d:\d\d</th>', page)
    assert ".cards th[data-head]::before" in page


def test_law_only_the_scripts_of_the_page_may_run():
    """The policy names the script by its SHA-256 (Content Security Policy level 2, from memory)."""
    page = phone_html(sample())
    script = re.search(r'<script type="module">(.*?)</script>', page, re.DOTALL)[1]
    assert f"script-src 'sha256-{b64encode(hashlib.sha256(script.encode()).digest()).decode()}'" in page
    assert "default-src 'none'" in page
    hostile = "</script><script>alert(1)</script>"
    bad = phone_html(assessed(one_kiln(name=hostile)))
    assert bad.count("<script") == 2
    assert data_of(bad)["site"] == hostile


def test_law_a_place_is_found_on_the_map_by_its_corners():
    """Position by three corners against the plane the map is drawn on: less than a tenth of a millimetre apart."""
    a = sample()
    (left, top, lon_w, lat_n), (right, _, lon_e, _), (_, bottom, _, lat_s) = corners_of(a)
    lon, lat = lon_w + 0.3 * (lon_e - lon_w), lat_n + 0.6 * (lat_s - lat_n)
    x, y = a.plane.xy(lon, lat)
    west, north = a.plane.xy(lon_w, lat_n)
    metres = (a.plane.xy(lon_e, lat_n)[0] - west) / (right - left)
    assert left + (x - west) / metres == pytest.approx(left + 0.3 * (right - left), abs=0.1)
    assert top + (north - y) / metres == pytest.approx(top + 0.6 * (bottom - top), abs=0.1)
    assert corners_of(assessed(site())) == ()


def test_law_what_comes_back_lands_behind_what_is_there_and_only_once():
    before = one_kiln(ticks=[{"what": "permit", "who": "Bo", "when": "2026-05-20 07:00"}])
    text = json.dumps(SENT)
    assert is_returned(text)
    first = read_returned("x.json", text, before)
    after = with_returned(before, first)
    assert [tick.text("what") for tick in after.records("ticks")] == ["permit", "ban"]
    (line,) = after.records("log")
    assert line.text("text") == "08:10 Anna: lit"
    assert line.number("water_l") == pytest.approx(37.854)  # 10 US gallons of 3.785 412 L (NIST SP 811)
    again = read_returned("x.json", text, after)
    assert (again.ticks, again.log, again.doubles) == ((), (), 2)
    assert with_returned(after, again) == after
    changed = [{**record, "text": "lit at last"} for record in after.member["log"]]
    assert read_returned("x.json", text, after.with_member("log", changed)).log == ()  # corrected here: not doubled


def test_law_moments_of_a_batch_and_looks_come_back_as_what_they_are():
    """Lit and water on make a batch with its hours, and what a cold check found is a look at the kiln."""
    line = {
        "kind": "log",
        "date": "2026-05-20",
        "who": "Anna",
        "kiln": "K1",
        "text": "",
        "buckets": None,
        "water": None,
    }
    moments = [("lit", "08:10"), ("water_on", "12:40"), ("cold", "15:00"), ("warm", "17:00")]
    sent = {**SENT, "log": [{**line, "id": f"e{at}", "event": event, "at": at} for event, at in moments]}
    after = with_returned(one_kiln(), read_returned("x.json", json.dumps(sent), one_kiln()))
    (batch,) = batches_of(after)
    assert batch.hours == 4.5
    assert [(look.text("time"), look.text("who"), look.choice("found")) for look in after.records("cold")] == [
        ("15:00", "Anna", "cold"),
        ("17:00", "Anna", "warm"),
    ]
    again = read_returned("x.json", json.dumps(sent), after)
    assert (again.count, again.doubles) == (0, 5)
    assert [note for note in check(after) if note.what == "bad_value"] == []


def test_law_a_whole_batch_and_bags_come_back_in_the_units_of_the_log():
    """US units by NIST SP 811: 0.453 592 kg in a pound, 25.4 mm in an inch, 3.785 412 L in a gallon."""
    more = {
        "date": "2026-05-19",
        "lit": "08:10",
        "water_on": "13:10",
        "uncharred": 7,
        "uncharred_where": "rim",
        "cause": "late",
    }
    more |= {"bucket_kg": 10, "moisture_pct": 18, "thickest_cm": 4, "people": 3, "heaps_done": "p1"}
    line = {**SENT["log"][0], "event": "", "more": more}
    bags = [{"id": "c3", "date": "2026-05-20", "kiln": "K1", "more": {"count": 2, "weight_kg": 200, "litres": 185.7}}]
    sent = json.dumps({**SENT, "log": [line], "bags": bags})
    after = with_returned(one_kiln(), read_returned("x.json", sent, one_kiln()))
    (batch,) = batches_of(after)
    assert (batch.hours, batch.word("cause"), batch.done) == (5.0, "late", ("p1",))
    assert str(batch.on) == "2026-05-19"  # noted the morning after
    figures = {"bucket_kg": 4.53592, "thickest_cm": 10.16, "moisture_pct": 18, "uncharred": 7}
    assert {key: batch.figure(key) for key in figures} == pytest.approx(figures, rel=1e-4)
    (bag,) = after.records("bags")
    assert (bag.integer("count"), bag.number("weight_kg"), bag.number("litres")) == pytest.approx(
        (2, 90.718, 702.95), rel=1e-4
    )
    assert read_returned("x.json", sent, after).count == 0
    assert [note for note in check(after) if note.what == "bad_value"] == []
    lit = {
        **SENT["log"][0],
        "date": "2026-05-19",
        "id": "d4",
        "event": "lit",
        "at": "08:10",
    }  # the same lighting as a moment: one batch
    both = read_returned("x.json", json.dumps({**SENT, "log": [lit, line]}), one_kiln())
    assert len(batches_of(with_returned(one_kiln(), both))) == 1


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"site": "Elsewhere"}, "was written on the plan of “Elsewhere”"),
        ({"pitstead_from_the_landing": 2}, "a newer version"),
        ({"units": "furlongs"}, "does not say its units"),
        ({"ticks": "ban"}, "no list of ticks"),
        ({"ticks": [{"what": 3}]}, "whose what is no short text"),
        ({"log": [{"date": "May"}]}, "which is no date"),
        ({"log": [{"date": "2026-05-20", "event": "danced"}]}, "which no batch has"),
        ({"log": [{"date": "2026-05-20", "water": -1}]}, "which is no amount"),
        ({"log": [{"date": "2026-05-20", "buckets": True}]}, "which is no amount"),
        ({"log": [{"date": "2026-05-20", "more": {"moisture_pct": 900}}]}, "Correct it on the phone"),
        ({"log": [{"date": "2026-05-20", "more": {"cause": "bored"}}]}, "Correct it on the phone"),
        ({"log": [{"date": "2026-05-20", "more": {"dance": 1}}]}, "which no log has"),
        ({"log": [{"date": "2026-05-20", "more": 3}]}, "cannot be read"),
        ({"bags": [{"date": "2026-05-20", "more": {"count": -2}}]}, "which is no amount"),
    ],
)
def test_refuses_what_is_not_whole(change: dict, told: str):
    with pytest.raises(BadFile, match=re.escape(told)):
        read_returned("x.json", json.dumps({**SENT, **change}), one_kiln())
    with pytest.raises(BadFile, match="not whole"):
        read_returned("x.json", json.dumps(SENT)[:-5], one_kiln())


def test_law_the_command_line_takes_it_in(tmp_path, capsys):
    own, sent, out = tmp_path / "site.geojson", tmp_path / "back.json", tmp_path / "new.geojson"
    own.write_text(site_text(one_kiln()), encoding="utf-8")
    sent.write_text(json.dumps(SENT), encoding="utf-8")
    assert main(["bring", str(own), str(sent), "-o", str(out)]) == 0
    assert "New: 1 ticks, 1 lines of the log; here already: 0." in capsys.readouterr().out
    assert len(read_site(out).records("log")) == 1
    assert main(["bring", str(own), str(tmp_path / "none.json"), "-o", str(out)]) == 2
    kept = hashlib.sha256(b"raster").hexdigest()
    zipped, brought = tmp_path / "site.zip", tmp_path / "new.zip"
    zipped.write_bytes(packed(one_kiln(files={"terrain": {"name": "a.tif", "sha256": kept}}), lambda _: b"raster"))
    assert main(["bring", str(zipped), str(sent), "-o", str(brought)]) == 0
    site, files = read_bundle(brought.read_bytes())
    assert (len(site.records("log")), files) == (1, {kept: b"raster"})
    assert main(["bring", str(own), str(sent), "-o", str(brought)]) == 2
    assert export_bytes(assessed(one_kiln()), ".html").startswith(b"<!DOCTYPE html>")
