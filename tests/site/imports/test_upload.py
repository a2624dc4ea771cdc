"""A site file somebody opens: ours, or a sentence that says what it is."""

from __future__ import annotations

import pytest

from sitemap.errors import BadFile, PitsteadError
from sitemap.site.file import site_text
from sitemap.site.imports.upload import read_upload
from tests.site.builders import point, site_of, thing
from tests.site.imports.map_files import map_file

SITE = site_of(thing("p1", "pile", point(0, 0), name="P1"))


def test_law_what_was_saved_is_what_is_opened() -> None:
    assert read_upload("site.geojson", site_text(SITE).encode()) == (SITE, {})


def test_refuses_the_map_of_another_program_by_what_it_is() -> None:
    with pytest.raises(BadFile, match="comes from another map program"):
        read_upload("drawn.geojson", map_file(".geojson"))


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xfe{", b"[" * 100_000, b'{"x": ' + b"9" * 5_000 + b"}", b"PK", b"null"]
)
def test_refuses_anything_else_in_a_sentence(content: bytes) -> None:
    for name in ("site.geojson", "site.zip"):
        with pytest.raises(PitsteadError) as told:
            read_upload(name, content)
        assert str(told.value)
