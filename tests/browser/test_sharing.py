"""The app on the local network: it listens only where it was told to, and shows nothing before the passcode."""

from __future__ import annotations

import asyncio
import re
import socket
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from playwright.sync_api import Page, expect
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

from sitemap.site.store import Store
from tests.browser.app_page import settled, until
from tests.browser.conftest import ROOT, Address, OpenPage, map_of, serving
from tests.site.builders import site_of

SECRET = "Hidden valley"
#  A fold slides open: what is pressed meanwhile can be under the hand as it goes down, and no longer as it comes up.
STILL = "() => document.querySelector('.st-key-sharing').getAnimations({subtree: true}).length === 0"


def own_address() -> str:
    """An address of this machine that is not the one every program of it listens on: no packet is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 1))
        except OSError:
            return "127.0.0.2"
        return str(probe.getsockname()[0])


def answers(host: str, port: int) -> bool:
    try:
        with socket.create_connection((host, port), timeout=10):
            return True
    except OSError:
        return False


@pytest.fixture(scope="module")
def shared_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Address]:
    """The app as its one switch shares it."""
    with serving(ROOT / "app.py", tmp_path_factory.mktemp("shared"), None, "--server.address=0.0.0.0") as address:
        yield address


def come_in(page: Page, code: str, name: str, word: str) -> None:
    page.get_by_label("Passcode", exact=True).fill(code)
    page.get_by_label("Your name").fill(name)
    page.get_by_label("A word of your own", exact=True).fill(word)
    page.get_by_role("button", name="Come in").click()


def passcodes(address: Address) -> tuple[str, str]:
    """What the window of the program says: the passcode for guests, and the one of who started it."""
    guests, host = re.findall(r"Passcode .*: ([a-z0-9]{4}-[a-z0-9]{4})", "".join(address.said))
    return guests, host


def test_law_the_app_listens_on_this_computer_alone_unless_it_is_told_to_share(
    app_url: Address, shared_url: Address
) -> None:
    host = own_address()
    assert answers("127.0.0.1", app_url.port)
    assert not answers(host, app_url.port)
    assert answers(host, shared_url.port)
    assert "external" not in "".join(shared_url.said).lower()  # nobody on the net was asked which address it has there


def test_law_nothing_is_seen_before_the_passcode_and_each_sees_their_own(
    open_page: OpenPage, shared_url: Address
) -> None:
    old = Store(shared_url.data).create(site_of(site={"name": SECRET})).link
    door, other = open_page(), open_page(1280, 460)  # two devices: neither has what the other keeps
    for path in (f"/?site={old}", f"/papers?site={old}"):
        door.goto(f"{shared_url}{path}")
        door.get_by_role("button", name="Come in").wait_for()
        settled(door)
        assert SECRET not in door.content()
        expect(door.get_by_role("link", name=re.compile("Map|papers"))).to_have_count(0)
    guests, host = passcodes(shared_url)
    come_in(door, "aaaa-aaaa", "Ana", "tall pine")
    door.get_by_text("That is not the passcode").wait_for()
    come_in(door, guests, "Ana", "tall pine")
    door.get_by_text(f"No site is kept under the link '{old}'").wait_for()
    assert SECRET not in door.content()
    door.reload()  # the browser carries the mark
    door.get_by_label("Site", exact=True).wait_for()
    settled(door)
    link = door.url.split("site=")[1]

    other.goto(shared_url)
    come_in(other, guests, "ana", "other pine")
    other.get_by_text("Somebody goes by that name with another word").wait_for()
    come_in(other, guests, "Bo", "tall fir")
    map_of(other)
    other.goto(f"{shared_url}/?site={link}")
    other.get_by_text(f"No site is kept under the link '{link}'").wait_for()

    door.reload()
    door.get_by_text("Shared on this network").click()
    door.get_by_text(f":{shared_url.port}").wait_for()
    door.get_by_text("Bo (", exact=False).wait_for()
    expect(door.get_by_text(guests)).to_have_count(0)
    door.get_by_text("Everybody let in may open and change this site").click()
    settled(door)
    door.reload()
    door.get_by_text("Shared on this network").click()
    expect(door.get_by_label("Everybody let in may open and change this site")).to_be_checked()
    other.goto(f"{shared_url}/?site={link}")
    map_of(other)
    settled(other)
    assert other.url.endswith(link)
    other.get_by_text("Shared on this network").click()
    settled(other)
    until(other, STILL)
    other.get_by_role("button", name="Leave").click()
    other.get_by_role("button", name="Come in").wait_for()
    other.reload()
    other.get_by_role("button", name="Come in").wait_for()
    come_in(other, host, "Started it", "old larch")
    map_of(other)
    other.goto(f"{shared_url}/?site={old}")
    expect(other.get_by_label("Site", exact=True)).to_have_value(SECRET)
    other.get_by_text("Shared on this network").click()
    other.get_by_text(guests).wait_for()

    cookies = "; ".join(f"{each['name']}={each['value']}" for each in other.context.cookies())
    with ThreadPoolExecutor(1) as beside:  # the browser's own loop runs in this thread
        answers = [beside.submit(asyncio.run, sends_a_file(shared_url, held)).result() for held in ("", cookies)]
    assert answers == [400, 204]  # as who stands at the door, and as who was let in


async def sends_a_file(address: Address, cookies: str) -> int:
    """What the server answers to a file of a session that it gave to whoever opened its socket."""
    message, session, here = BackMsg(), "", f"127.0.0.1:{address.port}"
    message.rerun_script.query_string = ""
    asked = HTTPRequest(f"ws://{here}/_stcore/stream", headers={"Cookie": cookies})
    connection = await websocket_connect(asked, subprotocols=["streamlit"])
    await connection.write_message(message.SerializeToString(), binary=True)
    told = ForwardMsg()
    while told.WhichOneof("type") != "script_finished":
        content = await connection.read_message()
        assert isinstance(content, bytes), "the server hung up"
        told = ForwardMsg.FromString(content)
        session = told.new_session.initialize.session_id or session
    client = AsyncHTTPClient()
    page = await client.fetch(f"http://{here}/_stcore/health")
    token = re.findall(r"_streamlit_xsrf=([^;]+)", page.headers.get("Set-Cookie", ""))[0]
    head = {
        "Content-Type": "multipart/form-data; boundary=x",
        "X-Xsrftoken": token,
        "Cookie": f"_streamlit_xsrf={token}",
    }
    part = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a.tif"\r\n\r\nII*\r\n--x--\r\n'
    url = f"http://{here}/_stcore/upload_file/{session}/file"
    answer = await client.fetch(url, method="PUT", headers=head, body=part, raise_error=False)
    connection.close()
    return answer.code
