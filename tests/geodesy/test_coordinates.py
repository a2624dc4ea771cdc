"""Coordinates as text, against published references, pyproj and geographiclib.

GeoConvert is the command of GeographicLib (Karney): its page, manual and tests print the references used here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Transformer

from sitemap.errors import BadValue
from sitemap.geodesy.coordinates import decimal, degrees_minutes, dms, formats, from_bearing, mgrs, paces_m, parse, utm

LONGITUDES = st.floats(-180, 179.999999)
LATITUDES = st.floats(-90, 90)
ONE_PLACE = (-121.3, 44.05)


@lru_cache
def projected(code: int) -> Transformer:
    return Transformer.from_crs(4326, code, always_xy=True)


def apart_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(Geodesic.WGS84.Inverse(one[1], one[0], other[1], other[0])["s12"])


# --- published ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "83.627, -32.664",
        "W32°40 N83°37.6",
        "24XWT783908",
        "YUB17770380",
        "25n 504158 9286521",
        "26n 430000 9290000",
        "n 1617772 1403805",
        "83°37'39\"N 32°39'52\"W",
    ],
)
def test_published_one_cape_written_eight_ways(text: str) -> None:
    """GeoConvert's page (P) gives these for roughly one place; they lie within 120 m as its coarsest one allows."""
    assert apart_m(parse(text), parse("83°37'39\"N 32°39'52\"W")) < 120


def test_published_utm_of_a_tower() -> None:
    """43°38'33.24"N 79°23'13.7"W is 17T 630084 4833438, as an encyclopaedia works it out (S); metres cut or rounded."""
    assert apart_m(parse("17T 630084 4833438"), parse("43°38'33.24\"N 79°23'13.7\"W")) < 1


def test_published_mgrs_square_is_read_at_its_middle() -> None:
    """GeographicLib, MGRS class notes (P): 38SMB44148470 is 38N 444145 3684705."""
    assert apart_m(parse("38SMB44148470"), parse("38N 444145 3684705")) < 1e-6


@pytest.mark.parametrize(
    ("lat", "lon", "utm_text", "mgrs_text"),
    [
        # GeoConvert manual (P): 38n 444140.54 3684706.36; its test 0 (P): 38SMB4484
        (33.3, 44.4, "38S 444141 mE 3684706 mN north", "38S MB 44140 84706"),
        # its test 8 (P): n 2000000.0 1555731.570643; letters by the rule, Z east of the 0/180 meridian
        (86.0, 0.0, "Z 2000000 mE 1555732 mN north", None),
        # GeoConvert's output printed in pygeodesy's tests (S): 25n 504164 9286466, 25XEN0416386465
        (83.627, -32.664, "25X 504164 mE 9286466 mN north", "25X EN 04163 86465"),
        # the same (S): 06 N 344174 6788521, 06VUN4417388521
        (61.2, -149.9, "6V 344174 mE 6788521 mN north", "6V UN 44173 88521"),
        # GEOTRANS 3.7 as a port of it prints (S): 31NAA6602100000
        (0.0, 0.0, "31N 166021 mE 0 mN north", "31N AA 66021 00000"),
    ],
)
def test_published_references_of_a_place(lat: float, lon: float, utm_text: str, mgrs_text: str | None) -> None:
    assert utm(lon, lat) == utm_text
    assert mgrs_text is None or mgrs(lon, lat) == mgrs_text


def test_published_place_of_an_mgrs_reference() -> None:
    """GEOTRANS 3.7 as a port of it prints (S): 16SGC3855124838 has its corner at 33.6366624, -84.4280571 (± 0.01 m)."""
    corner, middle = (-84.4280571, 33.6366624), parse("16SGC3855124838")
    assert apart_m(corner, middle) == pytest.approx(math.hypot(0.5, 0.5), abs=0.02)
    assert middle[0] > corner[0]
    assert middle[1] > corner[1]


