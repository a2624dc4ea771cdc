"""The phone page as a file on a phone without network: what is written stays, comes back as a file, and is taken in."""

from __future__ import annotations

import json
import re
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from sitemap.plan.contents import plan_of
from sitemap.plan.papers import plan_html
from sitemap.plan.phone import phone_html
from sitemap.season.batches import batches_of
from sitemap.site.imports.returned import read_returned, with_returned
from tests.plan.builders import sample


def test_law_what_is_written_at_the_landing_stays_and_comes_back(browser: Browser, tmp_path: Path) -> None:
    a = sample()
    file = tmp_path / "phone.html"
    file.write_text(phone_html(a), encoding="utf-8")
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True, offline=True,
        geolocation={"latitude": 44.29, "longitude": -120.6105, "accuracy": 12}, permissions=["geolocation"],
    )  # fmt: skip
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda request: faults.append(request.url) if not request.url.startswith("file:") else None)
    page.goto(file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") == 390  # nothing is cut off at the side
    ban = page.locator('[data-tick="ban"]')
    ban.click()
    expect(page.locator("#said")).to_have_text("Write your name first.")
    expect(ban).not_to_be_checked()
    page.fill("#who", "Anna")
    ban.check()
    page.fill("#read-wind", "99")
    page.click("#keep-reading")
    expect(page.locator("#said")).to_have_text("Beyond the limit: the burn stops.")
    page.fill("#line-text", "lit")
    page.fill("#line-water", "2,5")
    page.select_option("#line-kiln", "K1")
    page.click("#keep-line")
    _type_a_batch(page)
    page.reload()
    expect(ban).to_be_checked()
    expect(page.locator("#kept li")).to_have_count(5)
    page.click("#where")
    expect(page.locator("#where-said")).to_have_text("Position ± 12 m")
    drawn = page.locator("svg.map.full").evaluate("svg => svg.getBoundingClientRect().width / 96 * 25.4")
    assert abs(drawn - 186) < 1  # mm, a CSS inch is 96 pixels: letters as large as on paper
    with page.expect_download() as download:
        page.click("#send")
    returned = read_returned("x.json", download.value.path().read_text(encoding="utf-8"), a.source)
    assert [tick["what"] for tick in returned.ticks] == ["ban"]
    assert returned.log[1]["kiln"] == "K1"
    assert returned.log[0]["wind_m_s"] > 27  # 99 of the unit shown, km/h or mph, is a gale in both
    (batch,) = (each for each in batches_of(with_returned(a.source, returned)) if each.figure("uncharred"))
    assert (batch.spot, batch.hours, batch.figure("buckets")) == (a.source.find("K1").id, 5.25, 38)
    assert (batch.word("cause"), batch.word("uncharred_where"), batch.word("water_by")) == ("late", "rim", "haul")
    assert (batch.figure("water_loads"), batch.figure("water_min")) == (6, 48)
    assert [(bag["count"], bag["state"], bag["goes_to"]) for bag in returned.bags] == [(3, "damp", "barn")]
    assert json.loads(page.evaluate(f"localStorage.getItem('pitstead:{_plan(page)}')"))["who"] == "Anna"
    assert [fault for fault in faults if not fault.startswith("blob:")] == []
    context.close()


def test_law_each_sheet_prints_on_a_side_of_its_own(browser: Browser, tmp_path: Path) -> None:
    """Spanish is the longer language, Letter the shorter side."""
    page = browser.new_page()
    for name in ("farm_dam", "juniper_bench"):
        a = sample(name)
        keys = list(dict.fromkeys(sheet.key for sheet in plan_of(a).sheets if sheet.one_side))
        file = tmp_path / f"{name}.html"
        file.write_text(plan_html(a, "letter", keys, "es"), encoding="utf-8")
        page.goto(file.as_uri())
        printed = page.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type /Page\b", printed)) == len(plan_of(a, keys, "es").sheets)
    page.close()


def _type_a_batch(page: Page) -> None:
    """A whole batch by hand, counted: with a name and a kiln on the page already it takes 8 fields and 24 touches of a
    number pad or a wheel, under a minute at two seconds each."""
    page.locator("#write summary").first.click()
    touches = 2  # the fold, and to keep it
    for name, typed in (
        ("lit", "08:15"),
        ("water_on", "13:30"),
        ("uncharred", "7"),
        ("water_loads", "6"),
        ("water_min", "48"),
    ):
        page.fill(f'[data-log="{name}"]', typed)
        touches += 1 + len(typed.replace(":", ""))
    for name, key in (("cause", "late"), ("uncharred_where", "rim"), ("water_by", "haul")):
        page.select_option(f'[data-log="{name}"]', key)
        touches += 2
    page.fill("#line-buckets", "38")
    touches += 3
    page.fill('[data-log="people"]', "six")
    page.click("#keep-line")
    expect(page.locator("#said")).to_have_text("People: That is not a number.")
    page.fill('[data-log="people"]', "")
    page.click("#keep-line")
    assert touches <= 30
    expect(page.locator("#kept li").last).to_contain_text("Most of them were put in too late")
    page.locator("#write summary").last.click()
    page.fill('[data-bag="count"]', "3")
    page.fill('[data-bag="goes_to"]', "barn")
    page.select_option('[data-bag="state"]', "damp")
    page.click("#keep-bags")


def _plan(page) -> str:
    return json.loads(page.locator("#data").text_content())["plan"]
