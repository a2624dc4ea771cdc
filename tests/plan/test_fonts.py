"""Every script a name is typed in prints, or a sentence says which cannot."""

from __future__ import annotations

import unicodedata

import pytest
import typst
from matplotlib.ft2font import FT2Font

from sitemap.__main__ import main
from sitemap.plan.contents import plan_of
from sitemap.plan.fonts import STANDS_FOR, _letters, folders, lacking, set_in_type, typed, wrapping
from sitemap.plan.map import map_svg
from sitemap.plan.model import words_of
from sitemap.plan.papers import plan_html, plan_pdf
from sitemap.plan.pdf import told_of
from sitemap.site.file import site_text
from tests.plan.builders import assessed, one_kiln, point

NAMES = {
    "Latin": "Käsemühle Łąka İğne",
    "Greek": "Ελαιώνας",
    "Cyrillic": "Ежевика Їжак",
    "Arabic": "غابة الصنوبر",
    "Hebrew": "יער האורנים",
    "Devanagari": "देवनागरी का जंगल",
    "Han, Kana": "名前のない森の炭焼き場",
    "Hangul": "숯가마",
    "Simplified Han": "烧炭场",
}


def named(name: str, **member):
    return assessed(one_kiln(**member).put(point("k1", "kiln_spot", 15.0, 60.0, name=name, kiln="ring")))


def test_agrees_with_freetype_on_the_letters_of_our_fonts():
    """Matplotlib's reading of the same files, by FreeType."""
    for folder in folders():
        font = next(path for path in sorted(folder.rglob("*.[ot]tf")) if "Sans" in path.name)
        assert set(FT2Font(str(font)).get_charmap()) == _letters(font), font


@pytest.mark.parametrize("script", NAMES)
def test_agrees_with_typst_that_a_script_prints(script: str, tmp_path):
    """The typesetter, asked without falling back to another font, knows every letter: it draws none as a box.

    A page in the fonts of ours differs from the page of as many letters that no font has."""
    assert lacking([NAMES[script]]) == {}
    assert typed(NAMES[script]) == NAMES[script]

    def picture(text: str) -> bytes:
        path = tmp_path / "one.typ"
        path.write_text(f'#set page(width: 90mm, height: 9mm, margin: 1mm)\n#text(font: "DejaVu Sans", "{text}")')
        places = [str(folder) for folder in folders()]
        return typst.compile(str(path), format="svg", font_paths=places, ignore_system_fonts=True)

    letters = {letter for letter in NAMES[script] if unicodedata.category(letter).startswith("L")}
    box = picture("\U000e0fff")
    assert all(picture(letter) != box for letter in sorted(letters)[:6])


def test_law_what_cannot_be_printed_is_said_on_the_sheet_and_by_check(tmp_path, capsys):
    a = named("เตา 1")
    plan = plan_of(a, ["decision", "map"])
    for sheet in told_of(plan, {"full": map_svg(a), "small": map_svg(a, "small")}).sheets:
        assert any(f"{STANDS_FOR * 3} 1" in line and "Thai" in line for line in words_of(sheet)), sheet.key
    assert plan_pdf(a, "a4", ["map"])[:5] == b"%PDF-"
    assert "เตา 1" in plan_html(a, "a4", ["map"])  # a browser has letters of its own
    path = tmp_path / "site.geojson"
    path.write_text(site_text(a.source), encoding="utf-8")
    assert main(["check", str(path), "--on", "2026-05-20"]) == 0
    assert "“เตา 1” has letters that the papers cannot print (Thai)" in capsys.readouterr().out


def test_law_a_mark_over_a_letter_that_cannot_be_printed_leaves_no_box():
    assert typed("ชื่อ") == STANDS_FOR * 2
    assert lacking(["ชื่อ"]) == {"ชื่อ": ("Thai",)}
    assert typed("क्षेत्र e\u0301 ✔\ufe0f") == "क्षेत्र e\u0301 ✔\ufe0f"


def test_law_what_prints_is_left_alone():
    a = named("名前 كوخ")
    plan = plan_of(a, ["map"])
    assert told_of(plan, {"full": map_svg(a)}) == plan
    assert set_in_type({"a": ["short", 3, None]}) == {"a": ["short", 3, None]}


def test_law_a_long_word_may_wrap_and_loses_no_letter():
    word = "Meinesehrlangebrennplatzbezeichnungohneleerzeichen"
    assert wrapping(word).replace("\u200b", "") == word
    assert max(map(len, wrapping(word).split("\u200b"))) <= 8
    assert wrapping("two words") == "two words"