def test_published_flinders_peak_in_zone_55() -> None:
    """GDA Technical Manual (S): 273741.297 E 5796489.777 N; GRS80 stands for WGS 84 within a millimetre."""
    place = parse("37 57 03.72030 S 144 25 29.52440 E")
    assert utm(*place) == "55H 273741 mE 5796490 mN south"
    assert apart_m(parse("55H 273741.297 5796489.777"), place) < 0.002


@pytest.mark.parametrize(
    ("lat", "lon", "zone"),
    [(78, 11, "33X"), (78, 8.99, "31X"), (78, 21.01, "35X"), (78, 33.01, "37X"), (60, 5, "32V"), (60, 2.99, "31V"),
     (63.99, 3.01, "32V"), (64.01, 3.01, "31W"), (71.99, 9.01, "32W"), (84.01, 9, "Z"), (84.01, -9, "Y"),
     (-80.01, 9, "B"), (-80.01, -9, "A"), (-79.99, 9, "32C"), (0, 180, "1N"), (0, 179.99, "60N"), (-0.01, -180, "1M")],
)  # fmt: skip
def test_published_zones_and_bands(lat: float, lon: float, zone: str) -> None:
    """Zone rules of the universal grids, Norway's and Svalbard's exceptions included (NGA.STND.0037, S)."""
    assert utm(lon, lat).split()[0] == zone == mgrs(lon, lat).split()[0]


# --- agreement ------------------------------------------------------------------------------------------------------


@given(LONGITUDES, st.floats(-79.9, 83.9))
def test_agrees_with_projection_library_on_utm(lon: float, lat: float) -> None:
    """pyproj on the EPSG zone; half a metre is the rounding."""
    zone, easting, _, northing, _, side = utm(lon, lat).split()
    code = (32600 if side == "north" else 32700) + int(zone[:-1])
    x, y = projected(code).transform(lon, lat)
    assert (float(easting), float(northing)) == pytest.approx((x, y), abs=0.501)


@given(LONGITUDES, st.floats(84.001, 90), st.booleans())
def test_agrees_with_projection_library_on_ups(lon: float, lat: float, south: bool) -> None:
    """pyproj on EPSG 5041 and 5042, universal polar stereographic with east first."""
    lat = -lat if south else lat
    _, easting, _, northing, _, side = utm(lon, lat).split()
    assert apart_m(parse(f"{easting} {northing} {side}"), (lon, lat)) < 1  # known by its side alone
    x, y = projected(5042 if south else 5041).transform(lon, lat)
    assert (float(easting), float(northing)) == pytest.approx((x, y), abs=0.501)
    assert side == ("south" if south else "north")


@given(st.floats(-180, 179.9), st.floats(-89, 89), st.floats(0, 360), st.floats(1, 90_000))
def test_agrees_with_geodesic_from_bearing(lon: float, lat: float, bearing: float, metres: float) -> None:
    """geographiclib Direct, to a tenth of a millimetre."""
    expected = Geodesic.WGS84.Direct(lat, lon, bearing, metres)
    assert apart_m(from_bearing(lon, lat, bearing, metres), (expected["lon2"], expected["lat2"])) < 1e-4


# --- laws -----------------------------------------------------------------------------------------------------------


@given(LONGITUDES, LATITUDES)
def test_law_what_is_written_reads_back(lon: float, lat: float) -> None:
    """Within the rounding: half a unit on each axis, the diagonal of half a square for MGRS."""
    for write, metres in ((decimal, 0.08), (degrees_minutes, 1.4), (dms, 2.3), (utm, 0.72), (mgrs, 0.72)):
        text = write(lon, lat)
        assert "60.0" not in text.replace(decimal(lon, lat), ""), text
        there = parse(text)
        assert -180 <= there[0] < 180
        assert apart_m(there, (lon, lat)) < metres, text


