"""Sharing on the network: who is let in, and what each sees; the door is tried in tests/browser/test_sharing.py."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from streamlit import net_util
from streamlit.web.server.server_util import is_url_from_allowed_origins

from sitemap.errors import BadSiteFile, BadValue
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.site.store_people import People
from sitemap.views import sharing
from sitemap.views.sharing import panel, shut
from sitemap.views.sharing.gate import HERE_S, STAYS_S, Gate, Visitor
from sitemap.views.sharing.own import own
from sitemap.views.sharing.shut import asks_nobody

Named = Callable[..., Store]
NO_SITE = {"create", "sites", "file", "keep_file", "put_back", "beside", "sweep"}


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path)


@pytest.fixture
def people(store: Store) -> People:
    return People(store)


@pytest.fixture
def of(store: Store, people: People) -> Named:
    """The store as a person may use it."""

    def opened(name: str, host: bool = False) -> Store:
        mark = (gate := Gate()).let_in(name, host)
        visitor = gate.visitor(mark)
        assert visitor
        return own(store, people, visitor)

    return opened


def named(name: str) -> Site:
    return Site().with_member("format", 1).with_member("units", "metric").with_member("name", name)


def test_law_a_site_is_its_owners_until_it_is_shared(store: Store, of: Named, people: People) -> None:
    before = store.create(named("Made before"))
    one, two, host = of("One"), of("Two"), of("Host", host=True)
    link = one.create(named("Bench")).link
    assert one.open(link).site.name == "Bench"
    assert [each.name for each in one.sites()] == ["Bench"]
    assert two.sites() == ()
    assert [each.name for each in host.sites()] == ["Made before"]
    assert of(" ONE ").open(link).site.name == "Bench"
    with pytest.raises(BadSiteFile):
        one.open(before.link)
    people.share(link, True)
    after = named("Bench above")
    assert two.save(link, named("Bench"), after, "Renamed the site").site.name == "Bench above"
    people.share(link, False)
    with pytest.raises(BadSiteFile):
        two.open(link)
    people.own(link, "Two")  # it belongs to somebody already
    owned = people.of(link)
    assert owned
    assert owned.by("one")


def test_law_no_way_of_the_store_leads_to_the_site_of_another(store: Store, of: Named) -> None:
    held = of("One").create(named("Bench"))
    other = of("Two", host=True)
    ways = [
        name
        for name, way in inspect.getmembers(Store, inspect.isfunction)
        if not name.startswith("_") and name not in NO_SITE
    ]
    assert {"open", "save", "undo", "redo", "history", "put_away", "bring_back", "revision"} <= set(ways)
    for name in ways:
        with pytest.raises(BadSiteFile):
            getattr(other, name)(held.link)
    with pytest.raises(BadSiteFile):
        other.put_back(held)


def test_law_a_name_belongs_to_the_word_first_given(people: People) -> None:
    assert people.known_as(" Ana  B ", "tall pine") == "Ana B"
    assert people.known_as("ana b", "tall pine") == "Ana B"
    assert people.known_as("Ana B", "tall pinf") is None
    for name, word in (("", "tall pine"), ("A\0", "tall pine"), ("A" * 61, "tall pine"), ("Bo", "short")):
        with pytest.raises(BadValue):
            people.known_as(name, word)


def test_law_no_word_is_kept_as_it_was_typed(people: People, tmp_path: Path) -> None:
    people.known_as("Ana", "tall pine")
    assert b"tall pine" not in b"".join(path.read_bytes() for path in tmp_path.iterdir() if path.is_file())


def test_law_wrong_tries_are_limited_from_one_place_and_from_all() -> None:
    now = [0.0]
    gate = Gate(clock=lambda: now[0])
    for _ in range(5):
        assert not gate.shut("a")
        gate.wrong("a")
    assert gate.shut("a")
    assert not gate.shut("b")
    for place in range(35):
        gate.wrong(f"p{place}")
    assert gate.shut("b")
    now[0] = 601.0
    assert not gate.shut("a")
    assert not gate.shut("b")


def test_law_a_mark_is_known_until_its_day_is_over_or_it_is_taken_back() -> None:
    now = [0.0]
    gate = Gate(clock=lambda: now[0])
    mark, other = gate.let_in("Ana", False), gate.let_in("Bo", True)
    assert isinstance(gate.visitor(mark), Visitor)
    assert gate.visitor(mark + "x") is None
    assert gate.visitor(None) is None
    assert [each.name for each in gate.here()] == ["Ana", "Bo"]
    gate.leave(other)
    assert gate.visitor(other) is None
    now[0] = HERE_S + 1
    assert gate.here() == ()
    now[0] = STAYS_S + 1
    assert gate.visitor(mark) is None


def test_law_passcodes_are_new_each_time_and_told_apart() -> None:
    gate = Gate()
    assert len({code for _ in range(50) for code in (Gate().guests, Gate().host)}) == 100
    assert gate.knows(f" {gate.guests.upper()} ") == "guest"
    assert gate.knows(gate.host) == "host"
    assert gate.knows(gate.guests[:-1]) is gate.knows("") is gate.knows("ü") is None


def test_law_on_this_computer_alone_nothing_is_asked(store: Store) -> None:
    assert not sharing.shared()  # as .streamlit/config.toml has it
    assert sharing.allowed(store) is store


@pytest.mark.parametrize(("reached", "host", "may"), [(False, False, True), (True, False, False), (True, True, True)])
def test_law_a_guest_makes_this_computer_ask_no_address(
    monkeypatch: pytest.MonkeyPatch, reached: bool, host: bool, may: bool
) -> None:
    mark = (gate := Gate()).let_in("Somebody", host)
    monkeypatch.setattr(sharing, "shared", lambda: reached)
    monkeypatch.setattr(sharing, "visitor", lambda: gate.visitor(mark))
    assert sharing.may_ask_the_net() is may
    monkeypatch.setattr(sharing, "visitor", lambda: None)
    assert sharing.may_ask_the_net() is not reached


def test_law_a_page_of_another_host_that_knocks_makes_this_computer_ask_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    """The framework would ask a server on the net which address this computer has there."""
    asked: list[str] = []
    monkeypatch.setattr(net_util, "_external_ip", None)
    monkeypatch.setattr(net_util, "_make_blocking_http_get", lambda url, **_: asked.append(url))
    monkeypatch.setattr(net_util, "get_external_ip", net_util.get_external_ip)
    asks_nobody()
    assert not is_url_from_allowed_origins("http://elsewhere.example")
    assert not asked


def test_law_only_a_session_that_was_let_in_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """And none is once it has ended: its number may come again."""
    monkeypatch.setattr(shut, "_inside", {"in", "gone"})
    guarded = shut._only_inside(lambda session: session != "gone")
    assert [guarded(session) for session in ("in", "out", "gone")] == [True, False, False]
    assert shut._inside == {"in"}


@pytest.mark.parametrize(
    ("owner", "shared", "name", "host", "asked", "ticked"),
    [
        (None, False, "Host", True, True, False),
        (None, False, "Guest", False, False, False),
        ("Guest", False, "Guest", False, True, False),
        ("Guest", True, "guest", False, True, True),
        ("Other", True, "Guest", False, False, False),
        ("Other", False, "Host", True, False, False),
    ],
)
def test_law_only_whose_site_it_is_may_share_it(
    monkeypatch: pytest.MonkeyPatch,
    people: People,
    owner: str | None,
    shared: bool,
    name: str,
    host: bool,
    asked: bool,
    ticked: bool,
) -> None:
    """A site nobody owns is the host's."""
    if owner is not None:
        people.own("link", owner)
        people.share("link", shared)
    boxes, words = [], []
    monkeypatch.setattr(panel.state, "kept", lambda: SimpleNamespace(link="link"))
    monkeypatch.setattr(panel.state, "whole_store", lambda: None)
    monkeypatch.setattr(panel.sharing, "people", lambda _: people)
    monkeypatch.setattr(panel.st, "checkbox", lambda *_, value, **__: boxes.append(value))
    monkeypatch.setattr(panel.st, "text", words.append)
    mark = (gate := Gate()).let_in(name, host)
    visitor = gate.visitor(mark)
    assert visitor is not None
    panel._site(visitor)
    assert (boxes, bool(words)) == ([ticked] if asked else [], not asked)
