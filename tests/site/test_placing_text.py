"""Places as a survey writes them."""

from __future__ import annotations

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.site.placing_text import Known, geometry_of, known_of, place_notes, place_of, place_text, settle
from sitemap.site.typed_rows import notes_for, placed, typed
from sitemap.telling import tell
from tests.site.builders import point, site_of, thing

GATE = (-120.0, 44.0)
KNOWN = Known({"gate": GATE, "barn": None}, 0.75)
FOOT = 0.3048  # NIST SP 811


def gate(**site: object) -> object:
    return site_of(thing("g", "gate", name="Gate"), site={"crew": {"pace_m": 0.75}, **site})


@given(st.integers(0, 360), st.integers(1, 2000))
def test_agrees_with_geographiclib(bearing: int, paces: int) -> None:
    """Karney's geodesic on WGS 84 (geographiclib), to a tenth of a millimetre."""
    lon, lat = place_of(f"bearing {bearing}, {paces} paces from Gate", KNOWN)
    want = Geodesic.WGS84.Direct(GATE[1], GATE[0], bearing, paces * 0.75)
    off = Geodesic.WGS84.Inverse(lat, lon, want["lat2"], want["lon2"])["s12"]
    assert off < 1e-4


@pytest.mark.parametrize(
    "text",
    [
        "bearing 120, 35 paces from Gate",
        "35 paces at 120° from gate",
        "120° 35 steps from GATE.",
        "Brg 120 deg 26.25 m from Gate",
        "26,25 metres, bearing 120 from Gate",
        "rumbo 120, 35 pasos desde Gate",
    ],
)
def test_law_one_place_written_in_many_ways(text: str) -> None:
    assert place_of(text, KNOWN) == pytest.approx(place_of("bearing 120, 35 paces from Gate", KNOWN), abs=1e-9)


def test_law_feet_and_yards_are_told_apart() -> None:
    """A yard is three feet (NIST SP 811)."""
    feet, yards = (place_of(f"bearing 45, {text} from Gate", KNOWN) for text in ("300 ft", "100 yd"))
    assert feet == pytest.approx(yards, abs=1e-9)
    assert Geodesic.WGS84.Inverse(GATE[1], GATE[0], feet[1], feet[0])["s12"] == pytest.approx(300 * FOOT, abs=1e-4)


@pytest.mark.parametrize(
    "text", ["44.05, -121.3", "44°03'00\"N 121°18'00\"W", "44°03.000'N 121°18.000'W", "10T FP 36179 78937"]
)
def test_law_every_form_of_coordinates_is_read(text: str) -> None:
    lon, lat = place_of(text, KNOWN)
    assert (round(lon, 3), round(lat, 3)) == pytest.approx((-121.3, 44.05), abs=2e-3)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("bearing 400, 35 paces from Gate", "between 0° and 360°; it is 400°"),
        ("bearing 120, 35 paces", "from where"),
        ("bearing 120 from Gate", "how far"),
        ("35 paces from Gate", "one bearing"),
        ("bearing 120, 35 paces from Gade", "Did you mean gate"),
        ("bearing 120, 35 paces from Moon", "Place it first"),
        ("bearing 120, 35 paces from Barn", "no single point"),
        ("bearing 120 magnetic, 35 paces from Gate", "true north"),
        ("somewhere", "no place|does not show"),
    ],
)
def test_refuses_a_place_that_cannot_be_read(text: str, told: str) -> None:
    with pytest.raises(BadValue, match=told):
        place_of(text, KNOWN)


def test_refuses_paces_before_they_were_counted() -> None:
    with pytest.raises(BadValue, match="length of a pace"):
        place_of("bearing 1, 35 paces from Gate", Known({"gate": GATE}, None))


def test_law_lines_and_areas_take_several_places() -> None:
    ends = "44.0, -120.0; bearing 90, 40 paces from Gate"
    line = geometry_of(ends, "windrow", KNOWN)
    assert line["type"] == "LineString"
    corners = geometry_of("44, -120; 44, -120.001; 44.001, -120.001", "logged_area", KNOWN)
    assert corners["type"] == "Polygon"
    assert corners["coordinates"][0][0] == corners["coordinates"][0][-1]
    assert geometry_of("44.05; -121.3", "pile", KNOWN)["type"] == "Point"  # a semicolon may part latitude, longitude
    with pytest.raises(BadValue, match="both ends"):
        geometry_of("44.0, -120.0", "windrow", KNOWN)
    with pytest.raises(BadValue, match="three corners"):
        geometry_of("44.0, -120.0", "logged_area", KNOWN)
    with pytest.raises(BadValue, match="one place"):
        geometry_of("44, -120; 44.1, -120", "gate", KNOWN)


def test_law_places_told_from_each_other_settle_whatever_their_order() -> None:
    """
    Gate ──► P2 ──► P1, and P3, told from a thing that is not there
    """
    site = gate()
    rows = {
        "a": {"name": "P1", "place": "bearing 90, 10 paces from P2"},
        "b": {"name": "P2", "place": "bearing 0, 10 paces from Gate"},
        "c": {"name": "P3", "place": "bearing 0, 10 paces from P9"},
    }
    site = typed(site, "pile", rows)
    assert [f.shape is not None for f in site.of_kind("pile")] == [True, True, False]
    assert [f.has("place") for f in site.of_kind("pile")] == [False, False, True]
    assert [f.id for f in site.of_kind("pile")] == ["a", "b", "c"]
    assert [(n.row, n.column, n.what) for n in notes_for(site, "pile")] == [(3, "place", "bad_place")]
    later = settle(site.put(site.get("a").with_values(name="P9")))
    assert later.get("c").shape is not None


def test_law_a_place_waits_for_the_pace() -> None:
    site = site_of(thing("g", "gate", name="Gate"))
    site = placed(site.put(thing_of("p")), "p", "bearing 0, 10 paces from Gate")
    assert site.get("p").geometry is None
    assert "pace" in tell(place_notes(site, site.of_kind("pile"))[0].text)
    site = settle(site.with_member("crew", {"pace_m": 0.8}))
    assert site.get("p").shape is not None


def thing_of(id: str) -> object:  # noqa: A002
    return site_of(thing(id, geometry=None, name="P1")).features[0]


def test_law_an_emptied_row_takes_the_thing_away_and_a_shown_place_changes_nothing() -> None:
    site = site_of(thing("p", name="P1", geometry=point(-120.123456789, 44.0)))
    shown = place_text(site.get("p"))
    same = typed(site, "pile", {"p": {"place": shown, "height_m": "2"}})
    assert same.get("p").geometry == site.get("p").geometry
    assert typed(same, "pile", {"p": {"name": "", "place": "", "height_m": ""}}).of_kind("pile") == ()


def test_law_known_names_are_points_of_one_thing() -> None:
    site = site_of(thing("a", name="P1"), thing("b", name="P1"), thing("c", geometry=None, name="P2"))
    assert known_of(site).places == {"p1": None, "p2": None}


def test_law_a_lost_sign_is_said_at_the_row_of_the_grid() -> None:
    """44° south instead of north lies some 9,800 km away (geographiclib in test_far_off)."""
    rows = {"a": {"name": "P1", "place": "44.0, -120.0"}, "b": {"place": "-44.0, -120.0"}}
    site = typed(gate(), "pile", rows)
    assert [(n.row, n.column, n.what) for n in notes_for(site, "pile")] == [(2, "place", "far_away")]
