"""Files that belong to sites (rasters, pictures, photos), each kept once under the sha256 of its content."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import secrets
from contextlib import suppress
from pathlib import Path

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.store_faults import telling

_HALF_WRITTEN_S = 3600.0  # a file takes seconds to write


class Files:
    """The folder of the files."""

    folder: Path

    def make_folder(self) -> None:
        """Make the folder where it is not there. Raises BadStore where it cannot be made."""
        with telling(self.folder):
            (self.folder / "files").mkdir(parents=True, exist_ok=True)

    def sweep(self) -> None:
        """Take away what a killed program left half written; a file being written now is younger than that."""
        old = dt.datetime.now().timestamp() - _HALF_WRITTEN_S
        for part in (self.folder / "files").glob("*.part"):
            with suppress(OSError):
                if part.stat().st_mtime < old:
                    part.unlink()

    def keep_file(self, content: bytes) -> str:
        """Keep a file that belongs to a site; its name is the sha256 of its content, which is returned."""
        digest = hashlib.sha256(content).hexdigest()
        path = self.folder / "files" / digest
        with telling(self.folder):
            if not path.exists():
                path.parent.mkdir(parents=True, exist_ok=True)
                part = path.with_suffix(f".{secrets.token_hex(4)}.part")
                try:
                    with part.open("wb") as out:
                        out.write(content)
                        out.flush()
                        os.fsync(out.fileno())
                    part.replace(path)
                finally:
                    part.unlink(missing_ok=True)
        return digest

    def file(self, digest: str) -> Path:
        """Path of a kept file. Raises BadFile where it is not kept here."""
        path = self.folder / "files" / digest
        if len(digest) != 64 or not all(c in "0123456789abcdef" for c in digest) or not path.is_file():
            raise BadFile(reason("store.file_not_kept"))
        return path
