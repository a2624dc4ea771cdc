"""The rows of many sites as a table (.csv) or for map programs (.gpkg)."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile
from sitemap.many.row import SiteRow, Triple
from sitemap.many.work import Outcome
from sitemap.reasons import reason
from sitemap.units import reported

ENDINGS = (".csv", ".gpkg")
_RANGES = ("dry_t", "char_stock_dry_t", "batches", "quench_l")


def write_summary(outcomes: Sequence[Outcome], path: Path) -> None:
    """Write what came of the sites: a row a site as .csv, the same and a layer of kilns as .gpkg.

    Figures carry their unit in their heading; empty is not known. Raises BadFile for another ending, for a GeoPackage
    with nothing placed, or where the file cannot be written.
    """
    writable(path)
    ending = path.suffix.lower()
    try:
        if ending == ".csv":
            path.write_bytes(csv_bytes(outcomes))
        else:
            _geopackage(outcomes, path)
    except OSError as error:
        raise BadFile(reason("command.cannot_write", path=str(path), why=error.strerror or str(error))) from error


def writable(path: Path) -> None:
    """Raises BadFile where a summary cannot be written by its name: known before the sites are worked out."""
    if path.suffix.lower() not in ENDINGS:
        raise BadFile(reason("command.ending", name=path.name, known=ENDINGS))
    if not path.parent.is_dir():
        raise BadFile(reason("command.no_folder", path=str(path), folder=str(path.parent)))


def csv_bytes(outcomes: Sequence[Outcome]) -> bytes:
    """The table, a row a site, as UTF-8 with the mark spreadsheets look for."""
    out = io.StringIO()
    #  Lines end as RFC 4180 has it: only so is a carriage return within a name quoted.
    writer = csv.DictWriter(out, list(_facts(Outcome(Path(), None, ()))), lineterminator="\r\n")
    writer.writeheader()
    for outcome in outcomes:
        writer.writerow({key: _plain(value) for key, value in _facts(outcome).items()})
    return out.getvalue().encode("utf-8-sig")


def _facts(outcome: Outcome) -> dict[str, Any]:
    row = outcome.row
    facts: dict[str, Any] = {
        "file": str(outcome.path),
        "site": row.name if row else "",
        "lon": row.lon if row else None,
        "lat": row.lat if row else None,
        "burn_date": _day(row.on if row else None),
        "kilns": len(row.kilns) if row else None,
        "may_be_lit": row.may_be_lit if row else None,
        "decisions": _decisions(row),
        "last_burn_day": _day(row.last_burn_day if row else None),
        "permit_ends": _day(row.permit_ends if row else None),
        "fits": row.fits if row else "",
    }
    for key in _RANGES:
        triple: Triple | None = getattr(row, key) if row else None
        for end, value in zip(("low", "likely", "high"), triple or (None, None, None), strict=True):
            facts[f"{key}_{end}"] = None if value is None else reported(value)
    facts["missing"] = len(row.missing) if row else None
    facts["missing_what"] = " ".join(row.missing) if row else ""
    facts["faults"] = " ".join(outcome.faults)
    return facts


def _decisions(row: SiteRow | None) -> str:
    if row is None:
        return ""
    return "; ".join(f"{k.name}: {k.word}" + (f" ({k.first.rstrip('.')})" if k.first else "") for k in row.kilns)


def _day(day: Any) -> str:
    return "" if day is None else day.isoformat()


def _plain(value: Any) -> Any:
    """A text a spreadsheet does not take for a formula."""
    return f"'{value}" if isinstance(value, str) and value[:1] in tuple("=+-@\t\r") else value


def _geopackage(outcomes: Sequence[Outcome], path: Path) -> None:
    import geopandas
    import shapely

    rows = [outcome.row for outcome in outcomes if outcome.row is not None]
    placed = [(row, kiln) for row in rows for kiln in row.kilns if kiln.lon is not None]
    sites = [_facts(outcome) for outcome in outcomes if outcome.row is not None and outcome.row.lon is not None]
    if not sites:
        raise BadFile(reason("command.no_place"))
    path.unlink(missing_ok=True)
    points = shapely.points([[facts["lon"], facts["lat"]] for facts in sites])
    geopandas.GeoDataFrame(sites, geometry=points, crs="EPSG:4326").to_file(path, layer="sites", driver="GPKG")
    if placed:
        kilns = [
            {"site": row.name, "file": row.key, "kiln": kiln.name, "decision": kiln.word, "first": kiln.first}
            for row, kiln in placed
        ]
        spots = shapely.points([[kiln.lon, kiln.lat] for _, kiln in placed])
        geopandas.GeoDataFrame(kilns, geometry=spots, crs="EPSG:4326").to_file(path, layer="kilns", driver="GPKG")
