"""A site from its file on disk, with its elevation and its photos, which lie in the zip or beside the site file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitemap.errors import BadFile, BadSiteFile
from sitemap.reasons import Reason, reason
from sitemap.site.bundle import read_bundle
from sitemap.site.file import cannot_open, read_site
from sitemap.site.model import Site
from sitemap.site.photos import photos_of
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.terrain import Terrain


@dataclass(frozen=True)
class Opened:
    """A site as its file has it.

    site : as entered
    terrain : its elevation, or None
    photos : JPEG by sha256
    faults : what of its files could not be read; the site stands without it
    """

    site: Site
    terrain: Terrain | None
    photos: dict[str, bytes]
    faults: tuple[Reason, ...]


def opened(path: Path) -> Opened:
    """A site file (.geojson) or a site with its files (.zip).

    Raises BadSiteFile where it is not a site, BadFile where the zip is damaged.
    """
    files: dict[str, bytes] = {}
    if path.suffix.lower() == ".zip":
        try:
            content = path.read_bytes()
        except OSError as error:
            raise BadSiteFile(cannot_open(path, error)) from error
        site, files = read_bundle(content)
    else:
        site = read_site(path)
    wanted = {photo.sha256 for photo in photos_of(site)}
    photos = {digest: content for digest, content in files.items() if digest in wanted}
    entry = site.files.get("terrain")
    if entry is None:
        return Opened(site, None, photos, ())
    beside = path.parent / Path(str(entry.get("name", ""))).name
    source = files.get(str(entry.get("sha256", ""))) or (str(beside) if beside.is_file() else None)
    if source is None:
        missing = reason("command.no_raster", name=str(entry.get("name")))
        return Opened(site, None, photos, (missing,))
    try:
        return Opened(site, terrain_of(site, source, entry.get("unit")), photos, ())
    except BadFile as error:
        return Opened(site, None, photos, (error.reason,))
