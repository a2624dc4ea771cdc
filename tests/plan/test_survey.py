"""The survey sheets: one language as full as the other, the right paper, the same bytes, plain words, room to write."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.plan.before import look_for, words
from sitemap.plan.phrases import LANGUAGES
from sitemap.plan.survey import SHEETS, sheet_data, sheets_pdf
from sitemap.site import vocabulary
from sitemap.site.kinds import KINDS
from tests.properties import examples
from tests.site.builders import site_of, thing

SITE = site_of(thing("p", name="P1"), site={"name": "Bench"})
POINT_MM = 25.4 / 72
MEDIA = re.compile(rb"/MediaBox\s*\[\s*0(?:\.0)?\s+0(?:\.0)?\s+([\d.]+)\s+([\d.]+)\s*\]")
PLACEHOLDERS = re.compile(r"\{(\w+)\}")


def leaves(tree: Mapping[str, Any], path: str = "") -> dict[str, str]:
    found: dict[str, str] = {}
    for key, value in tree.items():
        found |= leaves(value, f"{path}{key}.") if isinstance(value, Mapping) else {path + key: value}
    return found


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_every_language_says_everything_with_the_same_figures(language: str) -> None:
    english, other = leaves(words("en")), leaves(words(language))
    assert set(other) == set(english)
    assert all(text.strip() for text in other.values())
    for key, text in english.items():
        assert set(PLACEHOLDERS.findall(other[key])) == set(PLACEHOLDERS.findall(text)), key


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_what_is_ringed_on_paper_can_be_typed_in_the_grid(language: str) -> None:
    """The choices on the sheets are those of the schema, none missing, none made up."""
    said = words(language)
    assert set(said["packing"]) == dict(vocabulary.PACKING_CLASSES).keys()
    assert set(said["soil"]) == dict(vocabulary.SOIL_CLASSES).keys()
    assert set(said["sources"]) == dict(vocabulary.SOURCES_OF_WATER).keys()
    assert set(said["under"]) == set(KINDS["kiln_spot"].attribute("ground").choice_keys)
    assert set(said["shapes"]) == {"dome", "mound", "cone", "ridge", "block"} <= dict(vocabulary.HEAP_SHAPES).keys()


def test_law_english_words_of_the_sheets_are_those_of_the_grid() -> None:
    said = words("en")
    for table, choices in (("packing", vocabulary.PACKING_CLASSES), ("soil", vocabulary.SOIL_CLASSES)):
        assert said[table] == dict(choices)


@pytest.mark.parametrize(
    ("paper", "short_mm", "long_mm"),
    [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)],
)
def test_published_paper_sizes(paper: str, short_mm: float, long_mm: float) -> None:
    """ISO 216: A4 210 × 297 mm. ANSI/ASME Y14.1: size A 8.5 × 11 in, 215.9 × 279.4 mm. Both from memory; the standard
    allows ± 1.5 mm. Heaps lie across, the rest stands up."""
    boxes = [
        tuple(float(side) * POINT_MM for side in found)
        for found in MEDIA.findall(sheets_pdf(SITE, SHEETS, "en", paper))
    ]
    assert len(boxes) == 6  # list, two of heaps, ground front and back, moisture
    for wide, high in boxes:
        assert sorted((wide, high)) == pytest.approx([short_mm, long_mm], abs=0.1)
    assert [wide > high for wide, high in boxes].count(True) == 2


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_law_every_sheet_fits_its_page(language: str, paper: str, units: str) -> None:
    """A sheet that runs over would give a seventh page."""
    assert len(MEDIA.findall(sheets_pdf(SITE, SHEETS, language, paper, units))) == 6


def test_law_the_same_site_gives_the_same_bytes() -> None:
    assert sheets_pdf(SITE) == sheets_pdf(SITE)
    assert sheets_pdf(SITE) != sheets_pdf(SITE.with_member("name", "Other"))


def test_law_distances_to_look_are_rounded_up_never_down() -> None:
    """90 m are 295.3 ft (NIST SP 811): 300 on the sheet, not 295."""
    metric, us = dict(look_for("metric")), dict(look_for("us"))
    assert metric["structure"] == 90
    assert us["structure"] == 300
    assert all(us[kind] * 0.3048 >= far for kind, far in metric.items())


def test_law_units_stand_in_the_language_of_the_sheet() -> None:
    data = sheet_data(SITE, SHEETS, "es", "us")
    assert (data["length"], data["thickness"]) == ("pies", "pulg")
    assert "5 gal EE. UU." in data["words"]["how"]["flow"]
    assert not any("{" in line for group in data["before"] for line in group["lines"])


@given(st.text(max_size=40))
@examples(10)
def test_law_a_name_is_never_markup(name: str) -> None:
    """Whatever a site is called, the sheet is set, and nothing in the name is run."""
    for text in (name, '#panic("no") $x$ *b* ` \\ @l <l> // ' + name):
        assert sheets_pdf(SITE.with_member("name", text), ("moisture",)).startswith(b"%PDF")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs a reader of PDF to see the words")
def test_law_the_words_can_be_read_off_the_page(tmp_path: Path) -> None:
    path = tmp_path / "sheets.pdf"
    path.write_bytes(sheets_pdf(SITE, ("heaps",), "es"))
    text = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True).stdout
    assert "Montones" in text
    assert "Bench" in text


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"paper": "a5"}, "a4 or letter; it says 'a5'"),
        ({"language": "fr"}, "it says 'fr'"),
        ({"units": "old"}, "metric or us; it says 'old'"),
        ({"which": ("map",)}, "it says: map"),
        ({"which": ()}, "it says: –"),
    ],
)
def test_refuses_what_there_is_not(more: dict[str, Any], told: str) -> None:
    with pytest.raises(BadValue, match=told):
        sheets_pdf(SITE, **more)
