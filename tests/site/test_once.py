"""A typed record is read once from what was entered."""

from __future__ import annotations

from sitemap.site.model import Feature


def test_law_a_record_is_read_once_and_goes_with_its_values() -> None:
    feature = Feature.of("p", None, {"kind": "pile", "height_m": 2.0})
    read: list[Feature] = []

    def height(each: Feature) -> float | None:
        read.append(each)
        return each.number("height_m")

    assert (feature.once(height), feature.once(height), len(read)) == (2.0, 2.0, 1)
    assert feature.with_values(height_m=3.0).once(height) == 3.0
    assert feature == Feature.of("p", None, {"kind": "pile", "height_m": 2.0})
