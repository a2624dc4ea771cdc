"""Two layouts side by side on the page: a copy with a kiln moved, what differs, and one touch to go on with either."""

from __future__ import annotations

import pytest

from tests.views.conftest import Visit, store


@pytest.mark.usefixtures("own_side_open")
def test_law_a_copy_is_held_beside_its_site_and_either_becomes_the_site(visit) -> None:
    page: Visit = visit().go("words")
    first = page.link
    page.app.button(key="site.copy").click().run()
    copy = page.link
    assert copy != first
    held = store().open(copy)
    moved = held.site.of_kind("kiln_spot")[0]
    far = moved.with_geometry({"type": "Point", "coordinates": [-105.0, 39.0]})
    store().save(copy, held.site, held.site.put(far), "moved")
    page = visit(copy).go("words")
    page.app.selectbox(key="compare.other").set_value(first).run()
    page.app.button(key="compare.go").click().run()
    assert f"Kiln {moved.name}" in page.words
    assert "What fails first" in page.words
    page.app.button(key=f"compare.{first}").click().run()
    assert page.link == first
