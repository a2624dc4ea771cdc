"""Many sites at once: each comes to what it comes to alone, a bad one takes nobody along, clashes are found."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import shutil
import sys
from pathlib import Path
from types import ModuleType

import pyogrio
import pytest

from sitemap.__main__ import main
from sitemap.assessment import assess
from sitemap.errors import BadFile
from sitemap.many.clashes import Clash, clashes
from sitemap.many.files import csv_bytes
from sitemap.many.found import several, site_files
from sitemap.many.row import SiteRow, _middle, row_of
from sitemap.many.run import _executor, outcomes
from sitemap.many.work import Outcome, Task, done
from sitemap.opened import opened
from sitemap.report import report_text
from sitemap.site.model import Feature

SAMPLES = Path(__file__).parents[2] / "sample_sites"
TODAY = dt.date(2026, 7, 1)


@pytest.fixture(autouse=True)
def own_main(monkeypatch: pytest.MonkeyPatch) -> None:
    """A new process begins with what is the main program here; tests of pages leave the app standing as that."""
    monkeypatch.setitem(sys.modules, "__main__", ModuleType("__main__"))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sites, one in a folder below, and a file that is none."""
    made = tmp_path_factory.mktemp("sites")
    (made / "below").mkdir()
    shutil.copy(SAMPLES / "farm_dam.geojson", made)  # without its raster: said, and worked out all the same
    for name in ("juniper_bench.geojson", "juniper_bench.tif"):
        shutil.copy(SAMPLES / name, made / "below")
    (made / "broken.geojson").write_text('{"type": ', encoding="utf-8")
    (made / "notes.txt").write_text("not a site", encoding="utf-8")
    return made


def tasks(folder: Path) -> list[Task]:
    return [Task(path, None, TODAY) for path in site_files([str(folder)])]


@pytest.fixture(scope="module")
def found(folder: Path) -> list[Outcome]:
    return [done(task) for task in tasks(folder)]


def test_files_by_folder_pattern_and_name(folder: Path) -> None:
    names = [path.name for path in site_files([str(folder)])]
    assert names == ["juniper_bench.geojson", "broken.geojson", "farm_dam.geojson"]
    assert site_files([str(folder / "*.geojson")]) == (folder / "broken.geojson", folder / "farm_dam.geojson")
    assert len(site_files([str(folder / "**" / "*.geojson"), str(folder / "farm_dam.geojson")])) == 3
    assert several([str(folder)])
    assert several(["a.geojson", "b.geojson"])
    assert not several(["a.geojson"])
    with pytest.raises(BadFile, match="holds no site file"):
        site_files([str(folder / "*.zip")])


def test_law_as_many_work_at_once_as_was_asked_for() -> None:
    with _executor(3, None) as (_, count):
        assert count == 3
    with _executor(0, None) as (_, count):
        assert count >= 1


def test_law_the_middle_of_a_site_is_told_to_a_tenth_of_a_metre(found: list[Outcome]) -> None:
    """Six decimals of a degree: 0.11 m, as the metre was first made, a ten-millionth of the quarter meridian (S)."""
    rows = [outcome.row for outcome in found if outcome.row is not None]
    places = [place for row in rows for place in (row.lon, row.lat) if place is not None]
    assert places
    assert places == [round(place, 6) for place in places]


def test_law_the_middle_of_places_on_both_sides_of_the_date_line_lies_between_them() -> None:
    """RFC 7946, 3.1.9: longitude runs to 180° and begins anew at −180°."""
    for west, middle in ((179.9, -179.95), (179.6, 179.9)):
        two = [Feature.of(str(lon), {"type": "Point", "coordinates": [lon, 10]}, {}) for lon in (west, -179.8)]
        assert _middle(two) == pytest.approx((middle, 10))


def test_law_a_site_comes_to_what_it_comes_to_alone(found: list[Outcome]) -> None:
    for outcome in found:
        if outcome.row is None:
            continue
        alone = opened(outcome.path)
        assessment = assess(alone.site, alone.terrain, on=alone.site.section("season").date("date"), today=TODAY)
        assert row_of(assessment, str(outcome.path)) == outcome.row
        report = json.loads(report_text(assessment))
        assert [(kiln.name, kiln.word) for kiln in outcome.row.kilns] == [
            (each["name"], each["word"]) for each in report["decisions"]
        ]
        assert outcome.row.dry_t == pytest.approx(report["slash"]["dry_t"], rel=1e-5)


