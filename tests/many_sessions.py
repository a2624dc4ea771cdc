"""Many people at one server for a while, by hand: does its memory stay flat, and does nobody see what another typed?

    python -m tests.many_sessions --sessions 20 --minutes 10

Each visitor has a site of their own and types into it without a pause, over the same socket a browser uses. Told at the
end: edits, the memory of the server along the way, words of one visitor that reached another, edits the store lacks.
It ends with 1 where there are such words or lost edits, or memory grew by more than a tenth after the first third.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import socket
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic
from urllib.parse import parse_qs

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from tornado.websocket import WebSocketClientConnection, websocket_connect

from sitemap.site.store import Store

ROOT = Path(__file__).resolve().parent.parent
PAGE, FIELD = "rules", "s.permit.authority"
PATIENCE_S = 300
LOOKS = 12  # at the memory
GROWTH = 1.1


@dataclass
class Visitor:
    """One person: what they typed last, and what reached them."""

    number: int
    socket: WebSocketClientConnection
    link: str = ""
    page: str = ""  # as the server names the page
    widget: str = ""  # as the server names the field
    edits: int = 0
    heard: set[str] = field(default_factory=set)  # marks of others

    @property
    def mark(self) -> str:
        """What only this visitor types."""
        return f"visitor-{self.number:03}-"

    async def asks(self, marks: list[str], typed: str | None = None) -> None:
        """One run of the page, with something typed or without; to its end."""
        message = BackMsg()
        message.rerun_script.query_string = f"site={self.link}" if self.link else ""
        message.rerun_script.page_script_hash = self.page
        if typed is not None:
            message.rerun_script.widget_states.widgets.add(id=self.widget, string_value=typed)
        await self.socket.write_message(message.SerializeToString(), binary=True)
        while True:
            content = await asyncio.wait_for(self.socket.read_message(), PATIENCE_S)
            assert isinstance(content, bytes), "the server hung up"
            text = content.decode("utf-8", "ignore")
            self.heard |= {mark for mark in marks if mark != self.mark and mark in text}
            told = ForwardMsg.FromString(content)
            self._notes(told)
            if told.WhichOneof("type") == "script_finished":
                return

    def _notes(self, told: ForwardMsg) -> None:
        if told.HasField("page_info_changed"):
            self.link = parse_qs(told.page_info_changed.query_string)["site"][0]
        for page in told.navigation.app_pages:
            if page.url_pathname == PAGE and self.link:
                self.page = page.page_script_hash
        element = told.delta.new_element.text_input
        if element.id.endswith(FIELD):
            self.widget = element.id


async def comes(visitor: Visitor, marks: list[str]) -> None:
    """Open a site of one's own and go to the page."""
    for _ in range(3):
        await visitor.asks(marks)
    assert visitor.widget, "the page or the field is not there any more: name another one above"


async def types(visitor: Visitor, marks: list[str], until: float) -> None:
    """Type until the time is over."""
    while monotonic() < until:
        await visitor.asks(marks, f"{visitor.mark}{visitor.edits + 1}")
        visitor.edits += 1
    visitor.socket.close()


async def memory(process: int, until: float) -> list[float]:
    """Memory of the server [MB] at even times."""
    found = []
    pause = (until - monotonic()) / LOOKS
    for _ in range(LOOKS):
        await asyncio.sleep(pause)
        status = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
        found.append(int(status.split("VmRSS:")[1].split()[0]) / 1024)
        print(f"  {found[-1]:.0f} MB", flush=True)
    return found


async def crowd(port: int, process: int, sessions: int, minutes: float) -> tuple[list[Visitor], list[float]]:
    """All visitors at one time."""
    address = f"ws://127.0.0.1:{port}/_stcore/stream"
    while True:
        try:
            sockets = [await websocket_connect(address, subprotocols=["streamlit"]) for _ in range(sessions)]
            break
        except OSError:
            await asyncio.sleep(0.5)
    visitors = [Visitor(number, each) for number, each in enumerate(sockets)]
    marks = [visitor.mark for visitor in visitors]
    await asyncio.gather(*(comes(each, marks) for each in visitors))
    until = monotonic() + minutes * 60
    looks, *_ = await asyncio.gather(memory(process, until), *(types(each, marks, until) for each in visitors))
    return visitors, looks


def main() -> int:
    """Run, tell, and judge."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sessions", type=int, default=20)
    parser.add_argument("--minutes", type=float, default=10.0)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
        free.close()
        words = ["run", "app.py", "--server.headless", "true", "--server.address", "127.0.0.1"]
        server = subprocess.Popen(
            [sys.executable, "-m", "streamlit", *words, "--server.port", str(port)],
            cwd=ROOT,
            env={**os.environ, "PITSTEAD_DATA": folder},
            stdout=subprocess.DEVNULL,
        )
        try:
            visitors, looks = asyncio.run(crowd(port, server.pid, asked.sessions, asked.minutes))
        finally:
            server.terminate()
            server.wait()
        return told(visitors, looks, Store(folder))


def told(visitors: list[Visitor], looks: list[float], store: Store) -> int:
    """Say what came of it; 0 where all is well."""
    heard = sorted({(visitor.number, mark) for visitor in visitors for mark in visitor.heard})
    lost = [
        visitor.number
        for visitor in visitors
        if store.open(visitor.link).site.section("permit").text("authority") != f"{visitor.mark}{visitor.edits}"
        or len(store.history(visitor.link, 1_000_000)) != visitor.edits
    ]
    third = looks[len(looks) // 3]
    print(
        f"{len(visitors)} sessions, {sum(visitor.edits for visitor in visitors)} edits "
        f"({min(visitor.edits for visitor in visitors)} to {max(visitor.edits for visitor in visitors)} each)\n"
        f"memory after a third {third:.0f} MB, at the end {looks[-1]:.0f} MB\n"
        f"words of one that reached another: {heard or 'none'}; sites that lack an edit: {lost or 'none'}"
    )
    return int(bool(heard or lost or looks[-1] > GROWTH * third))


if __name__ == "__main__":
    raise SystemExit(main())
