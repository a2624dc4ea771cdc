"""The map on paper: true to scale, every kiln's number reads, no sign covers another, the legend says what is shown."""

from __future__ import annotations

import io
import math
import re
from functools import cache
from html import unescape

import pytest
import typst
from geographiclib.geodesic import Geodesic
from matplotlib import font_manager
from matplotlib.ft2font import LoadFlags
from PIL import Image

from sitemap.assessment import Assessment, assess
from sitemap.maps.symbols import SYMBOLS, symbol_of
from sitemap.plan import map as drawing
from sitemap.plan.contents import plan_of
from sitemap.plan.largest import MOST
from sitemap.plan.map import SIZES_MM, map_svg
from sitemap.plan.map.edge import degrees_text, scale_words
from sitemap.plan.map.labels import rows_of
from sitemap.plan.map.layers import Shown, contour_step_m, pattern_of
from sitemap.plan.map.legend import COLUMNS, WORDS_PT, entries
from sitemap.plan.map.outside import in_a_row
from sitemap.plan.map.pen import MM_A_POINT, PATTERNS
from sitemap.plan.map.signs import KILN_PT, LETTER_PT, SMALL_KILN_PT, Sign, apart, shared, text_width, touching
from sitemap.plan.map.view import View
from sitemap.plan.papers import plan_pdf
from sitemap.plan.phrases import Words
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.telling import words as texts
from tests.plan.builders import ON, RING, assessed, one_kiln, point, sample, site


