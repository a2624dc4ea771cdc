"""A file at an address somebody typed: asked for only when somebody presses, by http or https, from that host alone."""

from __future__ import annotations

import http.client
import re
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote, urlsplit

from sitemap.errors import BadFile
from sitemap.reasons import Reason, reason

TIMEOUT_S = 20.0  # [s] without a word from the other side
MOST_BYTES = 100_000_000  # of a file that is fetched whole
_HEAD_BYTES = 4096
_AT_ONCE = 1 << 18
_LONGEST = 2000
_NOTHING = (204, 404, 410)
_WHOLE = re.compile(r"bytes \d+-\d+/(\d+)")
_FORMS = ((b"fgb", ".fgb"), (b"SQLite format 3\x00", ".gpkg"), (b"PK", ".zip"), (b"\x89PNG", ""), (b"\xff\xd8", ""))
_TIFFS = (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")


@dataclass(frozen=True)
class Remote:
    """What lies at an address.

    url : where it was found; name : last part of it, for sentences
    size : bytes, or None where the server does not say; ranges : whether it gives a part of the file
    form : ending its content tells (".tif", ".fgb", ".gpkg", ".zip", ".geojson", ".kml")
    """

    url: str
    name: str
    size: int | None
    ranges: bool
    form: str

    @property
    def in_parts(self) -> bool:
        """Whether only what is needed of it is fetched: it has an index, and its server gives parts."""
        return self.ranges and self.form in (".tif", ".fgb")

    @property
    def shown(self) -> str:
        """The address as it is kept with a site: without what follows a question mark, which may be somebody's key."""
        return self.url.split("?", 1)[0].split("#", 1)[0]


def asked(typed: str) -> Remote:
    """What lies at an address, by its first bytes; nothing more is fetched.

    Raises BadFile: no http or https address, nothing there, no network, sent on to another host, no file we read.
    """
    url = checked(typed)
    with _opened(url, {"Range": f"bytes=0-{_HEAD_BYTES - 1}"}) as answer:
        head = answer.read(_HEAD_BYTES)
        part = _WHOLE.match(answer.headers.get("Content-Range", "")) if answer.status == 206 else None
        size = part[1] if part else answer.headers.get("Content-Length", "")
        found = answer.geturl()
    last = unquote(urlsplit(found).path.rstrip("/").rsplit("/", 1)[-1])[:80]
    name = "".join(each if each.isprintable() else "_" for each in last) or _host(found)
    return Remote(found, name, int(size) if str(size).isdecimal() else None, part is not None, _form(name, head))


def fetched(remote: Remote, progress: Callable[[int], None] = lambda _: None) -> bytes:
    """The whole file. progress : told how many bytes came so far.

    Raises BadFile: larger than MOST_BYTES, cut short, or as `asked` does.
    """
    too_much = reason("address.too_large", name=remote.name, most=MOST_BYTES // 1_000_000)
    if (remote.size or 0) > MOST_BYTES:
        raise BadFile(too_much)
    made = bytearray()
    with _opened(remote.url, {}) as answer:
        while piece := answer.read(_AT_ONCE):
            made += piece
            if len(made) > MOST_BYTES:
                raise BadFile(too_much)
            progress(len(made))
    if remote.size is not None and len(made) != remote.size:
        raise BadFile(reason("address.cut_short", came=f"{len(made):,}", whole=f"{remote.size:,}", name=remote.name))
    return bytes(made)


def part_of(remote: Remote, begin: int, end: int) -> bytes:
    """The bytes from begin up to end of a file whose server gives parts. Raises BadFile as `asked` does, and where the
    part is another than was asked for."""
    with _opened(remote.url, {"Range": f"bytes={begin}-{end - 1}"}) as answer:
        data: bytes = answer.read(end - begin + 1)
        right = answer.status == 206 and answer.headers.get("Content-Range", "").startswith(f"bytes {begin}-")
    if not right or len(data) != end - begin:
        raise BadFile(reason("address.changed", name=remote.name))
    return data


def piece_at(url: str, most: int) -> bytes | None:
    """A small thing whole, of at most so many bytes; None where the server says that nothing is there. Raises BadFile
    as `asked` does."""
    try:
        with _opened(url, {}) as answer:
            data: bytes = answer.read(most + 1)
    except BadFile as error:
        if isinstance(error.__cause__, urllib.error.HTTPError) and error.__cause__.code in _NOTHING:
            return None
        raise
    if len(data) > most:
        raise BadFile(reason("address.no_tile", host=_host(url), most=most // 1_000_000))
    return data or None


def checked(typed: str) -> str:
    """An address as it may be asked. Raises BadFile for one that is none, or holds a name or a password."""
    url = typed.strip()
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        parts, port = urlsplit(""), None
    if parts.scheme not in ("http", "https") or not parts.hostname or port == 0:
        raise BadFile(reason("address.no_address", url=url[:80]))
    if parts.username is not None or parts.password is not None:
        raise BadFile(reason("address.password"))
    if len(url) > _LONGEST or not url.isascii() or any(each.isspace() or not each.isprintable() for each in url):
        raise BadFile(reason("address.spaces"))
    return url


@contextmanager
def _opened(url: str, headers: dict[str, str]) -> Iterator[Any]:
    """An open answer of the host of the address; what goes wrong, also while it is read, is one sentence."""
    host = _host(url)
    request = urllib.request.Request(url, headers={"Accept-Encoding": "identity", "User-Agent": "sitemap", **headers})
    try:
        with urllib.request.build_opener(_Stay).open(request, timeout=TIMEOUT_S) as answer:
            yield answer
    except urllib.error.HTTPError as error:
        error.close()
        raise BadFile(reason("address.answers", host=host, code=str(error.code), why=_refusal(error.code))) from error
    except (OSError, http.client.HTTPException, ValueError) as error:
        if isinstance(error, BadFile):
            raise
        why_not = getattr(error, "reason", None) or error
        raise BadFile(reason("address.no_answer", host=host, why=str(why_not)[:80] or type(error).__name__)) from error


class _Stay(urllib.request.HTTPRedirectHandler):
    """Follows a server that sends on within its own host; another host is named instead of asked."""

    def redirect_request(self, req: Any, fp: Any, code: int, msg: str, headers: Any, newurl: str) -> Any:
        old, new = urlsplit(req.full_url), urlsplit(newurl)
        if new.hostname != old.hostname or new.scheme not in ("http", "https") or new.scheme < old.scheme:
            fp.close()  # else its socket stays open for as long as somebody keeps the error
            raise BadFile(reason("address.sends_on", host=str(old.hostname), to=f"{new.scheme}://{new.netloc[:80]}"))
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _refusal(code: int) -> Reason:
    """What an answer of a server means [status code of HTTP, RFC 9110]."""
    if code == 404:
        return reason("address.no_such_file")
    if code == 401:
        return reason("address.asks_for_a_password")
    return reason("address.not_given_out") if code == 403 else reason("address.not_now")


def _host(url: str) -> str:
    return str(urlsplit(url).hostname)


def _form(name: str, head: bytes) -> str:
    text = head.lstrip(b"\xef\xbb\xbf \t\r\n")
    if head[:4] in _TIFFS:
        return ".tif"
    form = next((form for begin, form in _FORMS if head.startswith(begin)), "")
    if not form and text[:1] == b"{":
        form = ".geojson"
    if not form and b"<kml" in text.lower():
        form = ".kml"
    if not form:
        raise BadFile(reason("address.web_page" if b"<html" in text.lower() else "address.no_form", name=name))
    return form
