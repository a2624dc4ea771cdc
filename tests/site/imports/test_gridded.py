"""Places of a table by easting and northing, or as well-known text: right, or refused; the system is never guessed."""

from __future__ import annotations

import pyproj
import pytest
import shapely

from sitemap.site.imports import bring_text
from sitemap.site.imports.brought import Brought, keep
from sitemap.site.imports.gridded import system_named
from sitemap.site.imports.looking import notes_at
from sitemap.site.model import Site
from sitemap.site.placing_text import settle
from sitemap.telling import tell
from tests.site.builders import site_of

SITE = site_of()


def brought(text: str, system: str | None = None) -> Brought:
    return bring_text("t.csv", text, SITE, system=system)


def kept(found: Brought) -> Site:
    return settle(keep(SITE, found.candidates))


def place(found: Brought) -> tuple[float, float] | None:
    """Of the thing brought last, once it is kept; None where it is not on the map."""
    shape = kept(found).features[-1].shape
    return (shape.x, shape.y) if isinstance(shape, shapely.Point) else None


def said(found: Brought) -> str:
    return " ".join(tell(note.text) for note in found.notes)


@pytest.mark.parametrize(
    ("heads", "row", "system", "code"),
    [
        ("No;Easting (UTM 33N);Northing (UTM 33N)", "A;512345,5;5601234,5", None, "EPSG:32633"),
        ("No;E_25833;N_25833", "A;512345.5;5601234.5", None, "EPSG:25833"),
        ("No;Rechtswert [EPSG:31468];Hochwert", "A;4512345;5601234", None, "EPSG:31468"),
        ("No;Zone;East;North", "A;10T;512345;4901234", None, "EPSG:32610"),
        ("No;UTM zone;East;North", "A;Zone 33 North;512345;5601234", None, "EPSG:32633"),
        ("No;Zone;Hemisphere;East;North", "A;56;S;300000;6200000", None, "EPSG:32756"),
        ("No;Huso;Hemisferio;Este;Norte", "A;19S;Sur;300000;6200000", None, "EPSG:32719"),  # S beside it is south
        ("No;Zone;East;North", "A;32;512345;5601234", "ETRS89 / UTM zone 33N", "EPSG:25832"),  # of the row
        ("No;X;Y;EPSG", "A;6012345;2101234;2226", None, "EPSG:2226"),  # US survey feet
        ("No;X (ft);Y (ft)", "A;512345;651234", "EPSG:2994", "EPSG:2994"),  # international feet
        ("No;POINT_X;POINT_Y", "A;450123;250321", "EPSG:27700", "EPSG:27700"),
        ("No;UTM Easting;UTM Northing", "A;300000;6200000", "UTM 56 south", "EPSG:32756"),
        ("No;x;y", "A;15.2;50.1", "EPSG:4326", "EPSG:4326"),
        ("No;E;N;CRS", "A;612345;4901234;NAD27 / UTM zone 10N", None, "EPSG:26710"),
    ],
)
def test_agrees_with_pyproj(heads: str, row: str, system: str | None, code: str) -> None:
    numbers = [
        float(cell.replace(",", ".")) for cell in row.split(";") if cell.replace(",", "").replace(".", "").isdecimal()
    ]
    east, north = [number for number in numbers if number > 100 or code == "EPSG:4326"][:2]
    lon, lat = pyproj.Transformer.from_crs(code, "OGC:CRS84", always_xy=True).transform(east, north)
    found = brought(f"{heads}\n{row}", system)
    assert not found.asks_system
    assert place(found) == pytest.approx((lon, lat), abs=1e-4 if "NAD27" in row or code == "EPSG:31468" else 2e-7)


def test_published_utm() -> None:
    """EPSG Guidance Note 7-2 (Transverse Mercator, OSGB36 / British National Grid): 50°30′ N, 0°30′ E is
    E 577274.99 m, N 69740.50 m on OSGB36; as WGS 84 it lies some 100 m off, by the change of datum (from memory: M)."""
    osgb = place(brought("No,Easting,Northing\nA,577274.99,69740.50", "EPSG:27700"))
    assert osgb is not None
    _, _, off_m = pyproj.Geod(ellps="WGS84").inv(*osgb, 0.5, 50.5)
    assert 50 < off_m < 200


