"""What one look round a kiln takes away is told as one thing, and none of it is left out."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from sitemap.assessment import assess
from sitemap.day.together import together
from sitemap.safety.looked import look_for
from sitemap.site.file import read_site
from sitemap.site.kinds import KINDS
from sitemap.telling import tell

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "juniper_bench.geojson"


def test_law_bars_told_together_lose_no_kind_and_no_other_bar() -> None:
    site = read_site(SAMPLE).with_member("looked", [])
    decision = assess(site, on=dt.date(2026, 12, 5)).decisions[0]
    told = together(decision.because)
    looks = [bar for bar in decision.because if bar.check == "looked"]
    assert len(looks) == len(look_for()) > 1
    assert [bar for bar in told if bar.check != "looked"] == [bar for bar in decision.because if bar.check != "looked"]
    (one,) = (bar for bar in told if bar.check == "looked")
    assert (one.word, one.action) == (looks[0].word, looks[0].action)
    for language in ("en", "es"):
        words = tell(one.reason, "us", language)
        assert all(tell(bar.reason, "us", language).split(":")[0] in words for bar in looks)
    assert all(KINDS[kind].label in tell(one.reason) for kind in look_for())


def test_law_one_bar_alone_is_told_as_it_is() -> None:
    decision = assess(read_site(SAMPLE), on=dt.date(2026, 12, 5)).decisions[-1]
    assert together(decision.because) == decision.because != ()


def test_law_they_stand_where_the_first_of_them_stood() -> None:
    decision = assess(read_site(SAMPLE).with_member("looked", []), on=dt.date(2026, 12, 5)).decisions[0]
    looks = [bar for bar in decision.because if bar.check == "looked"]
    other = next(bar for bar in decision.because if bar.check != "looked")
    told = together((other, looks[0], other, *looks[1:], other))
    assert [bar.check == "looked" for bar in told] == [False, True, False, False]
    assert together((looks[1], other)) == (looks[1], other)
    assert together(()) == ()
