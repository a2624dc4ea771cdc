"""The command line from outside: exit status, streams, nothing written for a fault, the rest works for a gap.

The classes of fault and gap, and the two exit statuses, are the project's own contract.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from sitemap.__main__ import main

LON, LAT = -120.6, 44.0
MEMBER = {"format": 1, "name": "Test", "units": "metric"}
SOUND = {"shape": "dome", "length_m": 7, "width_m": 4, "height_m": 1.8, "packing_ratio": 0.2, "wood": "ponderosa pine"}
# Half ellipsoid π·4·7·1.8/6 = 26.38938 m³; × 0.9 without earth × 0.2 wood × 0.380 t/m³ (Hardy 1996, P) = 1.805033 t
SOUND_T = math.pi * 4 * 7 * 1.8 / 6 * 0.9 * 0.2 * 0.380


def thing(kind: Any, id: str | None = "x", place: Any = (LON, LAT), **said: Any) -> dict[str, Any]:  # noqa: A002
    geometry = {"type": "Point", "coordinates": list(place)} if isinstance(place, tuple) else place
    named = {} if id is None else {"id": id}
    return {"type": "Feature", **named, "geometry": geometry, "properties": {"kind": kind, **said}}


def pile(id: str = "sound", **said: Any) -> dict[str, Any]:  # noqa: A002
    return thing("pile", id, **{**SOUND, "soil_fraction": 0.1, **said})


def collection(*features: Any, site: Any = MEMBER, **more: Any) -> dict[str, Any]:
    return {"type": "FeatureCollection", "site": site, "features": list(features), **more}


def area(*corners: tuple[float, float]) -> dict[str, Any]:
    ring = [[LON + east / 80_000, LAT + north / 111_000] for east, north in (*corners, corners[0])]
    return {"type": "Polygon", "coordinates": [ring]}


def kept(folder: Path, content: Any) -> str:
    path = folder / "site.geojson"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    return str(path)


FAULTS = {
    "not JSON": ('{"type":', 1),
    "an empty file": ("", 1),
    "no collection": (pile(), 1),
    "no list of features": ({"type": "FeatureCollection", "site": MEMBER}, 1),
    "no site member": ({"type": "FeatureCollection", "features": [pile()]}, 1),
    "no units": (collection(pile(), site={"name": "Test"}), 1),
    "units unknown": (collection(pile(), site={"units": "furlongs"}), 1),
    "another coordinate system": (
        collection(crs={"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::26910"}}),
        1,
    ),
    "an id twice": (collection(pile(), pile()), 1),
    "a newer format": (collection(pile(), site={**MEMBER, "format": 99}), 1),
    "swapped coordinates": (collection(thing("pile", place=(44.0, -120.6))), 1),
    "a place off the Earth": (collection(thing("pile", place=(190.0, 44.0))), 1),
    "not a number": (collection(pile(moisture_pct=math.nan)), 1),
    "no end": (collection(pile(moisture_pct=math.inf)), 1),
    "three at once": (collection(pile(), pile(), thing("pile", place=(0.0, 99.0)), site={"format": 2}), 3),
}


@pytest.mark.parametrize("verb", ["check", "assess", "assess --json", "plan"])
@pytest.mark.parametrize(("content", "sentences"), FAULTS.values(), ids=FAULTS)
def test_refuses_a_fault_with_a_sentence_each_and_writes_nothing(
    content: Any, sentences: int, verb: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    word, *options = verb.split()
    out = tmp_path / "plan.html"
    options += ["-o", str(out)] if word == "plan" else []
    assert main([word, kept(tmp_path, content), *options, "--on", "2026-06-20"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    lines = said.err.splitlines()
    assert len(lines) == sentences
    assert all(line.endswith(".") and "Traceback" not in line for line in lines)
    assert not out.exists()


GAPS = {
    "crossed outline": ("x", thing("logged_area", place=area((0, 0), (100, 100), (100, 0), (0, 100)))),
    "empty shape": ("x", thing("logged_area", place={"type": "Polygon", "coordinates": []})),
    "negative size": ("x", pile("x", height_m=-2)),
    "words for a number": ("x", pile("x", length_m="7")),
    "a height left out": ("x", pile("x", height_m=None)),
    "packing of 3": ("x", pile("x", packing_ratio=3)),
    "no such shape": ("x", pile("x", shape="pyramid")),
    "a name misspelt": ("x", pile("x", height_m=None, heigth_m=2)),
    "unknown kind": ("x", thing("pyle", **SOUND)),
    "no kind": ("x", {"type": "Feature", "id": "x", "geometry": None, "properties": None}),
    "spot without kiln": ("x", thing("kiln_spot")),
    "spot with a kiln that is not there": ("x", thing("kiln_spot", kiln="none such")),
    "structure without a place": ("x", thing("structure", place=None)),
    "hose lay from nowhere": (
        "x",
        thing("hose_lay", place={"type": "LineString", "coordinates": [[LON, LAT], [LON + 0.001, LAT]]}),
    ),
    "tally of words": ("x", thing("transect", length_m=50, taped="horizontal", classes="many thumbs")),
}


@pytest.mark.parametrize(("named", "feature"), GAPS.values(), ids=GAPS)
def test_law_a_gap_is_named_with_its_id_left_out_and_the_rest_works(
    named: str, feature: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = kept(tmp_path, collection(pile(), feature))
    assert main(["assess", path, "--json", "--on", "2026-06-20"]) == 0
    said = capsys.readouterr()
    report = json.loads(said.out)
    assert said.err == ""
    assert named in {note["about"] for note in report["unknowns"]}
    assert report["slash"]["dry_t"][1] == pytest.approx(SOUND_T, rel=1e-5)
    assert main(["check", path, "--on", "2026-06-20"]) == 0
    assert "Traceback" not in capsys.readouterr().err


def test_law_overlapping_areas_are_both_named_and_their_ground_counts_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, other = area((0, 0), (100, 0), (100, 100), (0, 100)), area((50, 0), (150, 0), (150, 100), (50, 100))
    content = collection(thing("logged_area", "a", place=one), thing("logged_area", "b", place=other))
    assert main(["assess", kept(tmp_path, content), "--json", "--on", "2026-06-20"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert {"a", "b"} <= {note["about"] for note in report["unknowns"] if note["what"] == "overlap"}


@pytest.mark.parametrize(
    ("key", "entry"),
    [
        ("pumps", {"id": "e", "name": "Pump", "curve": [[0, 20], [100, 30], [200, 0]]}),
        ("hoses", {"id": "e", "name": "Hose", "lengths_m": [20]}),
        ("kilns", {"id": "e", "name": "Ring", "shape": "ring", "diameter_m": -1, "height_m": 0.9}),
    ],
)
def test_law_unsound_equipment_is_named_with_its_id(
    key: str, entry: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content = collection(pile(), site={**MEMBER, "equipment": {key: [entry]}})
    assert main(["assess", kept(tmp_path, content), "--json", "--on", "2026-06-20"]) == 0
    assert "e" in {note["about"] for note in json.loads(capsys.readouterr().out)["unknowns"]}


@pytest.mark.parametrize("site", [MEMBER, {"units": "us"}], ids=["named", "says its units alone"])
def test_law_an_empty_site_is_not_known_rather_than_nothing(
    site: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assess", kept(tmp_path, collection(site=site)), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["slash"]["dry_t"] is None
    assert report["burn"]["batches"] is None
    assert report["unknowns"]


def test_law_ids_are_made_where_the_file_has_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bare = {key: value for key, value in pile().items() if key != "id"}
    assert main(["assess", kept(tmp_path, collection(bare, bare)), "--json", "--on", "2026-06-20"]) == 0
    ids = [item["id"] for item in json.loads(capsys.readouterr().out)["slash"]["items"]]
    assert len(set(ids)) == 2
    assert all(ids)


def _numbers(value: Any) -> list[float]:
    if isinstance(value, dict | list):
        return [n for inner in (value.values() if isinstance(value, dict) else value) for n in _numbers(inner)]
    return [value] if isinstance(value, float) else []


def test_law_the_report_is_plain_json_to_six_digits_and_the_same_each_time(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kilns = [{"name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9}]
    spot = thing("kiln_spot", "k", (LON + 0.0005, LAT), kiln="Ring", serves=["sound"])
    content = collection(pile(), spot, site={**MEMBER, "equipment": {"kilns": kilns}, "timezone": "America/Denver"})
    texts = []
    for date in ("2026-06-20", "2026-06-20", "2026-12-20"):
        assert main(["assess", kept(tmp_path, content), "--json", "--on", date]) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1] != texts[2]
    report = json.loads(texts[0], parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert report["on"] == "2026-06-20"
    assert all(number == float(f"{number:.6g}") for number in _numbers(report))
    for part in (report["slash"], report["burn"], *report["kilns"]):
        for value in part.values():
            if isinstance(value, list) and len(value) == 3 and all(isinstance(n, int | float) for n in value):
                assert value == sorted(value)


def test_refuses_a_date_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", kept(tmp_path, collection(pile())), "--json", "--on", "20 June"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "2026-11-25" in said.err


@pytest.mark.parametrize("words", [[], ["burn"], ["plan", "SITE"], ["place", "SITE", "--kilns", "two"], ["check"]])
def test_refuses_words_it_does_not_know_in_one_sentence(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    said = capsys.readouterr()
    assert (left.value.code, said.out, said.err.count("\n")) == (2, "", 1)
    assert said.err.endswith("--help.\n")


def test_law_names_of_any_script_pass_a_pipe_of_another_encoding(tmp_path: Path) -> None:
    path = kept(tmp_path, collection(pile(name="Grüne Senke Ω 木"), site={**MEMBER, "name": "木"}))
    for words in (["assess", path, "--json"], ["assess", path], ["check", path]):
        done = subprocess.run(
            [sys.executable, "-m", "sitemap", *words],
            capture_output=True,
            cwd=Path(__file__).parents[1],
            env={**os.environ, "PYTHONIOENCODING": "ascii"},
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, b"")
        assert "Grüne Senke Ω 木" in done.stdout.decode("utf-8")


def test_refuses_a_file_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path / "none.geojson")]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)


@pytest.mark.parametrize(
    "equipment",
    [
        {"machines": [{"id": "e", "bucket_l": 70, "max_slope_pct": 1e-300}]},
        {"machines": [{"id": "e", "bucket_l": 70, "loaded_km_h": 1e-300}]},
        {"hoses": [{"id": "e", "bore_mm": 1e-300, "lengths_m": [20]}]},
        {"hoses": [{"id": "e", "bore_mm": 38, "lengths_m": [1e300]}]},
        {"kilns": [{"id": "e", "shape": "ring", "diameter_m": 1e-300, "height_m": 1e-300}]},
        {"pumps": [{"id": "e", "curve": [[0, 30], [1e-300, 20], [3, 10]]}]},
    ],
)
def test_law_absurd_sizes_are_left_out_and_nothing_falls_over(
    equipment: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Found by putting odd values into sound sites: each of these once ended in a division by zero."""
    kit = {"kilns": [{"id": "k", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9}]}
    kit |= {"hoses": [{"id": "h", "bore_mm": 38, "lengths_m": [20] * 4}], **equipment}
    spot = thing("kiln_spot", "spot", (LON + 0.0005, LAT), kiln=next(iter(kit["kilns"]))["id"], serves=["sound"])
    source = thing("water_source", "w", (LON + 0.0008, LAT), source="tank", volume_l=5000)
    content = collection(pile(), spot, source, site={**MEMBER, "equipment": kit, "timezone": "America/Denver"})
    assert main(["assess", kept(tmp_path, content), "--json", "--on", "2026-06-20"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert json.loads(said.out)["slash"]["dry_t"][1] == pytest.approx(SOUND_T, rel=1e-5)


@pytest.mark.parametrize("files", [[1], {"terrain": "x.tif"}, {"terrain": {"name": 5, "sha256": [1]}}, "a"])
def test_law_files_that_are_no_records_are_named(
    files: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assess", kept(tmp_path, collection(pile(), site={**MEMBER, "files": files})), "--json"]) == 0
    notes = json.loads(capsys.readouterr().out)["unknowns"]
    assert {"bad_value", "no_terrain"} & {note["what"] for note in notes}


def test_law_the_plan_is_made_of_the_sheets_asked_for_the_same_every_time(tmp_path: Path) -> None:
    wanted = ["--sheets", "permission, decision", "--paper", "a4", "--language", "es", "--on", "2026-12-05"]
    made = []
    for name in ("one.html", "two.html"):
        assert main(["plan", kept(tmp_path, collection(pile())), "-o", str(tmp_path / name), *wanted]) == 0
        made.append((tmp_path / name).read_bytes())
    assert made[0] == made[1]
    page = made[0].decode()
    assert 'lang="es"' in page
    assert page.index('id="decision"') < page.index('id="permission"')
    assert 'id="annex"' not in page


@pytest.mark.parametrize(("option", "word"), [("--sheets", "poster"), ("--paper", "a3"), ("--language", "xx")])
def test_refuses_sheets_papers_and_languages_there_are_not(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], option: str, word: str
) -> None:
    """In the language of the site, which is open by then."""
    site = kept(tmp_path, collection(pile(), site={**MEMBER, "language": "es"}))
    assert main(["plan", site, "-o", str(tmp_path / "x.html"), option, word]) == 2
    said = capsys.readouterr().err
    assert all(each in said for each in ("dice", word, "Elija"))
    assert not (tmp_path / "x.html").exists()


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "1899-12-31"])
def test_refuses_a_year_of_no_site(day: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", kept(tmp_path, collection(pile())), "--on", day]) == 2
    assert "1900 to 2199" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["--kilns", "0"], ["--spots", "-2"], ["--kilns", "1e3"]])
def test_refuses_a_number_of_nothing(words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["place", kept(tmp_path, collection(pile())), *words])
    assert left.value.code == 2
    assert "whole number from 1 on" in capsys.readouterr().err


def test_law_the_row_of_one_site_is_written_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "one.csv"
    assert main(["assess", kept(tmp_path, collection(pile())), "-o", str(out), "--workers", "1"]) == 0
    assert len(out.read_text(encoding="utf-8-sig").splitlines()) == 2
    assert "Written" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "told"), [(["assess", "-o", "all.xyz"], "all.xyz"), (["assess", "-o", "nowhere/all.csv"], "no folder")]
)
def test_refuses_a_summary_that_cannot_be_before_anything_is_worked_out(
    words: list[str], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = kept(tmp_path, collection(pile()))
    assert main([words[0], path, words[1], str(tmp_path / words[2])]) == 2
    said = capsys.readouterr()
    assert told in said.err
    assert not said.out


def test_refuses_a_summary_of_one_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = kept(tmp_path, collection(pile()))
    out = tmp_path / "plan.html"
    assert main(["plan", path, "-o", str(out), "--summary", str(tmp_path / "s.csv")]) == 2
    assert "several sites" in capsys.readouterr().err
    assert not out.exists()
