"""The look of things: complete, readable without colour, and with enough contrast."""

import re
from pathlib import Path

import numpy as np
import pytest
import shapely

from sitemap.maps.symbols import OUTLINES, OVERLAYS, SYMBOLS, UNKNOWN, VERDICTS, symbol_of
from sitemap.site.kinds import KINDS
from sitemap.views.figures import STYLE

MAPS = Path(__file__).parents[2] / "sitemap" / "maps"


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, W3C Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast
    ratio" (from memory)."""

    def luminance(colour: str) -> float:
        shares = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
        linear = np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)
        return float(linear @ [0.2126, 0.7152, 0.0722])

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_law_every_kind_has_its_symbol_and_no_letter_twice() -> None:
    assert set(SYMBOLS) == set(KINDS)
    letters = [symbol.letter for symbol in SYMBOLS.values()]
    assert len(set(letters)) == len(letters)
    assert symbol_of("teapot") == UNKNOWN


def test_law_the_letter_of_a_sign_is_the_one_names_are_read_by() -> None:
    lettered = {key: kind.letters[0] for key, kind in KINDS.items() if kind.letters}
    assert lettered == {key: SYMBOLS[key].letter.upper() for key in lettered}


def test_law_lines_that_run_side_by_side_differ_without_colour() -> None:
    lines = [kind for kind, schema in KINDS.items() if schema.geometries == ("LineString",)]
    patterns = [(SYMBOLS[kind].dash, SYMBOLS[kind].weight) for kind in lines]
    assert len(set(patterns)) == len(patterns)


def test_law_outlines_stay_in_their_square() -> None:
    for symbol in (*SYMBOLS.values(), UNKNOWN, *OVERLAYS.values()):
        assert np.abs(OUTLINES[symbol.shape]).max() <= 1.3
    assert {mark.ring for mark in VERDICTS.values()} == {"full", "half", "cross"}
    assert len({mark.sign for mark in VERDICTS.values()}) == 3


@pytest.mark.parametrize("shape", OUTLINES)
def test_law_an_outline_is_one_ring_and_alike_on_both_sides(shape: str) -> None:
    """Seen from the left as from the right, so that it is known again however the map is turned by a hand."""
    corners = np.array(OUTLINES[shape])
    ring = shapely.Polygon(corners)
    assert ring.is_valid
    assert ring.area > 1
    mirrored = shapely.Polygon(corners * (-1, 1))
    assert ring.symmetric_difference(mirrored).area < 0.01


@pytest.mark.parametrize(
    ("shape", "count"), [("circle", 32), ("square", 4), ("diamond", 4), ("triangle", 3), ("hexagon", 6), ("octagon", 8)]
)
def test_law_a_regular_outline_has_corners_alike(shape: str, count: int) -> None:
    corners = np.array(OUTLINES[shape])
    assert len(corners) == count
    assert np.hypot(*corners.T) == pytest.approx(np.hypot(*corners[0]), abs=1e-3)
    sides = np.hypot(*(corners - np.roll(corners, 1, axis=0)).T)
    assert sides == pytest.approx(sides[0], abs=1e-3)


@pytest.mark.parametrize("kind", SYMBOLS)
def test_published_letters_have_the_contrast_of_readable_text(kind: str) -> None:
    """At least 4.5 : 1 for text (W3C WCAG 2.2, success criterion 1.4.3, from memory)."""
    assert contrast(SYMBOLS[kind].stroke, SYMBOLS[kind].fill) >= 4.5


def test_published_what_tells_of_safety_has_the_enhanced_contrast_of_text() -> None:
    """At least 7 : 1 (W3C WCAG 2.2, success criterion 1.4.6, from memory): marks of verdicts, live distances, and every
    text of the pages' own style sheets, each on the ground its rule gives it, else on white."""
    marks = [mark.colour for mark in VERDICTS.values()]
    marks += re.findall(r"#[0-9a-f]{6}", re.search(r"COLOURS = .*", (MAPS / "script/ruler.js").read_text())[0])
    assert len(marks) == 6
    for colour in marks:
        assert contrast(colour, "#ffffff") >= 7
    rules = [
        rule for style in ((MAPS / "editable.css").read_text(), STYLE) for rule in re.findall(r"\{([^{}]*)\}", style)
    ]
    texts = [(found[1], rule) for rule in rules if (found := re.search(r"(?:^|[; ])color: (#[0-9a-f]+)", rule))]
    assert len(texts) > 20
    for colour, rule in texts:
        ground = re.search(r"background: (#[0-9a-f]+)", rule)
        assert contrast(_long(colour), _long(ground[1] if ground else "#fff")) >= 7, rule


def _long(colour: str) -> str:
    """A colour of three digits with six."""
    return colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
