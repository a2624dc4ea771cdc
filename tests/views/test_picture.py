"""A picture of one's own under the map: brought in, laid by points, and shown once it has found its place."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from PIL import Image

from sitemap.errors import BadFile
from sitemap.site.model import Site
from sitemap.terrain.picture import picture_among, prepared
from sitemap.views.inputs import picture
from tests.views.conftest import Visit, store

Open = Callable[..., Visit]
EMPTY = Site().with_member("format", 1).with_member("units", "metric").with_member("name", "Own")


def jpeg(width: int = 80, height: int = 60) -> bytes:
    made = BytesIO()
    Image.new("RGB", (width, height), "#557744").save(made, "JPEG")
    return made.getvalue()


def with_picture(site: Site = EMPTY, **files: bytes) -> Site:
    found = prepared({"drone.jpg": jpeg(), **files}, picture.plane_for(site), None, "")
    return picture.with_picture(site, found)


def test_law_a_picture_without_a_place_is_laid_by_points_on_an_empty_site(visit: Open) -> None:
    site = with_picture()
    assert (picture.points_of(site), picture.is_laid(site)) == ((), False)
    tab = visit(store().create(site).link)
    tab.app.button(key="image.corners").click().run()
    assert len(picture.points_of(tab.site)) == 4
    labels = [tab.app.text_input(key=f"image.point.{number}").label for number in range(4)]
    assert labels == [
        f"Point {number}, {corner} corner, is at"
        for number, corner in enumerate(("top left", "top right", "bottom right", "bottom left"), start=1)
    ]
    for number, words in ((0, "44.3010, -120.6010"), (2, "44.3004, -120.5999")):
        tab.app.text_input(key=f"image.point.{number}").set_value(words).run()
    assert picture.is_laid(tab.site)
    assert "Laid by 2 points: a pixel is" in tab.words
    assert tab.app.segmented_control(key="backdrop.choice").value == "picture"
    tab.app.text_input(key="image.point.2").set_value("by the oak").run()
    assert "is no place" in tab.words
    assert picture.points_of(tab.site)[2].at == "by the oak"
    assert not picture.is_laid(tab.site)


def test_law_a_point_may_be_named_after_a_thing_on_the_map(visit: Open) -> None:
    site = visit().site
    gate = next(f for f in site.features if f.shape is not None and f.shape.geom_type == "Point")
    assert picture.place_said(site, gate.name) == pytest.approx((gate.shape.x, gate.shape.y))


def test_law_a_world_file_gives_four_corners() -> None:
    site = with_picture(**{"drone.jgw": b"0.00001\n0\n0\n-0.00001\n-120.6\n44.3\n"})
    first, *_, last = picture.placed_points(site)
    assert first == pytest.approx((0, 0, -120.600005, 44.300005))
    assert last == pytest.approx((0, 60, -120.600005, 44.299405))


def test_refuses_what_is_no_picture() -> None:
    assert picture_among(["notes.wld"]) is None
    with pytest.raises(BadFile):
        prepared({"drone.png": b"no picture"}, None, None, "")
