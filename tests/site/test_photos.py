"""Photos: upright, small, bare of what the camera wrote; kept by hash; their place only offered."""

from __future__ import annotations

import datetime as dt
import hashlib
import io

import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from sitemap.errors import BadFile
from sitemap.site.bundle import digests, read_bundle, write_bundle
from sitemap.site.file import parse_site, site_text
from sitemap.site.photos import LONGEST_PX, Photo, _place, photos_of, take, with_photo, without_photo
from tests.plan.builders import one_kiln


def picture(size: tuple[int, int] = (400, 200), kind: str = "JPEG", **exif) -> bytes:
    """A picture whose left half is red, with what a camera writes: turned by 90°, device, place and time."""
    image = Image.new("RGB", size, "blue")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    notes = Image.Exif()
    notes[0x010F], notes[0x0110], notes[0x0112] = "A maker", "A model", exif.get("turn", 6)
    notes.get_ifd(0x8769)[0x9003] = "2026:05:20 14:03:11"
    notes.get_ifd(0x8825).update(
        {1: "S", 2: tuple(map(IFDRational, (39, 42, 36))), 3: "E", 4: tuple(map(IFDRational, (175, 28, 12)))}
    )
    out = io.BytesIO()
    image.save(out, kind, exif=notes)
    return out.getvalue()


def test_published_orientation_six_is_turned_upright():
    """Orientation 6: the first row is the right side, the first column the top (Exif 2.3, CIPA DC-008, tag 274; from
    memory), so the left of the file is the top of the scene."""
    taken = take("x.jpg", picture())
    with Image.open(io.BytesIO(taken.jpeg)) as image:
        assert image.size == (200, 400)
        top, below = image.getpixel((100, 50)), image.getpixel((100, 350))
    assert top[0] > 200 > 100 > top[2]
    assert below[2] > 200 > 100 > below[0]


def test_law_nothing_of_the_camera_is_left_in_the_file():
    for kind in ("JPEG", "PNG"):
        taken = take("x", picture(kind=kind))
        with Image.open(io.BytesIO(taken.jpeg)) as image:
            assert image.format == "JPEG"
            assert dict(image.getexif()) == {}
            assert not {"exif", "xmp", "comment", "icc_profile"} & image.info.keys()
        for told in (b"A maker", b"A model", b"2026:05:20", b"Exif"):
            assert told not in taken.jpeg


def test_agrees_with_degrees_minutes_and_seconds_worked_out_by_hand():
    taken = take("x.jpg", picture())
    assert taken.at == (pytest.approx(175 + 28 / 60 + 12 / 3600), pytest.approx(-(39 + 42 / 60 + 36 / 3600)))
    assert taken.taken == dt.date(2026, 5, 20)
    plain = io.BytesIO()
    Image.new("RGB", (20, 20)).save(plain, "PNG")
    bare = take("x.png", plain.getvalue())
    assert (bare.at, bare.taken) == (None, None)


@pytest.mark.parametrize(
    ("north", "east", "place"), [("N", "E", (70.65, 33.86)), ("S", "W", (-70.65, -33.86)), ("S", "E", (70.65, -33.86))]
)
def test_published_hemispheres_of_the_exif_standard(north: str, east: str, place: tuple[float, float]) -> None:
    """CIPA DC-008 (Exif 2.3), GPS: tag 1 is N or S, tag 3 is E or W; degrees, minutes and seconds stand beside (S)."""
    degrees = {2: (33, 51, 36), 4: (70, 39, 0)}
    assert _place({1: north, 3: east, **degrees}) == place


def test_law_a_large_picture_is_made_small():
    taken = take("x.jpg", picture((4000, 3000), turn=1))
    with Image.open(io.BytesIO(taken.jpeg)) as image:
        assert image.size == (LONGEST_PX, LONGEST_PX * 3 // 4)


@pytest.mark.parametrize("content", [b"", b"GIF89a", b"\xff\xd8\xff\xe0 cut short", b"<svg/>"])
def test_refuses_what_is_no_picture(content: bytes):
    with pytest.raises(BadFile, match="is no JPEG or PNG picture"):
        take("x.jpg", content)
    with pytest.raises(BadFile, match="is no JPEG or PNG picture"):
        take("x.jpg", picture()[:300])


def test_law_photos_travel_with_the_site_and_place_only_on_purpose(tmp_path):
    taken = take("x.jpg", picture())
    digest = hashlib.sha256(taken.jpeg).hexdigest()
    (tmp_path / digest).write_bytes(taken.jpeg)
    made = with_photo(one_kiln(), Photo(digest, "k1", "From the gate"))
    assert with_photo(made, Photo(digest, "k1")) == made
    assert digests(made) == (digest,)
    read, files = read_bundle(write_bundle(made, lambda key: tmp_path / key))
    assert files == {digest: taken.jpeg}
    assert photos_of(read) == (Photo(digest, "k1", "From the gate"),)
    assert "175.4" not in site_text(made)
    kept = with_photo(one_kiln(), Photo(digest, "k1", "", taken.taken, taken.at))
    assert photos_of(parse_site(site_text(kept)))[0].at == taken.at
    assert without_photo(made, photos_of(made)[0]) == one_kiln()