@pytest.mark.parametrize(
    ("text", "system", "why"),
    [
        ("No,Easting,Northing\nA,5601234,512345", "UTM 33N", "lies beyond the ground"),  # swapped
        ("No,Easting,Northing\nA,3512345,5601234", "EPSG:31468", "lies beyond the ground"),  # the zone beside it
        ("No,Easting (ft),Northing (ft)\nA,1640416,18372703", "UTM 33N", "counts in another unit"),
        ("No,Easting (m),Northing (m)\nA,1830000,640000", "EPSG:2226", "counts in another unit"),
        ("No;Easting (EPSG:32633);Northing\nA;500.123;5.600.456", None, "is not a number"),
        ("No,Easting,Northing\nA,512345,5601234", "UTM 33", "names no coordinate system on its own"),
        ("No,Easting,Northing\nA,512345,5601234", "UTM 33S", "names no coordinate system on its own"),  # band or south
        ("No,Easting,Northing\nA,512345,5601234", None, "say which"),
        ("No,x,y\nA,15.2,50.1", None, "say which"),
        ("No,Zone,East,North\nA,33S,512345,5601234", None, "say which"),  # a band of the north, or south
        ("No,Zone,Hemisphere,East,North\nA,33N,S,512345,5601234", None, "say which"),
        ("No,Zone,Hemisphere,East,North\nA,33T,east,512345,5601234", None, "say which"),
        ("No,Zone,East,North\nA,61,512345,5601234", "UTM 33N", "names no coordinate system"),
        ("No,wkt\nA,POINT (512345 5601234)\nB,POINT (512345 5601234)", None, "say which"),
    ],
)
def test_refuses_a_place_that_is_not_sure_and_keeps_its_words(text: str, system: str | None, why: str) -> None:
    found = brought(text, system)
    assert why in said(found)
    if "wkt" not in text:
        assert place(found) is None
        words = kept(found).features[-1].values["place"]
        assert all(cell in words for cell in text.splitlines()[1].replace(";", ",").split(",")[1:])


def test_law_who_is_asked_can_answer() -> None:
    text = "No,Easting,Northing\nA,512345,5601234"
    assert brought(text).asks_system
    assert [note.what for note in notes_at(SITE, brought(text))] == ["no_system"]  # the question says it all
    answered = brought(text, "ETRS89 / UTM zone 33N")
    assert not answered.asks_system
    assert place(answered) is not None


def test_law_shapes_as_text_become_things_with_their_values() -> None:
    found = brought(
        'id;wkt;length_m\nP1;"SRID=32633;POINT Z (500000 5600000 310)";4,5\nR1;"LINESTRING (15 50, 15.01 50)";\n'
        "C1;POLYGON ((15 50, 15.01 50, 15.01 50.01, 15 50));\nE1;POINT EMPTY;"
    )
    pile, road, cut = kept(found).features
    assert isinstance(pile.shape, shapely.Point)
    assert (pile.kind, round(pile.shape.x, 6), pile.number("length_m")) == ("pile", 15.0, 4.5)
    assert [each.shape.geom_type for each in (road, cut) if each.shape is not None] == ["LineString", "Polygon"]
    assert "E1" in said(found)


def test_law_a_title_above_the_headings_is_told_and_the_lines_keep_their_numbers() -> None:
    found = brought("Slash survey; block 7\nby the crew\n\nNo;Length (ft);Width;Height\nP1;12;8;5\n")
    (pile,) = found.candidates
    assert (pile.row, pile.feature.number("length_m")) == (5, pytest.approx(3.6576))
    assert "Slash survey" in said(found)
    assert "by the crew" in said(found)


def test_law_a_system_is_named_alone_or_not_at_all() -> None:
    names = (
        "UTM 33N",
        "utm zone 33 n",
        "33N",
        "WGS 84 / UTM zone 33N",
        "EPSG::25833",
        "fence",
        "NAD83 UTM 10N",
        "UTM 61N",
    )
    found = [system_named(name) for name in names]
    assert found == ["EPSG:32633", "EPSG:32633", None, "EPSG:32633", "EPSG:25833", None, "EPSG:26910", None]
