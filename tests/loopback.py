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


@contextmanager
def server(
    files: Mapping[str, bytes], *, ranges: bool = True, moved: Mapping[str, str] | None = None
) -> Iterator[Served]:
    """Serve some contents by name.

    ranges : whether a part of a file can be asked for; moved : name → address it is sent on to
    """
    sent_on = dict(moved or {})

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            name = self.path.lstrip("/").split("?")[0]
            served.asked.append(f"{self.command} {self.path}")
            data = files.get(name)
            asked = _RANGE.fullmatch(self.headers.get("Range", "")) if ranges else None
            if name in sent_on:
                self._head(302, 0, Location=sent_on[name])
            elif data is None:
                self._head(404, 0)
            elif asked and int(asked[1]) >= len(data):
                self._head(416, 0, **{"Content-Range": f"bytes */{len(data)}"})
            elif asked:
                begin, end = int(asked[1]), min(int(asked[2] or len(data)), len(data) - 1)
                part = data[begin : end + 1]
                self._head(206, len(part), **{"Content-Range": f"bytes {begin}-{end}/{len(data)}"})
                self._give(part)
            else:
                self._head(200, len(data))
                self._give(data)

        do_HEAD = do_GET  # noqa: N815

        def _head(self, status: int, length: int, **more: str) -> None:
            self.send_response(status)
            for key, value in {**({"Accept-Ranges": "bytes"} if ranges else {}), **more}.items():
                self.send_header(key, value)
            self.send_header("Content-Length", str(length))
            self.end_headers()

        def _give(self, data: bytes) -> None:
            if self.command != "HEAD":
                for begin in range(0, len(data), _PIECE):
                    self.wfile.write(data[begin : begin + _PIECE])
                    served.given += len(data[begin : begin + _PIECE])

        def log_message(self, *_: object) -> None: ...

    class Quiet(ThreadingHTTPServer):
        def handle_error(self, *_: object) -> None: ...  # whoever asked went away

    with Quiet(("127.0.0.1", 0), Handler) as running:
        served = Served(f"http://127.0.0.1:{running.server_address[1]}/")
        threading.Thread(target=running.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        try:
            yield served
        finally:
            running.shutdown()
