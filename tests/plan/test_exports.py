"""Exports, read back by the general-purpose readers of their formats."""

from __future__ import annotations

import csv
from pathlib import Path

import geopandas
import pytest
from geographiclib.geodesic import Geodesic

from sitemap.__main__ import main
from sitemap.assessment import Assessment, assess
from sitemap.errors import BadFile
from sitemap.plan.exports import export_bytes, write_export
from sitemap.site.file import read_site
from sitemap.site.imports import bring
from sitemap.site.imports.brought import additions, counterparts, differences
from sitemap.site.model import Site

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "juniper_bench.geojson"


@pytest.fixture(scope="module")
def assessed() -> Assessment:
    site = read_site(SAMPLE)
    on = site.section("season").date("date")
    assert on is not None
    return assess(site, on=on)


def test_agrees_with_a_geopackage_read_back_by_geopandas(assessed: Assessment, tmp_path: Path) -> None:
    path = tmp_path / "site.gpkg"
    write_export(assessed, path)
    layers = {name: geopandas.read_file(path, layer=name) for name in geopandas.list_layers(path)["name"]}
    assert sum(map(len, layers.values())) == len([f for f in assessed.source.features if f.shape is not None])
    assert all(layer.crs.to_epsg() == 4326 for layer in layers.values())
    piles = layers["points"].set_index("id")
    for item in assessed.slash.items:
        if item.kind == "pile":
            assert piles.loc[item.id, "dry_t"] == pytest.approx(item.dry_t.likely)
    for spot in assessed.spots:
        assert piles.loc[spot.id, "verdict"] == assessed.decision(spot.id).word


def test_agrees_with_kml_read_back_by_geopandas(assessed: Assessment, tmp_path: Path) -> None:
    path = tmp_path / "site.kml"
    write_export(assessed, path)
    read = geopandas.read_file(path)
    assert {"P1", "K1", "Fuel break"} <= set(read["Name"])


def test_agrees_with_a_table_read_by_the_standard_library(assessed: Assessment, tmp_path: Path) -> None:
    """The place of a point in the table is its own to a centimetre (geographiclib)."""
    path = tmp_path / "site.csv"
    write_export(assessed, path)
    with path.open(newline="", encoding="utf-8") as file:
        rows = {row["id"]: row for row in csv.DictReader(file)}
    kiln = assessed.source.get("k1")
    assert kiln is not None
    assert kiln.shape is not None
    row, place = rows["k1"], kiln.shape.centroid
    apart = Geodesic.WGS84.Inverse(place.y, place.x, float(row["latitude"]), float(row["longitude"]))["s12"]
    assert apart < 0.02


@pytest.mark.parametrize("ending", [".gpkg", ".kml", ".gpx", ".csv"])
def test_law_what_was_exported_says_nothing_new_when_it_comes_back(assessed: Assessment, ending: str) -> None:
    """Each thing is known again, as the kind it is; no verdict and no figure of ours becomes a note of somebody's."""
    site = assessed.source
    brought = bring(f"site{ending}", export_bytes(assessed, ending), site)
    found = list(zip(counterparts(site, brought.candidates), brought.candidates, strict=True))
    assert len(found) == len([each for each in site.features if each.shape is not None])
    usual = {".csv": {"place"}, ".gpx": {"note"}}.get(ending, set())  # the middle in words; the word of a kiln's day
    for old, candidate in found:
        assert old is not None, candidate.feature.name
        told = {*differences(old, candidate.feature), *additions(old, candidate.feature)}
        assert told <= (usual if ending == ".csv" or old.kind == "kiln_spot" else set()), old.name


def test_law_the_site_file_exported_is_the_site(assessed: Assessment, tmp_path: Path) -> None:
    path = tmp_path / "site.geojson"
    write_export(assessed, path)
    assert read_site(path) == assessed.source


def test_refuses_another_ending_an_empty_map_and_a_place_that_is_none(assessed: Assessment, tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="ends in none of"):
        write_export(assessed, tmp_path / "site.doc")
    on = assessed.on
    with pytest.raises(BadFile, match="Nothing is on the map"):
        write_export(assess(Site(), on=on), tmp_path / "site.gpkg")
    with pytest.raises(BadFile, match="cannot be written"):
        write_export(assessed, tmp_path / "no folder" / "site.csv")
    assert list(tmp_path.iterdir()) == []


def test_law_the_verb_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(SAMPLE), "-o", str(tmp_path / "a.csv")]) == 0
    assert main(["export", str(SAMPLE), "-o", str(tmp_path / "a.gpx")]) == 0
    assert "Written" in capsys.readouterr().out
    assert main(["export", str(SAMPLE), "-o", str(tmp_path / "a.xyz")]) == 2