@cache
def crowded() -> Assessment:
    """Ten kilns of which eight stand 9 m apart, among the things of a sample."""
    whole = sample()
    lon, lat = whole.source.of_kind("kiln_spot")[0].geometry["coordinates"]
    made = whole.source
    for spot in made.of_kind("kiln_spot"):
        made = made.without(spot.id)
    for number in range(10):
        east, north = (number % 4 * 9, number // 4 * 8) if number < 8 else (60 + number * 5, -40)
        made = made.put(
            point(f"k{number}", "kiln_spot", lon + east / 79_700, lat + north / 111_130, name=f"K{number + 1}")
        )
    return assess(made, whole.terrain, on=whole.on)


@cache
def many() -> Assessment:
    """Sixty things, the last thirty on a spiral of a few metres a step."""
    made = sample("birch_shore").source
    lon, lat = made.of_kind("kiln_spot")[0].geometry["coordinates"]
    kinds = [kind for kind in SYMBOLS if kind in ("pile", "gate", "hazard_tree", "structure", "lookout", "parking")]
    for number in range(60 - len(made.features)):
        far, turn = 6 + 3 * number, number * 2.4
        at = lon + far * math.cos(turn) / 52_600, lat + far * math.sin(turn) / 111_400
        kind = kinds[number % len(kinds)]
        made = made.put(point(f"x{number}", kind, *at, name=f"{kind.replace('_', ' ')} {number}"))
    return assess(made, sample("birch_shore").terrain, on=sample("birch_shore").on)


CASES = {
    "juniper": sample,
    "birch": lambda: sample("birch_shore"),
    "dam": lambda: sample("farm_dam"),
    "ten kilns": crowded,
    "sixty things": many,
    "one kiln": lambda: assessed(one_kiln()),
    "no kiln": lambda: assessed(one_kiln().without("k1")),
}


def drawn(
    monkeypatch: pytest.MonkeyPatch, a: Assessment, size: str, paper: str
) -> tuple[str, list[tuple[View, Shown]]]:
    """A map, and what was shown in each of its views."""
    seen: list[tuple[View, Shown]] = []
    usual = drawing.draw_view

    def noted(a: Assessment, pen, view: View, shown: Shown, **more) -> None:
        alone = Shown()
        usual(a, pen, view, alone, **more)
        seen.append((view, alone))
        shown.signs += alone.signs
        shown.kinds |= alone.kinds
        shown.lines |= alone.lines
        shown.contours |= alone.contours
        shown.left_out += alone.left_out
        shown.small |= alone.small

    monkeypatch.setattr(drawing, "draw_view", noted)
    return map_svg(a, size, paper) or "", seen


@pytest.mark.parametrize("size", ["smaller", "small", "full"])
@pytest.mark.parametrize("case", CASES)
def test_law_no_sign_covers_another_and_every_number_reads(monkeypatch, case: str, size: str):
    a = CASES[case]()
    svg, seen = drawn(monkeypatch, a, size, "letter" if a.source.units == "us" else "a4")
    for _, shown in seen:
        rooms = [sign.rooms for sign in shown.signs]
        worst = [max(shared(p, q) for p in one for q in two) for i, one in enumerate(rooms) for two in rooms[:i]]
        assert max(worst, default=0) < 1.0  # mm²: two edges meet, no letter is near
        for sign in shown.signs:
            assert math.dist(sign.at, sign.middle) < 30  # it stays where its line is followed with the eye
    names = sorted(spot.name for spot in a.source.of_kind("kiln_spot"))
    kilns = sorted(sign.letters for _, shown in seen for sign in shown.signs if sign.verdict is not None)
    assert kilns == names
    least = (KILN_PT if size == "full" else SMALL_KILN_PT) * MM_A_POINT
    for name in names:
        assert float(re.search(rf'font-size="([\d.]+)"[^>]*>{name}</text>', svg)[1]) == pytest.approx(least, abs=0.01)


def test_law_kilns_that_stand_close_have_an_inset_and_names_hardly_lack(monkeypatch):
    svg, seen = drawn(monkeypatch, crowded(), "full", "a4")
    whole, *insets = [view for view, _ in seen]
    assert insets
    assert all(inset.n * 1.5 <= whole.n for inset in insets)
    assert "Detail A" in svg
    assert scale_words(insets[0]) in svg
    _, shown = drawn(monkeypatch, many(), "full", "a4")[1][-1]
    assert len(shown.left_out) <= 3


def test_agrees_with_geodesics_one_to_n_on_paper(monkeypatch):
    """Geodesic distance by geographiclib against millimetres of the drawing times n."""
    a = assessed(one_kiln().put(point("k2", "kiln_spot", 15.004, 60.001, name="K2", kiln="ring")))
    svg, seen = drawn(monkeypatch, a, "full", "a4")
    view, shown = seen[0]
    at = {sign.letters: sign.at for sign in shown.signs}
    metres = Geodesic.WGS84.Inverse(60.0, 15.0, 60.001, 15.004)["s12"]
    assert math.dist(at["K1"], at["K2"]) * view.n / 1000 == pytest.approx(metres, rel=1e-3)
    assert f">{scale_words(view)}<" in svg
    told = float(re.findall(r">([\d.]+) m</text>", svg)[-1])
    bars = re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="([\d.]+)" height="1.4"', svg)
    assert 2 * float(bars[0]) * view.n / 1000 == pytest.approx(told, rel=2e-3)  # a hundredth of a millimetre is drawn


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_law_the_pdf_sets_the_map_as_large_as_it_is_drawn(monkeypatch, paper: str):
    """The page as a picture: the frame of the map, measured in pixels, is as long as the drawing says."""
    a, ppi = assessed(one_kiln()), 144
    _, seen = drawn(monkeypatch, a, "full", paper)
    usual = typst.compile
    monkeypatch.setattr(typst, "compile", lambda path, **k: usual(path, **{**k, "format": "png", "ppi": ppi}))
    page = Image.open(io.BytesIO(plan_pdf(a, paper, ("map",)))).convert("L")
    columns = [page.crop((x, 0, x + 1, page.height)).tobytes() for x in range(page.width // 2)]
    longest = max(len(run) for column in columns for run in re.findall(rb"[\x00-\x78]+", column))
    assert longest / ppi * 25.4 == pytest.approx(seen[0][0].height, abs=0.4)  # two pixels


def test_published_letters_read_at_sixty_centimetres():
    """Sight of 0.4 (20/50) tells letters of 12.5 minutes of arc: 5 minutes at sight 1.0 (ISO 8596, from memory); the
    height of a capital by the font."""
    font = font_manager.get_font(font_manager.findfont("DejaVu Sans:bold"))
    font.load_char(ord("H"), LoadFlags.NO_SCALE)
    share = font.get_path()[0][:, 1].max() * 64 / font.units_per_EM  # the path is in 64ths
    for size in (LETTER_PT, KILN_PT):
        minutes = math.degrees(math.atan(size * MM_A_POINT * share / 600)) * 60
        assert minutes >= 12.4


def test_law_the_legend_says_what_is_shown_and_no_more(monkeypatch):
    a = assessed(one_kiln())
    svg, _ = drawn(monkeypatch, a, "full", "a4")
    assert ">Water source</text>" in svg
    assert ">Standing timber</text>" not in svg
    assert "Contours" not in svg
    assert "Contours every 10 ft" in map_svg(sample())
    assert contour_step_m(sample()) == pytest.approx(10 * 0.3048)
    assert ">Bosque en pie</text>" in map_svg(sample(), words=Words("es", "us"))


@pytest.mark.parametrize("language", ["en", "es"])
def test_law_every_word_of_the_legend_has_room(language: str):
    shown = Shown(
        kinds=dict.fromkeys([*SYMBOLS, "?"], True),
        lines={"lay", "haul", "attack", "too close", "measure", "nearest"},
    )
    words = [entry.words for entry in entries(shown, Words(language, "metric"))]
    assert len(words) == len(SYMBOLS) + 7
    if language != "en":
        assert {KINDS[kind].label for kind in SYMBOLS} <= texts(language)["terms"].keys()
    width = (SIZES_MM["full"]["a4"][0] - 4.6) / COLUMNS - 18
    assert [word for word in words if text_width(word, WORDS_PT) > width * 1.12] == []  # the measure is rather too wide


def test_law_areas_are_told_apart_by_pattern_without_colour():
    kinds = ("water_source", "standing_timber", "refuge", "landing_place")
    assert len({PATTERNS[pattern_of(kind)] for kind in kinds}) == 4
    assert len({symbol_of(kind).shape for kind in kinds}) == 4
    svg = map_svg(sample("birch_shore"))
    for pattern in ("water", "timber", "refuge", "landing"):
        assert f'id="full-{pattern}"' in svg
        assert f"url(#full-{pattern})" in svg


def test_law_heaps_past_reading_leave_kilns_and_the_way_out_their_signs_and_names(monkeypatch):
    """Each heap stands at its place as a small outline without letter or name, in the legend too; nothing else gives
    way to them."""
    whole = sample().source
    lon, lat = whole.of_kind("kiln_spot")[0].geometry["coordinates"]
    heaps = [
        point(f"h{n}", "pile", lon + n % 9 * 2e-4, lat + n // 9 * 2e-4, name=f"Heap{n}", shape="dome")
        for n in range(MOST + 1)
    ]
    with monkeypatch.context() as first:
        svg, seen = drawn(first, assess(whole.put(*heaps), on=ON), "full", "letter")
    usual, alone = drawn(monkeypatch, assess(whole, on=ON), "full", "letter")
    pile = symbol_of("pile")
    assert not re.search(r">Heap\d", svg)
    assert [sign for _, shown in seen for sign in shown.signs if sign.symbol == pile] == []
    kept = [
        {sign.letters for _, shown in views for sign in shown.signs if sign.symbol != pile} for views in (seen, alone)
    ]
    assert kept[0] >= kept[1]
    names = set(re.findall(r">(?:Way out|Bare|Meeting|Water)[^<]*<", usual))
    assert names
    assert names <= set(re.findall(r">[^<]+<", svg))
    assert any("pile" in shown.small for _, shown in seen)
    assert svg.count(f'stroke="{pile.stroke}"') > MOST


def test_law_signs_on_one_spot_are_all_seen():
    here = [Sign(f"K{number}", symbol_of("kiln_spot"), (50.0, 50.0), KILN_PT) for number in range(10)]
    assert touching(here) == [list(range(10))]
    moved = apart(here, (0, 0, 100, 100))
    assert touching([Sign(s.letters, s.symbol, s.middle, s.size_pt) for s in moved]) == []
    assert moved == apart(here, (0, 0, 100, 100))


def test_law_names_without_spaces_wrap_and_long_ones_are_cut():
    assert rows_of("x" * 30) == ["x" * 20, "x" * 10]
    assert "…" in rows_of("x" * 200)[1]
    assert len({tuple(rows_of(f"The large heap by the old cabin above the landing {n}")) for n in range(1, 41)}) == 40
    assert all(len(row) <= 20 for row in rows_of("long " * 40))


def test_law_a_name_that_is_no_short_sign_stands_beside_it():
    made = site(point("k1", "kiln_spot", 15, 60, name="Kiln by the road", kiln="ring"), equipment={"kilns": [RING]})
    assert ">Kiln by the road</text>" in map_svg(assessed(made, ON))


def test_agrees_with_geodesics_that_what_lies_outside_is_told_by_distance_and_direction():
    """A power line 135 m east of the kiln (geographiclib), of which half its width and half the kiln are taken off."""
    ends = [Geodesic.WGS84.Direct(60.0 + north, 15.0, 90, 135)["lon2"] for north in (-0.002, 0.002)]
    line = {"type": "LineString", "coordinates": [[ends[0], 59.998], [ends[1], 60.002]]}
    made = one_kiln().put(Feature.of("pw", line, {"kind": "power_line", "name": "Power line"}))
    svg = unescape(map_svg(assessed(made)))
    told = re.search(r">Outside this map: Power line (\d+) m E of K1</text>", svg)
    assert told is not None
    assert float(told[1]) == pytest.approx(135 - 2 - 0.75, abs=1)
    assert "Outside this map" not in map_svg(assessed(one_kiln()))


def test_law_where_no_hose_is_entered_no_line_of_one_is_drawn():
    a = assessed(one_kiln(crew={"carriers": 4, "adults": 6}))
    line = a.water.of_spot("k1").attack
    assert (line.way, line.hose_m) == ("hose", None)
    assert "Attack line" not in map_svg(a)
    assert "no hose is entered" in plan_of(a, ["crew"]).text


def test_law_two_kilns_nearest_to_each_other_have_one_figure():
    made = one_kiln().put(point("k2", "kiln_spot", 15.0004, 60.0, name="K2", kiln="ring"))
    assert len(re.findall(r">21 m</text>", map_svg(assessed(made)))) == 1


def test_law_what_has_no_room_for_its_name_is_told_within_the_sheet():
    names = tuple(f"The large heap by the old cabin {number}" for number in range(40))
    row = in_a_row(Words("en", "metric"), "map.without", names, 180.0, 7.0)
    assert text_width(row, 7.0) <= 180.0
    assert row.endswith(f"and {40 - row.count('cabin')} more")


def test_law_everything_lies_on_the_sheet():
    for paper, (width, height) in SIZES_MM["full"].items():
        svg = map_svg(sample("farm_dam"), "full", paper)
        assert f'width="{width:g}mm" height="{height:g}mm"' in svg
        ends = [(float(x), float(y)) for x, y in re.findall(r'<text x="([\d.-]+)" y="([\d.-]+)"', svg)]
        assert all(0 < x < width and 0 < y < height for x, y in ends)


@pytest.mark.parametrize(("lon", "lat"), [(179.9999, -17.0), (15.6, 78.2), (-70.0, -45.0), (0.0, 0.0)])
def test_law_maps_are_drawn_anywhere(monkeypatch, lon: float, lat: float):
    svg, seen = drawn(monkeypatch, assessed(one_kiln(lon, lat)), "full", "a4")
    assert "true N" in svg
    assert ("'S" if lat < 0 else "'N") in unescape(svg)
    assert seen[0][0].width * seen[0][0].n / 1000 >= 60


@pytest.mark.parametrize(
    ("minutes", "is_longitude", "places", "text"),
    [(10_800.02, True, 2, "179°59.98'W"), (59.9996, False, 2, "1°00.00'N"), (-0.5, False, 1, "0°00.5'S")],
)
def test_law_minutes_never_reach_sixty(minutes, is_longitude, places, text):
    assert degrees_text(minutes, is_longitude, places) == text
