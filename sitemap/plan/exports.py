"""The site for other people's map programs and phones: GeoPackage, KML, GPX or a table, with the figures of each thing;
and its clock for calendar programs.

These formats hold the places and the plain figures, not the whole site: what is kept and read back is the site file.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.gpx import write_gpx
from sitemap.plan.ics import write_ics
from sitemap.plan.phone import phone_html
from sitemap.reasons import reason
from sitemap.site.file import site_text

if TYPE_CHECKING:
    import geopandas

ENDINGS = (".gpkg", ".kml", ".gpx", ".csv", ".ics", ".html", ".geojson")
_WGS84 = "EPSG:4326"
_FAMILIES = (("points", "Point"), ("lines", "LineString"), ("areas", "Polygon"))


def write_export(assessment: Assessment, path: Path, photos: Mapping[str, bytes] | None = None) -> None:
    """Write a site in the format its file name ends in; nothing is left behind where it cannot be written.

    Parameters
    ----------
    assessment : of the site
    path : FILE.gpkg (a layer each for points, lines and areas), .kml, .gpx, .csv (a row a thing), .ics (clock,
        cold checks, end of the permit), .html (the phone page) or .geojson (the site file)

    photos : JPEG by sha256, for the phone page

    Raises
    ------
    BadFile : another ending, a site with nothing on the map, a place that cannot be written
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise BadFile(reason("command.ending", name=path.name, known=ENDINGS))
    content = export_bytes(assessment, ending, photos)
    try:
        path.write_bytes(content)
    except OSError as error:
        raise BadFile(reason("command.cannot_write", path=str(path), why=error.strerror or str(error))) from error


def export_bytes(assessment: Assessment, ending: str, photos: Mapping[str, bytes] | None = None) -> bytes:
    """A site in one of the formats, for a download. Raises BadFile as `write_export` does."""
    if ending == ".html":
        return phone_html(assessment, photos=photos).encode()
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / f"site{ending}"
        _WRITERS[ending](assessment, made)
        return made.read_bytes()


def things(assessment: Assessment) -> geopandas.GeoDataFrame:
    """Everything on the map: id, kind, name, status, note, likely dry tonnes of a heap, verdict of a kiln spot.

    Raises BadFile where nothing is on the map.
    """
    import geopandas

    tonnes = {item.id: item.dry_t.likely for item in assessment.slash.items}
    verdicts = {decision.spot: decision.word for decision in assessment.decisions}
    rows: list[dict[str, Any]] = [
        {
            "id": feature.id,
            "kind": feature.kind,
            "name": feature.name,
            "status": str(feature.values.get("status") or ""),
            "note": str(feature.values.get("note") or ""),
            "dry_t": tonnes.get(feature.id),
            "verdict": verdicts.get(feature.id, ""),
            "geometry": feature.shape,
        }
        for feature in assessment.source.features
        if feature.shape is not None
    ]
    if not rows:
        raise BadFile(reason("command.nothing_drawn"))
    return geopandas.GeoDataFrame(rows, geometry="geometry", crs=_WGS84)


def _geopackage(assessment: Assessment, path: Path) -> None:
    frame = things(assessment)
    for layer, family in _FAMILIES:
        part = frame[frame.geom_type.isin((family, f"Multi{family}"))]
        if len(part):
            # one layer holds one kind of shape: where some have several parts, all are written as such
            several = (part.geom_type != family).any()
            shapes = part.geometry.map(_several) if several else part.geometry
            part.set_geometry(shapes).to_file(path, layer=layer, driver="GPKG")


def _several(shape: Any) -> Any:
    import shapely

    makers = {"Point": shapely.MultiPoint, "LineString": shapely.MultiLineString, "Polygon": shapely.MultiPolygon}
    return makers[shape.geom_type]([shape]) if shape.geom_type in makers else shape


def _kml(assessment: Assessment, path: Path) -> None:
    frame = things(assessment)
    frame["Name"] = frame["name"]
    frame["Description"] = [" · ".join(filter(None, row)) for row in zip(frame["kind"], frame["verdict"], strict=True)]
    frame.drop(columns=["id", "name"]).to_file(path, driver="KML")


def _table(assessment: Assessment, path: Path) -> None:
    frame = things(assessment)
    middle = frame.geometry.representative_point()
    table = frame.drop(columns="geometry").assign(latitude=middle.y.round(7), longitude=middle.x.round(7))
    table.to_csv(path, index=False, lineterminator="\r\n")


def _site_file(assessment: Assessment, path: Path) -> None:
    path.write_text(site_text(assessment.source), encoding="utf-8")


_WRITERS = {
    ".gpkg": _geopackage,
    ".kml": _kml,
    ".gpx": write_gpx,
    ".csv": _table,
    ".ics": write_ics,
    ".geojson": _site_file,
}