def test_a_bad_file_takes_nobody_along(folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """By the command line, over processes: a line for each, the reason for the bad one, the rest in the table."""
    table, places = tmp_path / "all.csv", tmp_path / "all.gpkg"
    status = main(["assess", str(folder), "--workers", "1", "--out", str(table)])
    said = capsys.readouterr()
    assert status == 2
    assert "broken.geojson: not worked out" in said.err
    assert "3/3 " in said.err
    assert "farm_dam.tif' is not beside" in said.err
    assert "Not worked out: 1 of 3" in said.out
    assert "Juniper Bench" in said.out
    rows = list(csv.DictReader(table.read_text(encoding="utf-8-sig").splitlines()))
    assert [row["site"][:7] for row in rows] == ["Juniper", "", "Two lan"]
    assert rows[1]["faults"]
    assert not rows[1]["dry_t_likely"]
    assert main(["assess", str(folder / "below" / "*.geojson"), "--workers", "1", "-o", str(places)]) == 0
    layers = {name: pyogrio.read_dataframe(places, layer=name) for name, _ in pyogrio.list_layers(places)}
    assert sorted(layers) == ["kilns", "sites"]
    assert layers["sites"].crs.to_epsg() == 4326
    spots = list(opened(folder / "below" / "juniper_bench.geojson").site.of_kind("kiln_spot"))
    for spot, point in zip(spots, layers["kilns"].geometry, strict=True):
        assert spot.shape is not None
        assert point.distance(spot.shape) < 2e-6


def test_agrees_with_a_cluster(folder: Path, found: list[Outcome]) -> None:
    """The same over a Dask scheduler (its own local cluster) as here."""
    from distributed import LocalCluster  # dear to load: only where it is asked

    with LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster:
        there = dict(outcomes(tasks(folder), scheduler=cluster.scheduler_address))
    assert [there[number] for number in range(len(found))] == found


def test_plans_of_many_sites(folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "plans"
    words = ["plan", str(folder / "*.geojson"), "--workers", "1", "--sheets", "decision", "--out", str(out)]
    assert main(words) == 2
    assert [path.name for path in out.iterdir()] == [f"{folder.name}-farm_dam.pdf"]
    assert "Written: 1 plans" in capsys.readouterr().out
    assert main(["plan", str(folder), "--out", str(tmp_path / "one.pdf")]) == 2
    assert "name a folder" in capsys.readouterr().err


def test_a_text_that_a_spreadsheet_would_reckon_with_stays_a_text() -> None:
    row = row_like("=1+1")
    read = next(csv.DictReader(io.StringIO(csv_bytes([Outcome(Path("a"), row, ())]).decode("utf-8-sig"))))
    assert read["site"] == "'=1+1"


def row_like(name: str, days: tuple[int, ...] = (), gear: str = "Digger", leader: str = "") -> SiteRow:
    burn_days = tuple(dt.date(2026, 12, day) for day in days)
    return SiteRow(
        key=name,
        name=name,
        units="metric",
        lon=None,
        lat=None,
        on=None,
        burn_days=burn_days,
        permit_ends=None,
        fits="not known",
        kilns=(),
        dry_t=None,
        char_stock_dry_t=None,
        batches=None,
        quench_l=None,
        missing=(),
        gear=(("machines", gear),),
        leader=leader,
    )


def test_clashes_of_gear_and_of_who_leads() -> None:
    rows = (
        row_like("A", (1, 2, 3)),
        row_like("B", (3, 4), " digger"),
        row_like("C", (5,)),
        row_like("D", (3,), "Loader"),
    )
    assert clashes(rows) == (Clash("machines", "Digger", (dt.date(2026, 12, 3),), ("A", "B")),)
    unnamed = (row_like("A", (1,), "Machine 1"), row_like("B", (1,), "Machine 1"))
    assert clashes(unnamed) == ()  # a name the list gave says nothing of which machine it is
    led = (row_like("A", (1,), "x", "Ada"), row_like("B", (1,), "y", "ada"))
    assert [(clash.kind, clash.sites) for clash in clashes(led)] == [("leader", ("A", "B"))]
