"""The height of a printed side is reckoned with the sizes of the style sheet a browser prints it by."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from sitemap.plan.html_room import _block, _text
from sitemap.plan.model import Paragraph


@pytest.mark.parametrize("size", [8.5, 9.0, 10.0, 12.0])
def test_agrees_with_the_style_sheet_on_how_small_small_print_is(size: float) -> None:
    style = (files("sitemap.plan") / "page.css").read_text(encoding="utf-8")
    least, share = re.search(r"\.small \{ font-size: max\((\d+)pt, (\.\d+)em\) \}", style).groups()
    said, width = "many words that take many lines " * 40, 500.0
    small = _block(Paragraph(said, "small"), width, size, {})
    assert small == pytest.approx(_text(said, width, max(float(least), float(share) * size)))
    assert small < _block(Paragraph(said), width, size, {})
