"""A photo added to a thing in the panel."""

from __future__ import annotations

from collections.abc import Callable

from sitemap.site.photos import photos_of
from tests.plan.builders import one_kiln
from tests.site.test_photos import picture
from tests.views.conftest import Visit, store


def test_law_a_photo_is_kept_bare_and_its_place_taken_only_when_asked(visit: Callable[..., Visit]) -> None:
    tab = visit(store().create(one_kiln()).link)
    tab.choose("w1")
    (upload,) = [each for each in tab.app.get("file_uploader") if each.label == "Add a photo (JPEG or PNG)"]
    upload.upload("gate.jpg", picture(), "image/jpeg").run()
    before = tab.site.get("w1").geometry
    tab.app.text_input(key="draft.caption.w1").set_value("From the gate").run()
    tab.app.button(key="photo.keep.w1").click().run()
    (photo,) = photos_of(tab.site)
    assert (photo.of, photo.caption, photo.at, photo.taken) == ("w1", "From the gate", None, None)
    assert b"A maker" not in store().file(photo.sha256).read_bytes()
    assert tab.site.get("w1").geometry == before
    tab.app.button(key=f"photo.out.w1.{photo.sha256}").click().run()
    assert photos_of(tab.site) == ()
    tab.app.button(key="undo").click().run()
    assert photos_of(tab.site) == (photo,)
