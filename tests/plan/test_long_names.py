"""A name longer than sixty letters is told shorter in the annex, and once whole."""

from __future__ import annotations

import pytest

from sitemap.plan.model import Paragraph
from sitemap.plan.parts.names import with_short_names
from sitemap.plan.phrases import words_for
from tests.plan.builders import assessed, one_kiln, point


@pytest.mark.parametrize(("letters", "whole"), [(60, True), (61, False)])
def test_law_a_name_of_sixty_letters_is_told_whole(letters: int, whole: bool) -> None:
    name = "x" * letters
    a = assessed(one_kiln().put(point("k9", "kiln_spot", 15.01, 60.0, name=name, kiln="ring")))
    first, *more = with_short_names(a, words_for(a.source), (Paragraph(f"Kiln {name} stands there."),))
    assert (name in first.text) is whole
    assert ("[1]" in first.text, bool(more)) == (not whole, not whole)
