"""`python -m sitemap bring`: a look first, then the site file with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitemap.__main__ import main
from sitemap.site.file import read_site
from tests.site.builders import text_of, thing
from tests.site.imports.map_files import map_file


def test_law_without_a_name_to_write_it_is_only_looked_at_and_again_doubles_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site, out, file = tmp_path / "site.geojson", tmp_path / "out.geojson", tmp_path / "drawn.gpkg"
    site.write_text(text_of(), encoding="utf-8")
    file.write_bytes(map_file(".gpkg", "EPSG:32610"))
    assert main(["bring", str(site), str(file)]) == 0
    said = capsys.readouterr().out
    assert "2: Track Skid trail, 327 m: new (the word skid)" in said  # pyproj.Geod: 327.39 m
    assert "new: 3. Taken: 3." in said
    assert "Nothing is kept" in said
    assert list(tmp_path.glob("out*")) == []
    assert main(["bring", str(site), str(file), "-o", str(out)]) == 0
    assert [f.name for f in read_site(out).features] == ["P1", "Skid trail", "Unit 4"]
    capsys.readouterr()
    assert main(["bring", str(out), str(file), "-o", str(out)]) == 0
    assert "here already: 3. Taken: 0." in capsys.readouterr().out
    assert len(read_site(out).features) == 3


def test_law_what_overwrites_waits_for_a_word(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site, out, file = tmp_path / "site.geojson", tmp_path / "out.geojson", tmp_path / "t.csv"
    site.write_text(text_of(thing("p", name="P1", height_m=1.0)), encoding="utf-8")
    file.write_text("Nummer;Höhe\nP1;3\nP2;4", encoding="utf-8")
    words = ["bring", str(site), str(file), "-o", str(out)]
    assert main(words) == 0
    said = capsys.readouterr().out
    assert "Höhe → Height" in said
    assert "2: Heap P1: changes P1: height_m" in said
    assert "--update" in said
    assert [f.number("height_m") for f in read_site(out).features] == [1.0, 4.0]
    assert main([*words, "--update"]) == 0
    assert [f.number("height_m") for f in read_site(out).features] == [3.0, 4.0]


@pytest.mark.parametrize(("name", "data"), [("a.gpkg", b"SQLite format 3\x00"), ("a.txt", b"Ask at the farm.")])
def test_refuses_in_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, data: bytes) -> None:
    site, file = tmp_path / "site.geojson", tmp_path / name
    site.write_text(text_of(), encoding="utf-8")
    file.write_bytes(data)
    assert main(["bring", str(site), str(file)]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert main(["bring", str(site), str(file), "--kind", "wigwam"]) == 2
    assert main(["bring", str(site), str(tmp_path / "none.csv")]) == 2
