"""Footprints and roads from a server on this machine: only what lies round the site, cut there, of the kind told."""

from __future__ import annotations

import io

import geopandas
import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, box

from sitemap.errors import BadFile
from sitemap.geodesy.plane import WGS84
from sitemap.site.address import asked
from sitemap.site.imports.brought import keep
from sitemap.site.imports.looking import NEW, looks
from sitemap.site.imports.remote import SURROUND_M, brought_from, surroundings
from sitemap.telling import tell
from tests.loopback import server
from tests.site.builders import point, site_of, thing

HOME = (-121.3, 44.2)
SITE = site_of(thing("g", "gate", point(*HOME), name="Gate"))


@pytest.fixture(scope="module")
def houses(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """9,000 houses over 0.3 degrees, written by GDAL: in degrees, and in a zone of UTM."""
    folder = tmp_path_factory.mktemp("houses")
    chance = np.random.default_rng(15)
    corners = chance.uniform(-0.15, 0.15, (9_000, 2)) + np.array(HOME)
    frame = geopandas.GeoDataFrame(
        {"height": np.arange(9_000)}, geometry=[box(x, y, x + 1e-4, y + 1e-4) for x, y in corners], crs="EPSG:4326"
    )
    frame.to_file(folder / "houses.fgb", driver="FlatGeobuf")
    frame.to_crs("EPSG:32610").to_file(folder / "houses.gpkg", driver="GPKG")
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def expected(files: dict[str, bytes]) -> int:
    plane, bounds = surroundings(SITE)
    around = box(*plane.inverse(box(*bounds)).bounds)
    shapes = geopandas.read_file(io.BytesIO(files["houses.fgb"])).geometry.to_numpy()
    return int((shapely.area(shapely.intersection(shapes, around)) > 0).sum())


def test_agrees_with_geopandas_and_reads_a_part_of_the_file(houses: dict[str, bytes]) -> None:
    count = expected(houses)
    assert count > 20
    with server(houses) as served:
        brought = brought_from(asked(f"{served.here}houses.fgb"), SITE, "structure")
        assert served.given < len(houses["houses.fgb"]) / 5
        assert {line.split()[1] for line in served.asked} == {"/houses.fgb"}  # and nothing beside it
    assert len(brought.candidates) == count
    assert {c.feature.kind for c in brought.candidates} == {"structure"}
    far = [WGS84.inv(*HOME, *shapely.get_coordinates(c.feature.shape)[0])[2] for c in brought.candidates]
    assert max(far) < SURROUND_M * 2**0.5 + 50
    kept = keep(SITE, brought.candidates)
    with server(houses, ranges=False) as served:  # what it brought has made the site larger; whole, and all known again
        again = brought_from(asked(f"{served.here}houses.fgb"), kept, "structure")
    found = looks(kept, again, ())
    assert len(found) > count
    assert [look.what for look in found].count(NEW) == len(found) - count


def test_law_a_geopackage_in_metres_gives_the_same(houses: dict[str, bytes]) -> None:
    with server(houses) as served:
        brought = brought_from(asked(f"{served.here}houses.gpkg"), SITE, "structure")
    assert abs(len(brought.candidates) - expected(houses)) <= 1  # a corner of a house by a millimetre
    assert brought.candidates[0].origin is not None


def test_law_a_long_road_is_cut_at_the_edge_and_what_lies_away_is_left() -> None:
    roads = [LineString([(HOME[0] - 1, HOME[1]), (HOME[0] + 1, HOME[1])]), LineString([(0, 0), (1, 1)])]
    text = geopandas.GeoDataFrame({"name": ["Long road", "Far road"]}, geometry=roads, crs="EPSG:4326").to_json()
    with server({"roads.geojson": text.encode()}) as served:
        brought = brought_from(asked(f"{served.here}roads.geojson"), SITE, "road")
        (road,) = brought.candidates
        assert "look on the ground" in tell(brought.notes[0].text)  # an empty map is no clearance
        assert road.feature.name == "Long road"
        assert WGS84.geometry_length(road.feature.shape) == pytest.approx(2 * SURROUND_M, abs=5)
        elsewhere = site_of(thing("g", "gate", point(10, 10)))
        with pytest.raises(BadFile, match="nothing within 1,000 m"):
            brought_from(asked(f"{served.here}roads.geojson"), elsewhere, "road")
        with pytest.raises(BadFile, match="nowhere yet"):
            brought_from(asked(f"{served.here}roads.geojson"), site_of(), "road")


@pytest.mark.parametrize("cut", [20, 500, 3000])
def test_refuses_a_damaged_file_in_one_sentence(houses: dict[str, bytes], cut: int) -> None:
    with server({"houses.fgb": houses["houses.fgb"][:cut], "houses.gpkg": houses["houses.gpkg"][:cut]}) as served:
        name = "houses.gpkg" if cut == 3000 else "houses.fgb"
        with pytest.raises(BadFile) as refused:
            brought_from(asked(served.here + name), SITE)
    assert "\n" not in str(refused.value)
    assert str(refused.value).startswith("houses")
