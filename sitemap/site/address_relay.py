"""A service on the net asked through an address on this machine: by our own client, from the host somebody typed alone.

The library that reads tiles would follow a server to any host. So it asks this machine, and what it asks for is fetched
here, by the rules of `address.py`: sent on within the host, never to another.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from secrets import token_urlsafe
from threading import Thread
from typing import Any
from urllib.parse import urlsplit

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.address import piece_at

MOST_BYTES = 10_000_000  # of one answer: a tile has some 20 kB, a description of a service seldom more than 1 MB
_LINK = re.compile(r"""((?:template|href)\s*=\s*["'])(https?)://([^/"'\s]+)""", re.IGNORECASE)


@dataclass
class Relay:
    """An address on this machine for one host.

    root : scheme and host of what is asked; here : what stands for it, without a slash behind
    fault : why something could not be fetched, where that was more than one piece that is not there
    """

    root: str
    here: str = ""
    fault: BadFile | None = field(default=None)

    def _turned(self, text: str) -> str:
        """A description of a service with its links turned here; asked for at another host, they are refused."""

        def link(found: re.Match[str]) -> str:
            begin, scheme, host = found.groups()
            own = host.lower() == urlsplit(self.root).netloc.lower()
            return f"{begin}{self.here}" if own else f"{begin}{self.here}/{_ELSEWHERE}/{scheme}/{host}"

        return _LINK.sub(link, text)

    def fetched(self, path: str) -> bytes | None:
        """What lies there, path with its slash; None where nothing does. Raises BadFile."""
        if path.startswith(f"/{_ELSEWHERE}/"):
            host = path.split("/")[3]
            raise BadFile(reason("address.names_another", host=str(urlsplit(self.root).hostname), other=host[:80]))
        data = piece_at(self.root + path, MOST_BYTES)
        if data is None or data.lstrip()[:1] != b"<":
            return data
        return self._turned(data.decode("utf-8", "replace")).encode()


_ELSEWHERE = "elsewhere"


@contextmanager
def relayed(address: str) -> Iterator[Relay]:
    """A relay for the host of an address, as long as the block lasts; nobody can guess where it is."""
    parts = urlsplit(address)
    relay, secret = Relay(f"{parts.scheme}://{parts.netloc}"), f"/{token_urlsafe(16)}"

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            if not self.path.startswith(f"{secret}/"):
                self._answer(404)
                return
            try:
                data = relay.fetched(self.path.removeprefix(secret))
            except BadFile as fault:
                relay.fault = relay.fault or fault
                self._answer(502)
                return
            self._answer(404 if data is None else 200, data or b"")

        def _answer(self, status: int, data: bytes = b"") -> None:
            self.send_response(status)
            self.send_header("Content-Length", str(len(data)))
            self.end_headers()
            self.wfile.write(data)

        def log_message(self, *_: Any) -> None: ...

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as running:
        relay.here = f"http://127.0.0.1:{running.server_address[1]}{secret}"
        Thread(target=running.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()
        try:
            yield relay
        finally:
            running.shutdown()