@given(st.sampled_from([-80, -72, -8, 0, 8, 32, 40, 56, 64, 72, 84, 90]), st.integers(-60, 59), st.floats(-1e-6, 1e-6))
def test_law_edges_of_bands_and_zones_read_back(lat: float, zone_edge: int, off: float) -> None:
    place = zone_edge * 3 + off, min(lat + off, 90.0)
    for write in (utm, mgrs):
        assert apart_m(parse(write(*place)), place) < 0.72


@pytest.mark.parametrize(
    "text",
    [
        "44.05, -121.3", "44.05 -121.3", "44.05,-121.3", "+44.05-121.3", "44.05N 121.3W", "N44.05 W121.3",
        "121.3w 44.05n", "44 3 N 121 18 W", "440300.0N1211800.0W",
        "44.05 north, 121.3 west", "44°03'00\"N 121°18'00\"W", "44° 03′ 00″ N, 121° 18′ 00″ W", "44º3' -121º18'",
        "44 03 00 -121 18 00", "44 03 00, -121 18 00", "44:03:00N 121:18:00W", "44-03-00N 121-18-00W",
        "4403.000N 12118.000W", "N4403.000 W12118.000", "12118.000W 4403.000N", "440300N 1211800W",
        "44 degrees 3 N 121 degrees 18 W", "  44.05 ,\t\u2212121.3 ", "44.05;-121.3",
    ],
)  # fmt: skip
def test_law_one_place_however_written(text: str) -> None:
    assert parse(text) == pytest.approx(ONE_PLACE, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "10T 635000 4880000", "10T 635000 mE 4880000 mN north", "10 n 635000 4880000", "10 north 635000 4880000",
        "UTM zone 10 north, 635000E, 4880000N", "10T 635000E4880000N",
        "10 635000 4880000 North", "10t 635000.0 4880000.0",
    ],
)  # fmt: skip
def test_law_one_grid_place_however_written(text: str) -> None:
    assert utm(*parse(text)) == "10T 635000 mE 4880000 mN north"


@pytest.mark.parametrize(
    "text", ["10TFP3500080000", "10T FP 35000 80000", "10t fp 3500080000", "MGRS 10TFP 35000 80000"]
)
def test_law_one_square_however_written(text: str) -> None:
    assert mgrs(*parse(text)) == "10T FP 35000 80000"


def test_law_leading_zero_of_the_zone_is_free() -> None:
    assert parse("06VUN4417388521") == parse("6V UN 44173 88521")


def test_law_whole_metres_are_not_cut_down() -> None:
    """A corner given in whole metres must come back as that corner, whichever way the arithmetic rounds."""
    for metres in range(635_000, 635_040):
        assert mgrs(*parse(f"10T {metres} 4880000")) == f"10T FP {metres - 600_000} 80000"


def test_law_minutes_and_seconds_never_show_sixty() -> None:
    nearly = 59.999999999
    assert dms(nearly, -nearly) == "60°00'00.0\"S 060°00'00.0\"E"
    assert degrees_minutes(nearly, -nearly) == "60°00.000'S 060°00.000'E"
    assert decimal(-1e-9, -1e-9) == "0.000000, 0.000000"


def test_law_small_southern_and_western_angles_keep_their_sign() -> None:
    assert parse("-0 30 0, -0 15 0") == (-0.25, -0.5)
    assert dms(-0.25, -0.5) == "00°30'00.0\"S 000°15'00.0\"W"


def test_law_formats_hold_every_way_asked_for() -> None:
    ways = formats(*ONE_PLACE)
    assert list(ways) == ["decimal", "degrees_minutes", "dms", "utm", "mgrs"]
    assert ways["utm"] == utm(*ONE_PLACE)
    assert formats(180.0, 10.0) == formats(-180.0, 10.0)


def test_law_a_bearing_leads_over_the_date_line() -> None:
    assert from_bearing(179.9999, 0, 90, 100)[0] < -179.99


@given(st.floats(0, 5000), st.floats(0.3, 2.5))
def test_law_paces_add_up(paces: float, length: float) -> None:
    assert paces_m(paces, length) + paces_m(100, length) == pytest.approx(paces_m(paces + 100, length))
    assert paces_m(100, 0.8) == 80


