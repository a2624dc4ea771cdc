"""A file at an address read in parts, as if it lay here: only the parts somebody reads are fetched, each once.

GDAL can ask servers itself, but follows them to any host; here every question goes the way of `address`, to the host
that was typed alone, and what came is counted.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from secrets import token_urlsafe
from threading import Lock, Thread
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.address import MOST_BYTES, Remote, part_of

_PART_BYTES = 1 << 15  # of one question at the least
_KEPT = 512  # parts kept at hand


class RemoteFile:
    """The file, of which any part may be read.

    size : bytes of the whole; fault : why the last reading failed, or None
    progress : told how many bytes came so far
    """

    def __init__(self, remote: Remote, progress: Callable[[int], None] = lambda _: None) -> None:
        self.size = remote.size or 0
        self.fault: BadFile | None = None
        self._remote, self._progress, self._came = remote, progress, 0
        self._parts: OrderedDict[int, bytes] = OrderedDict()
        self._lock = Lock()

    def read(self, begin: int, end: int) -> bytes:
        """The bytes from begin up to end, or to the end of the file.

        Raises BadFile: no answer, sent on to another host, more than MOST_BYTES in all.
        """
        end = min(end, self.size)
        if end <= begin:
            return b""
        first, last = begin // _PART_BYTES, (end - 1) // _PART_BYTES
        with self._lock:
            try:
                self._fetch([number for number in range(first, last + 1) if number not in self._parts])
            except BadFile as bad:
                self.fault = bad
                raise
            whole = b"".join(self._parts[number] for number in range(first, last + 1))
            while len(self._parts) > _KEPT:
                self._parts.popitem(last=False)
        skipped = begin - first * _PART_BYTES
        return whole[skipped : skipped + end - begin]

    def _fetch(self, wanted: list[int]) -> None:
        """The parts that are not at hand, from the first to the last in one question."""
        if not wanted:
            return
        begin, end = wanted[0] * _PART_BYTES, min((wanted[-1] + 1) * _PART_BYTES, self.size)
        if self._came + end - begin > MOST_BYTES:
            most = MOST_BYTES // 1_000_000
            raise BadFile(reason("address.too_much_of_it", name=self._remote.name, most=most))
        data = part_of(self._remote, begin, end)
        self._came += len(data)
        self._progress(self._came)
        for number in range(wanted[0], wanted[-1] + 1):
            self._parts[number] = data[(number - wanted[0]) * _PART_BYTES :][:_PART_BYTES]


@contextmanager
def handed_on(file: RemoteFile) -> Iterator[str]:
    """An address on this machine alone, which nobody can guess, where another process may read the file meanwhile."""
    path = f"/{token_urlsafe(16)}"

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_HEAD(self) -> None:
            self._answer(200 if self.path == path else 404, file.size if self.path == path else 0)

        def do_GET(self) -> None:
            begin, _, end = self.headers.get("Range", "").removeprefix("bytes=").partition("-")
            if self.path != path or not (begin.isdecimal() and end.isdecimal()) or int(begin) >= file.size:
                self._answer(404, 0)
                return
            try:
                data = file.read(int(begin), int(end) + 1)
            except BadFile:
                self._answer(502, 0)
                return
            self._answer(206, len(data), f"bytes {begin}-{int(begin) + len(data) - 1}/{file.size}")
            self.wfile.write(data)

        def _answer(self, status: int, length: int, part: str = "") -> None:
            self.send_response(status)
            self.send_header("Content-Length", str(length))
            self.send_header("Accept-Ranges", "bytes")
            if part:
                self.send_header("Content-Range", part)
            self.end_headers()

        def log_message(self, *_: Any) -> None: ...

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as running:
        Thread(target=running.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()
        try:
            yield f"http://127.0.0.1:{running.server_address[1]}{path}"
        finally:
            running.shutdown()
