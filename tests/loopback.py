"""A server on this machine for the tests: it knows byte ranges, and counts what it was asked for and what it gave."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

_PIECE = 1 << 14
_RANGE = re.compile(r"bytes=(\d+)-(\d*)")


@dataclass
class Served:
    """What one server did.

    here : its address, with a slash behind
    asked : path of every request, in order; given : bytes of content sent
    """

    here: str
    asked: list[str] = field(default_factory=list)
    given: int = 0


class _Server(ThreadingHTTPServer):
    def __init__(self, files: Mapping[str, bytes], ranges: bool, moved: Mapping[str, str]) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.files, self.ranges, self.moved = files, ranges, moved
        self.served = Served(f"http://127.0.0.1:{self.server_address[1]}/")

    def handle_error(self, *_: object) -> None: ...  # whoever asked went away


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: _Server

    def do_GET(self) -> None:
        name = self.path.lstrip("/").split("?")[0]
        self.server.served.asked.append(f"{self.command} {self.path}")
        if name in self.server.moved:
            self._answer(302, b"", Location=self.server.moved[name])
        elif name not in self.server.files:
            self._answer(404, b"")
        else:
            self._content(self.server.files[name])

    do_HEAD = do_GET  # noqa: N815

    def _content(self, data: bytes) -> None:
        asked = _RANGE.fullmatch(self.headers.get("Range", "")) if self.server.ranges else None
        if asked is None:
            self._answer(200, data)
        elif int(asked[1]) >= len(data):
            self._answer(416, b"", **{"Content-Range": f"bytes */{len(data)}"})
        else:
            begin, end = int(asked[1]), min(int(asked[2] or len(data)), len(data) - 1)
            self._answer(206, data[begin : end + 1], **{"Content-Range": f"bytes {begin}-{end}/{len(data)}"})

    def _answer(self, status: int, data: bytes, **more: str) -> None:
        self.send_response(status)
        for key, value in {**({"Accept-Ranges": "bytes"} if self.server.ranges else {}), **more}.items():
            self.send_header(key, value)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        if self.command != "HEAD":
            for begin in range(0, len(data), _PIECE):
                self.wfile.write(data[begin : begin + _PIECE])
                self.server.served.given += len(data[begin : begin + _PIECE])

    def log_message(self, *_: object) -> None: ...


@contextmanager
def server(
    files: Mapping[str, bytes], *, ranges: bool = True, moved: Mapping[str, str] | None = None
) -> Iterator[Served]:
    """Serve some contents by name.

    ranges : whether a part of a file can be asked for; moved : name → address it is sent on to
    """
    with _Server(files, ranges, {} if moved is None else moved) as running:
        threading.Thread(target=running.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        try:
            yield running.served
        finally:
            running.shutdown()
