"""What a bucket was filled with: a test of another line, or of one nobody named, says nothing of this one."""

from __future__ import annotations

import pytest

from sitemap.assessment import assess
from sitemap.site.file import parse_site
from sitemap.telling import tell
from sitemap.water.tested_of_site import said_as_now
from tests.safety.dangerous.safe_site import SafeSite
from tests.water.test_of_site import EQUIPMENT, FILLED, quench

BUCKET = {"source": "w", "spot": "k1", "lift_m": 10, "lift_error_m": 1, "bucket_litres": 20, "bucket_seconds": 15}
KIT = EQUIPMENT | {
    "pumps": [*EQUIPMENT["pumps"], {"id": "p2", "name": "large pump", "max_head_m": 80, "max_flow_l_min": 600}],
    "hoses": [*EQUIPMENT["hoses"], {"id": "h2", "name": "52 mm", "bore_mm": 52, "lengths_m": [20] * 6}],
    "nozzles": [*EQUIPMENT["nozzles"], {"id": "n2", "name": "fog", "bore_mm": 12}],
}


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"bucket_pump": ["p2"]}, "the pump: large pump; now small pump"),
        ({"bucket_hose": ["h2"]}, "the hose: 52 mm; now 38 mm"),
        ({"bucket_hose": ["h", "h2"]}, "the hose: 38 mm, 52 mm; now 38 mm"),
        ({"bucket_tip": "fog"}, "the nozzle: fog; now tip"),
        ({"bucket_pump": ["borrowed"]}, "the pump: borrowed; now small pump"),
        ({"bucket_pump": None}, "does not say what it was made with (the pump)"),
        (dict.fromkeys(FILLED), "does not say what it was made with (the pump, the hose, the nozzle)"),
    ],
)
def test_law_a_test_of_another_line_proves_nothing_of_this_one(said, told) -> None:
    """House rule: the flow shown is then the one on paper, and the line is not known."""
    given = {key: value for key, value in (BUCKET | FILLED | said).items() if value is not None}
    found, proved = (quench(equipment=KIT, links=[link]) for link in (given, BUCKET | FILLED))
    assert (found.verdict, proved.verdict) == ("not known", "enough, proved")
    assert told in tell(found.reason)
    assert found.flow_l_min.triple() != proved.flow_l_min.triple()
    assert "by the bucket test with small pump, 38 mm, tip" in tell(proved.reason)


def test_law_gear_is_known_by_its_name_too() -> None:
    named = {"bucket_pump": ["Small pump"], "bucket_hose": ["38 mm"], "bucket_tip": "tip"}
    assert quench(equipment=KIT, links=[BUCKET | named]).verdict == "enough, proved"


def test_law_an_old_file_opens_and_one_touch_says_with_what_its_buckets_were_filled() -> None:
    """Both kilns may be lit again when somebody says that it was the gear of now; what was said is not touched."""
    blank = SafeSite().lines(bucket_pump=None, bucket_hose=None, bucket_tip=None).site()
    on = blank.section("season").date("date")
    old = assess(blank, None, on=on)
    assert {d.word for d in old.decisions} == {"not yet"}
    said = said_as_now(blank, old.water)
    assert {d.word for d in assess(said, None, on=on).decisions} == {"may be lit"}
    assert said == SafeSite().site()
    of_k1 = said_as_now(blank, old.water, "k1").records("links")
    assert [link.has("bucket_pump") for link in of_k1] == [True, False, True, False]
    other = SafeSite().lines(bucket_pump=["other"]).site()
    assert said_as_now(other, assess(other, None, on=on).water) is other
    assert parse_site(SafeSite().text()) == said_as_now(SafeSite().site(), None)