@given(st.text(alphabet="0123456789.,-+ °'\"NSEWTXZA:;/", max_size=40))
def test_law_any_text_is_a_place_or_a_sentence(text: str) -> None:
    try:
        lon, lat = parse(text)
    except BadValue:
        return
    assert -180 <= lon < 180
    assert -90 <= lat <= 90


# --- refusals -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "no place written"),
        ("by the gate", "“BY” has no meaning"),
        ("nan, nan", "has no meaning"),
        ("9" * 200, "120 characters at most; these are 200"),
        ("-121.3, 44.05", "can only be a longitude. Write latitude first: 44.05, -121.3"),
        ("95, 121", "a longitude must not pass|a latitude must not pass 90°; it is 95°"),
        ("44.05, 239", "a longitude must not pass 180°; it is 239°"),
        ("44.05", "where the longitude begins"),
        ("44:03", "where the longitude begins"),
        ("44 03 00 121 18", "where the longitude begins"),
        ("44.05, -121.3, 1200", "where the longitude begins"),
        ("44,05 -121,3", "Write decimals with a point"),
        ("44,05N, 121.3W", "not degrees, minutes and seconds"),
        ("44.05N 121.3", "one of N or S .* it has N"),
        ("44.05N 121.3S", "one of N or S .* it has NS"),
        ("44.05N W121.3", "all before or all behind"),
        ("-44.05S 121W", "both a minus and S"),
        ("44 60 0 N 121 0 0 W", "minutes must be below 60; they are 60"),
        ("44 3 61 N 121 0 0 W", "seconds must be below 60; they are 61"),
        ("44.5 30 N 121 0 W", "only the last number"),
        ("44 -3 N 121 0 W", "a sign belongs before the degrees only|not degrees"),
        ("44°03\"N 121°18'W", "marks must come as"),
        ("4403.0 -12118.0", "too long for degrees"),
        ("44030N 12118W", "too long for degrees"),
        ("38S 444145 3684705", "two places: .*latitude 33.3°.*latitude −56.978°.*Write north or south"),
        ("10 635000 4880000", "no letter after zone 10"),
        ("10T 4880000 635000", "easting must lie between 100000 and 900000 m; it is 4880000 m"),
        ("10T 635000 48800000", "northing must lie between 0 and 10000000 m"),
        ("10U 635000 4880000", "latitude 44.061°, and band U runs from 48° to 56°"),
        ("10T 635000 4880000 south", "latitude .*band T runs from 40° to 48°"),
        ("10N 635000 4880000 south", "band N runs from 0° to 8°"),
        ("61T 635000 4880000", "zones run from 1 to 60; this one is 61"),
        ("10I 635000 4880000", "no band I"),
        ("34X 500000 8700000", "no zone 34X"),
        ("10 north 500000 9990000", "outside zone 10"),
        ("60X 800000 9200000", "outside zone 60"),
        ("Z 1500000 2100000", "Correct the letter"),
        ("north 1000000 1000000", "outside the polar grid"),
        ("north 5000000 2000000", "easting must lie between"),
        ("Z 2100000 2100000 south", "the letter Z is north"),
        ("10TFP3500", "only a square of 1 km"),
        ("10TFP", "only a square of 100 km"),
        ("10TFP350008000", "has 9 digits"),
        ("10T FP 3500 80000", "4 digits of easting and 5 of northing"),
        ("10TAA1234512345", "no square AA in 10T"),
        ("10TSA1234512345", "no square SA in 10T"),
        ("10TFI1234512345", "no square FI in 10T"),
        ("32XMG1234512345", "no zone 32X"),
        ("ZZZ1234512345", "no square ZZ in Z"),
    ],
)  # fmt: skip
def test_refuses_what_is_no_place_or_two(text: str, sentence: str) -> None:
    with pytest.raises(BadValue, match=sentence):
        parse(text)


