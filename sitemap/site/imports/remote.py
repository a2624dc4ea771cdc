"""Footprints, roads and water lines from an address, clipped to the surroundings of the site.

Of a FlatGeobuf on a server that gives parts of a file only what lies there is read, by its own index; whatever else is
fetched whole, within bounds. That reading is done by a process of its own: the library holds everybody else up while it
waits for the network, and only there do its settings count.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import shapely
from shapely.geometry import box, mapping
from shapely.geometry import shape as shapely_shape

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.reasons import Quantity, Term, metres, reason
from sitemap.site.address import Remote, fetched
from sitemap.site.address_parts import RemoteFile, handed_on
from sitemap.site.grid import CellNote
from sitemap.site.imports.archive import unpacked
from sitemap.site.imports.brought import Brought, known_again, marked
from sitemap.site.imports.layers import rows_of
from sitemap.site.imports.looking import prepared
from sitemap.site.imports.rows import Row, things_of
from sitemap.site.model import Site
from sitemap.site.on_plane import near_shape, plane_of_site

SURROUND_M = 1_000.0  # [m] round what is drawn: three times the largest distance of the rules (305 m)
LONGEST_S = 180.0  # [s] the reading of a part may take
# What GDAL may do: ask for this one file, which this program hands on to it, and nothing beside it.
NETWORK: Mapping[str, str] = MappingProxyType(
    {
        "GDAL_DISABLE_READDIR_ON_OPEN": "EMPTY_DIR",  # no looking round for files beside it
        "GDAL_PAM_ENABLED": "NO",
        "GDAL_HTTP_PROXY": "",  # it asks this machine alone
        "GDAL_HTTP_TIMEOUT": "60",
        "GDAL_HTTP_MAX_RETRY": "0",
        "CPL_VSIL_CURL_NON_CACHED": "/vsicurl/",
    }
)

Box = tuple[float, float, float, float]


def surroundings(site: Site, far_m: float = SURROUND_M) -> tuple[Plane, Box]:
    """The plane of a site, and the box so far [m] round what is drawn on it: min x, min y, max x, max y [m].

    Raises BadFile where nothing is drawn yet.
    """
    plane = plane_of_site(site)
    bounds = [] if plane is None else [s.bounds for f in site.features if (s := near_shape(f, plane)) is not None]
    if plane is None or not bounds:
        raise BadFile(reason("address.site_nowhere"))
    low = [min(each[axis] for each in bounds) - far_m for axis in (0, 1)]
    high = [max(each[axis] for each in bounds) + far_m for axis in (2, 3)]
    return plane, (low[0], low[1], high[0], high[1])


def brought_from(
    remote: Remote,
    site: Site,
    kind: str | None = None,
    unit: str | None = None,
    progress: Callable[[int], None] = lambda _: None,
) -> Brought:
    """What a map file at an address holds of the surroundings of a site, cut at their edge.

    kind, unit : as `things_of` has them
    progress : told the bytes that came so far; of a file read in parts in another thread

    Raises BadFile, in one sentence, for whatever cannot be fetched or read.
    """
    around = _in_degrees(*surroundings(site))
    try:
        if remote.in_parts:
            rows, notes = _read_apart(RemoteFile(remote, progress), remote.name, around)
        else:
            rows, notes = _read_whole(remote, fetched(remote, progress), around)
        clipped = [each for row in rows if (each := _clipped(row, around)) is not None]
        if not clipped:
            raise BadFile(reason("address.nothing_near", far=metres(SURROUND_M), name=remote.name))
        brought = marked(things_of(remote.name, clipped, site, kind, unit))
    except BadFile:
        raise
    except Exception as error:  # as in `bring`: a reader of somebody else's library may raise anything
        raise BadFile(reason("address.unreadable", why=_short(error), name=remote.name)) from error
    cut = reason("site.cut_at_edge", name=remote.name, far=metres(SURROUND_M))
    notes = (CellNote(0, "", "", "cut_at_edge", cut), *notes, *brought.notes)
    return prepared(replace(brought, candidates=known_again(site, brought.candidates), notes=notes))


def _short(error: Exception) -> str:
    return str(error).splitlines()[0][:120] if str(error) else type(error).__name__


def _in_degrees(plane: Plane, bounds: Box) -> Box:
    edge = plane.inverse(shapely.segmentize(box(*bounds), SURROUND_M / 4))
    west, south, east, north = edge.bounds
    if east - west > 180:
        raise BadFile(reason("address.antimeridian"))
    return west, south, east, north


def _read_whole(remote: Remote, data: bytes, around: Box) -> tuple[list[Row], tuple[CellNote, ...]]:
    files = unpacked(remote.name, data) if remote.form == ".zip" else {remote.name: {remote.form: data}}
    rows: list[Row] = []
    notes: list[CellNote] = []
    with tempfile.TemporaryDirectory() as folder:
        for number, parts in enumerate(files.values()):
            main = Path(folder) / f"{number}{next(iter(parts))}"
            for ending, content in parts.items():
                main.with_suffix(ending).write_bytes(content)
            more, said = rows_of(remote.name, str(main), around)
            rows += more
            notes += said
    return rows, tuple(notes)


def _read_apart(file: RemoteFile, name: str, around: Box) -> tuple[list[Row], tuple[CellNote, ...]]:
    root = str(Path(__file__).parents[3])
    with handed_on(file) as here:
        words = [sys.executable, "-m", __name__, name, here, *map(repr, around)]
        try:
            done = subprocess.run(
                words, capture_output=True, timeout=LONGEST_S, check=False, cwd=root, env={**os.environ, **NETWORK}
            )
        except subprocess.TimeoutExpired as error:
            raise BadFile(reason("address.too_long", longest=Quantity(LONGEST_S, "s"), name=name)) from error
    if file.fault is not None:
        raise file.fault
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise BadFile(reason("address.unreadable", name=name, why=said[-1][:160] if said else Term("no reason given")))
    rows, notes = pickle.loads(done.stdout)  # written by ourselves, a moment ago
    return rows, notes


def _clipped(row: Row, around: Box) -> Row | None:
    """A row cut at the edge of the surroundings; None where nothing of it lies within."""
    if row.geometry is None:
        return None
    shape = shapely_shape(row.geometry)
    inside = shapely.intersection(shapely.make_valid(shape), box(*around))
    same = [part for part in shapely.get_parts(inside) if shapely.get_dimensions(part) == shapely.get_dimensions(shape)]
    if not same:
        return None
    return replace(row, geometry={"type": "GeometryCollection", "geometries": [mapping(part) for part in same]})


def _main() -> int:
    name, url, *around = sys.argv[1:]
    west, south, east, north = map(float, around)
    try:
        found = rows_of(name, f"/vsicurl/{url}", (west, south, east, north))
    except Exception as error:
        print(_short(error), file=sys.stderr)
        return 1
    sys.stdout.buffer.write(pickle.dumps(found))
    return 0


if __name__ == "__main__":
    sys.exit(_main())
