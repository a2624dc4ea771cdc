"""The documents: whole, the same every time, nothing from outside, every word as text."""

from __future__ import annotations

import dataclasses
import io
import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image

from sitemap.errors import BadFile, BadValue
from sitemap.plan.contents import ALL, plan_of
from sitemap.plan.map import map_svg
from sitemap.plan.model import Items, Sheet
from sitemap.plan.papers import _maps, plan_html, plan_pdf, write_plan
from sitemap.plan.pdf import pdf_of
from sitemap.plan.phone import phone_html
from sitemap.site.photos import Photo, with_photo
from tests.plan.builders import as_typed, assessed, one_kiln, point, sample, site

HOSTILE = (
    '<script>alert("x")</script>',
    "</style><img src=x onerror=alert(1)>",
    "$x^2$ #eval(1) *bold* _it_ @ref \\u{41}",
    "--><!-- ]]>",
    "\u202egnp.exe\x00\x07",
    "名前 🔥 اسم",
    "&amp; &lt;b&gt; ' \" `",
)


class Seen(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def hostile_site():
    made = one_kiln(name=HOSTILE[0], crew={"leader": HOSTILE[1], "directions": HOSTILE[3], "phone": HOSTILE[6]})
    for number, name in enumerate(HOSTILE):
        made = made.put(point(f"k{number}", "kiln_spot", 15.0 + number / 1000, 60.0, name=name, kiln="ring"))
        made = made.put(point(f"h{number}", "pile", 15.0 + number / 1000, 60.0005, name=name, note=name))
    return made


def test_law_same_site_and_date_give_the_same_bytes():
    a, alike = (dataclasses.replace(sample()) for _ in range(2))  # of one alone nothing is made twice here
    assert plan_html(a) == plan_html(alike)
    assert plan_pdf(a) == plan_pdf(alike)


@pytest.mark.parametrize("make", [sample, lambda: assessed(hostile_site())])
def test_law_the_page_asks_for_nothing_from_outside_and_runs_nothing(make):
    page = plan_html(make())
    seen = Seen(page)
    assert not {tag for tag, _ in seen.tags} & {"script", "link", "img", "iframe", "object", "base", "form"}
    for tag, attributes in seen.tags:
        assert not any(name.startswith("on") for name in attributes), tag
        for name in ("src", "href", "xlink:href", "action"):
            assert attributes.get(name, "#").startswith("#"), (tag, attributes)
    assert "@import" not in page
    assert not re.search(r"url\((?!#)", page)
    assert len(page.encode()) < 3_000_000
    ids = [attributes["id"] for _, attributes in seen.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_law_hostile_names_are_words_and_nothing_else():
    a = assessed(hostile_site())
    words = "".join(Seen(plan_html(a)).words)
    assert '<script>alert("x")</script>' in words
    assert "</style><img src=x onerror=alert(1)>" in words
    assert "\u202e" not in words
    assert "\x00" not in words
    assert plan_pdf(a)[:5] == b"%PDF-"


def test_law_every_sentence_of_the_plan_stands_on_the_page():
    a = sample()
    words = as_typed("".join(Seen(plan_html(a)).words))
    for line in plan_of(a).text.splitlines():
        assert as_typed(line.strip()) in words


@pytest.mark.parametrize(("paper", "size_pt"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_published_sheets_have_their_size(paper, size_pt):
    """A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 in (ANSI Y14.1); a point is 1/72 in. From memory (M)."""
    made = plan_pdf(sample(), paper, ["decision", "map", "crew", "calendar"])
    found = re.findall(rb"/MediaBox ?\[ ?0 0 ([\d.]+) ([\d.]+) ?\]", made)
    assert len(found) >= 4
    for side in found:
        assert sorted(map(float, side)) == pytest.approx(size_pt, abs=0.02)


def test_law_the_contents_stand_first_and_reach_every_head():
    a = sample()
    page = plan_html(a)
    seen = Seen(page)
    ids = {attributes.get("id") for _, attributes in seen.tags}
    reached = [attributes["href"][1:] for tag, attributes in seen.tags if tag == "a"]
    assert [each.partition("-")[0] for each in reached] == [sheet.key for sheet in plan_of(a).sheets]
    assert len(set(reached)) == len(reached)
    assert set(reached) <= ids
    assert page.index("<nav") < page.index("<main")


def test_law_rows_for_the_pen_are_marked_so_that_a_phone_leaves_them_out():
    page = plan_html(sample("farm_dam"))
    log = page[
        page.index('<section class="part log"') : page.index("</section>", page.index('<section class="part log"'))
    ]
    bags = page[page.index('<section class="part bags"') :]
    bags = bags[: bags.index("</section>")]
    assert log.count('<tr class="pen">') == 8
    assert "Trial burn of P5" in page
    assert page.count('class="pen"') == 8 + bags.count('class="pen"')  # no check and no figure is hidden


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["juniper_bench", "farm_dam", "birch_shore"])
def test_law_a_sheet_of_one_side_is_one_side(name: str, paper: str):
    a = sample(name)
    plan = plan_of(a)
    drawn = _maps(a, plan, paper)
    short = tuple(sheet for sheet in plan.sheets if sheet.one_side)
    assert {"decision", "crew", "day", "cold"} <= {sheet.key for sheet in short}
    sides = re.findall(rb"/MediaBox", pdf_of(dataclasses.replace(plan, sheets=short), drawn, a.on, paper))
    assert len(sides) == len(short)  # each begins a side of its own


def test_law_a_side_says_less_before_it_runs_over():
    """Fuller words that would take two sides give way to shorter ones."""
    many, few = (Items(tuple(f"line {number}" for number in range(count))) for count in (300, 3))
    sheet = Sheet("decision", "One side", (many,), one_side=True, body_pt=9, shorter=((few,),))
    plan = dataclasses.replace(plan_of(assessed(one_kiln()), ["map"]), sheets=(sheet,))
    assert len(re.findall(rb"/MediaBox", pdf_of(plan, {}, None))) == 1
    assert (
        len(
            re.findall(
                rb"/MediaBox",
                pdf_of(dataclasses.replace(plan, sheets=(dataclasses.replace(sheet, shorter=()),)), {}, None),
            )
        )
        > 1
    )


@pytest.mark.parametrize("keys", [["crew", "map"], ["annex"]])
def test_law_any_sheets_make_a_document_in_the_one_order(keys: list[str]):
    page = plan_html(sample(), keys=keys)
    found = re.findall(r'<section id="([a-z]+)[^"]*" class="sheet"', page)
    assert list(dict.fromkeys(found)) == [key for key in ALL if key in keys]
    assert "</html>" in page


@pytest.mark.parametrize("asked", [{"keys": ["posters"]}, {"keys": []}, {"language": "xx"}])
def test_refuses_sheets_and_languages_there_are_not(asked):
    with pytest.raises(BadValue, match="it says"):
        plan_of(assessed(one_kiln()), **asked)


def test_law_nothing_placed_is_said_not_drawn():
    assert map_svg(assessed(site())) is None
    assert "No map: nothing is placed." in plan_html(assessed(site()))
    assert plan_pdf(assessed(site()))[:5] == b"%PDF-"


@pytest.mark.parametrize("ending", [".html", ".PDF"])
def test_law_a_plan_is_written_whole(tmp_path: Path, ending: str):
    path = tmp_path / f"plan{ending}"
    write_plan(assessed(one_kiln()), path, keys=["decision", "crew"])
    assert path.stat().st_size > 10_000
    assert os.listdir(tmp_path) == [path.name]


@pytest.mark.parametrize(
    ("name", "told"), [("plan.docx", ".html or .pdf"), ("plan", ".html or .pdf"), ("no/x.pdf", "no")]
)
def test_refuses_endings_and_places(tmp_path: Path, name: str, told: str):
    with pytest.raises(BadFile, match=re.escape(told)):
        write_plan(assessed(one_kiln()), tmp_path / name)
    assert not os.listdir(tmp_path)


def test_refuses_a_folder_and_keeps_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "a.html").mkdir()
    with pytest.raises(BadFile, match="folder"):
        write_plan(assessed(one_kiln()), tmp_path / "a.html")
    kept = tmp_path / "b.html"
    kept.write_text("before")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("sitemap.plan.papers.os.replace", full)
    with pytest.raises(BadFile, match="No space left"):
        write_plan(assessed(one_kiln()), kept)
    assert kept.read_text() == "before"
    assert sorted(os.listdir(tmp_path)) == ["a.html", "b.html"]


def test_refuses_another_paper():
    for make in (plan_pdf, plan_html):
        with pytest.raises(BadValue, match="a4 or letter"):
            make(assessed(one_kiln()), "a3")


def test_law_photos_stand_on_their_sheet_and_on_the_phone_page(tmp_path: Path):
    """In the PDF, on the page and on the phone page; one that is not kept here is said to be missing."""
    out = io.BytesIO()
    Image.new("RGB", (640, 480), "red").save(out, "JPEG")
    own = with_photo(with_photo(one_kiln(), Photo("a" * 64, "k1", "From the gate")), Photo("b" * 64, "w1"))
    a, photos = assessed(own), {"a" * 64: out.getvalue()}
    for page in (plan_html(a, keys=["photos"], photos=photos), phone_html(a, photos=photos)):
        assert page.count("<img ") == 1
        assert "From the gate" in page
        assert page.count("The picture is not kept on this computer.") == 1
    assert b"/DCTDecode" in plan_pdf(a, keys=["photos"], photos=photos)
    assert b"/DCTDecode" not in plan_pdf(a, keys=["photos"])
    assert "photos" not in [sheet.key for sheet in plan_of(assessed(one_kiln())).sheets]