def test_law_letter_n_is_north_as_band_and_as_hemisphere_but_a_south_that_fits_no_band_is_south() -> None:
    assert parse("38N 444145 3684705")[1] == pytest.approx(33.3, abs=0.001)
    assert parse("55S 273741 5796490")[1] == pytest.approx(-37.951, abs=0.001)
    assert parse("38S 444145 3684705 north")[1] == pytest.approx(33.3, abs=0.001)
    assert parse("38S 444145 3684705 south")[1] == pytest.approx(-56.978, abs=0.001)
    assert parse("38N 444145 3684705 north")[1] == pytest.approx(33.3, abs=0.001)


@pytest.mark.parametrize("write", [decimal, degrees_minutes, dms, utm, mgrs, formats])
@pytest.mark.parametrize("place", [(0.0, 90.1), (math.nan, 0.0), (0.0, math.nan), (math.inf, 0.0)])
def test_refuses_to_write_what_is_no_place(write: object, place: tuple[float, float]) -> None:
    assert callable(write)
    with pytest.raises(BadValue, match="no place on Earth"):
        write(*place)


def test_law_what_is_no_place_is_told_by_six_digits() -> None:
    """Some ten metres: enough to find the slip."""
    with pytest.raises(BadValue, match=r"^Latitude 95\.1235°, longitude 10\.1235° is no place on Earth"):
        decimal(10.12345678, 95.12345678)


def test_refuses_wild_bearings_distances_and_paces() -> None:
    for bearing in (400, -1, math.nan):
        with pytest.raises(BadValue, match=r"bearing must lie between 0° and 360°"):
            from_bearing(*ONE_PLACE, bearing, 100)
    for metres in (-1, 100_001, math.inf):
        with pytest.raises(BadValue, match=r"distance must lie between 0 m and 100,000 m"):
            from_bearing(*ONE_PLACE, 10, metres)
    with pytest.raises(BadValue, match="no place on Earth"):
        from_bearing(0, 91, 10, 100)
    with pytest.raises(BadValue, match="paces must not be below 0"):
        paces_m(-1, 0.8)
    with pytest.raises(BadValue, match=r"pace must lie between 0.3 m and 2.5 m; it is 75 m"):
        paces_m(100, 75)


@pytest.mark.parametrize(
    "text",
    [
        "44,05° N 121,3° W",
        "44,05°, -121,3°",
        "44° 3,000' N, 121° 18,000' W",
        "44°03'00,0\"N 121°18'00,0\"W",
        "44,05000; -121,30000",
        "44,0500N 121,3000W",
        "lat 44.05 lon -121.3",
        "Lon: -121.3, Lat: 44.05",
        "latitude=44.05, longitude=-121.3",
        "lat. 44°03'N long. 121°18'W",
        "(44.05, -121.3)",
        "geo:44.05,-121.3",
    ],
)
def test_law_decimal_commas_and_named_numbers_are_read(text: str) -> None:
    assert parse(text) == pytest.approx(ONE_PLACE, abs=1e-12)


@pytest.mark.parametrize(
    "text", ["44,05 N 121,3 W", "44,05; -121,3", "44,121", "44,03,00 N 121,18,00 W", "lat 44.05", "lat 44 lat 3"]
)
def test_refuses_commas_and_names_that_read_two_ways(text: str) -> None:
    """44,05 may be 44.05° or 44°05': help must not be sent on a guess."""
    with pytest.raises(BadValue) as caught:
        parse(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("write", [decimal, dms, degrees_minutes])
@pytest.mark.parametrize("pole", [90.0, -90.0])
def test_law_a_pole_is_a_place_and_nothing_lies_beyond_it(write: Callable[[float, float], str], pole: float) -> None:
    assert "90" in write(10.0, pole)
    with pytest.raises(BadValue, match="no place on Earth"):
        write(10.0, pole * (1 + 1e-9))
