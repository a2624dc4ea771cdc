"""Latitude and longitude in more than two columns, or with a datum: read whole, never by their first column alone."""

from __future__ import annotations

import pyproj
import pytest

from sitemap.errors import BadFile
from sitemap.site.imports import bring
from tests.site.builders import site_of
from tests.site.imports.test_gridded import brought, kept, place, said

THERE = (-121.3, 44.05)


@pytest.mark.parametrize(
    "text",
    [
        "No,Lat,NS,Lon,EW\nA,44.05,N,121.3,W",
        "No,Latitude,Lat Dir,Longitude,Lon Dir\nA,44.05,north,121.3,west",
        "No,Lat,N/S,Lon,E/W\nA,44.05,n,121.3,w",
        "No,Latitude (N),Longitude (W)\nA,44.05,121.3",
        "No;Lat North;Long West\nA;44.05;121.3",
        "No,Lat deg,Lat min,Lon deg,Lon min\nA,44,3.0,-121,18.0",
        "No,Lat D,Lat M,Lat S,Lon D,Lon M,Lon S\nA,44,3,0,-121,18,0",
        "No,Lat Deg,Lat Min,Lat Dir,Lon Deg,Lon Min,Lon Dir\nA,44,3.000,N,121,18.000,W",
        "No,Lat (WGS84),Lon (WGS 84)\nA,44.05,-121.3",
        'No,Lat/Lon\nA,"44.05, -121.3"',
    ],
)
def test_law_every_way_of_columns_comes_to_the_same_place(text: str) -> None:
    assert place(brought(text)) == pytest.approx(THERE, abs=1e-7)


def test_agrees_with_pyproj_on_another_datum() -> None:
    """NAD27 lies some 90 m off there; a column that in other languages holds dates is no datum."""
    lon, lat = pyproj.Transformer.from_crs("EPSG:4267", "OGC:CRS84", always_xy=True).transform(*THERE)
    for text in ("No,Lat (NAD27),Lon (NAD27)\nA,44.05,-121.3", "No,Lat,Lon,Datum\nA,44.05,-121.3,NAD27"):
        found = brought(text)
        assert place(found) == pytest.approx((lon, lat), abs=1e-5)
        assert "NAD27" in said(found)
    _, _, off_m = pyproj.Geod(ellps="WGS84").inv(*THERE, lon, lat)
    assert off_m > 50
    assert place(brought("No,Lat,Lon,Datum\nA,44.05,-121.3,2026-11-05")) == pytest.approx(THERE)


@pytest.mark.parametrize("row", ["A,44.05,E,121.3,W", "A,44.05 N,S,121.3,W", "A,144.05,N,121.3,W"])
def test_refuses_halves_that_cannot_be(row: str) -> None:
    found = brought(f"No,Lat,NS,Lon,EW\n{row}")
    assert place(found) is None
    assert kept(found).features[-1].values["place"]


def test_law_units_below_the_headings_are_theirs() -> None:
    """12 ft are 3.6576 m (NIST SP 811, S)."""
    found = brought("No,Length,Height,Lat,Lon\n,ft,in,deg,deg\nA,12,60,44.05,-121.3")
    (pile,) = kept(found).features
    assert (pile.number("length_m"), pile.number("height_m")) == (pytest.approx(3.6576), pytest.approx(1.524))
    assert ("Length (ft)", "Length") in found.headings
    (pile,) = kept(brought("No,Length,Note\nA,12,m")).features  # a row of its own
    assert pile.number("length_m") == 12


def test_law_a_first_row_of_numbers_is_no_line_of_headings() -> None:
    found = brought("44.05,N,15.3,E\n44.06,N,15.4,E")
    assert len(found.candidates) == 2


def test_law_a_total_is_no_heap() -> None:
    found = brought("No,Length,Lat,Lon\nA,4,44.05,-121.3\nTotal:,4,,")
    assert [each.feature.name for each in found.candidates] == ["A"]
    assert "sums up other rows" in said(found)


@pytest.mark.parametrize("places", ["-121,3,44,05", "-121.3,44.05;-121.4,44.05", "-121.3,44.05,0,-121.4,44.05,0"])
def test_refuses_a_kml_whose_places_would_be_taken_for_others(places: str) -> None:
    """OGC 12-007r2 (KML 2.3): longitude, latitude and height by commas, places by spaces (clause from memory: M)."""
    kml = "<kml><Placemark><LineString><coordinates>{}</coordinates></LineString></Placemark></kml>"
    with pytest.raises(BadFile, match="are not written as"):
        bring("a.kml", kml.format(places).encode(), site_of())
    (road,) = bring("a.kml", kml.format("-121.3, 44.05,0  -121.4, 44.05,0").encode(), site_of()).candidates
    assert road.feature.shape is not None
