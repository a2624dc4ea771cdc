"""Heavy work of a tab: nobody else waits for it, a press stops it, and it ends with its tab."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from multiprocessing.connection import Listener
from typing import Any

import pytest

from sitemap import apart
from sitemap.views import samples, working
from sitemap.views.frame import plain
from tests.test_apart import held_up, lives, waiting
from tests.views.conftest import ROOT, Here, Visit

Open = Callable[..., Visit]


@pytest.fixture
def listener(monkeypatch: pytest.MonkeyPatch) -> Iterator[Listener]:
    """Where work that is held up says that it has begun; whatever is read in the app is held up."""
    with Listener(("127.0.0.1", 0)) as made:

        def held(_: Any, *__: Any, tells: bool = False) -> apart.Work:
            return apart.Work(held_up, made.address, tells=tells)

        monkeypatch.setattr(working, "Work", held)
        monkeypatch.setattr(working, "quick_s", 0.0)
        yield made


def test_law_nobody_waits_for_the_work_of_another_and_a_press_stops_it(visit: Open, listener: Listener) -> None:
    one, other = visit(), visit()
    before = one.site
    name = "![a](http://h.invalid).tif"
    one.app.file_uploader(key="terrain.file").set_value((name, b"II*", "image/tiff")).run()
    with waiting(listener) as (at_work, process):
        (bar,) = one.app.get("progress")
        assert bar.proto.text.startswith(plain(f"Reading {name}"))  # no picture of the net
        assert "working.stop" in {button.key for button in one.app.button}
        other.app.text_input(key="site.name").set_value("The other one's").run()  # answered while the first works
        assert other.site.name == "The other one's"
        one.app.text_input(key="site.name").set_value("Mine").run()  # who waits can go on too
        assert one.site.name == "Mine"
        one.app.button(key="working.stop").click().run()
        with pytest.raises(EOFError):
            at_work.recv()
    said = one.words  # where its end was seen in the same run, else in a later one
    while "working.stop" in {button.key for button in one.app.button}:
        one.app.run()
        said += one.words
    assert "It was stopped. The site is unchanged." in said
    assert one.site.files == before.files
    assert not lives(process)
    assert "working.stop" not in {button.key for button in one.app.run().button}


def test_law_the_work_of_a_closed_tab_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    class Runtime:
        looks = 0

        def is_active_session(self, session: str) -> bool:
            assert session == "mine"
            self.looks += 1
            return self.looks in (1, 3)  # here, broken off, here again, then gone

    runtime = Runtime()
    monkeypatch.setattr(working, "exists", lambda: True)
    monkeypatch.setattr(working, "get_instance", lambda: runtime)
    monkeypatch.setattr(working, "_GONE_S", 0.01)
    with Listener(("127.0.0.1", 0)) as listener:
        work = apart.Work(held_up, listener.address)
        with waiting(listener) as (_, process):
            working._end_with_tab(work, "mine")
            assert work.over(60)
            assert runtime.looks == 5
            assert not lives(process)


def test_law_what_is_read_while_others_are_served_is_taken_when_it_is_done(
    visit: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sample's own raster, read by the real process."""
    monkeypatch.setattr(working, "Work", apart.Work)
    monkeypatch.setattr(working, "quick_s", 120.0)
    tab = visit()
    content = (ROOT / "sample_sites" / f"{samples.FIRST}.tif").read_bytes()
    tab.app.file_uploader(key="terrain.file").set_value(("ground.tif", content, "image/tiff")).run()
    assert tab.site.files["terrain"]["name"] == "ground.tif"


def test_law_sheets_and_files_are_made_while_others_are_served_and_a_press_stops_them(
    visit: Open, listener: Listener
) -> None:
    one, other = visit(), visit()
    one.go("papers")
    with waiting(listener) as (at_work, process):
        assert "Setting the sheets" in [bar.proto.text for bar in one.app.get("progress")]
        other.app.text_input(key="site.name").set_value("The other one's").run()  # answered while the sheets are set
        assert other.site.name == "The other one's"
        one.app.button(key="working.stop").click().run()
        with pytest.raises(EOFError):
            at_work.recv()
    while "working.stop" in {button.key for button in one.app.button}:
        one.app.run()
    assert not lives(process)
    assert "papers.show" in {button.key for button in one.app.button}  # not begun again by itself


@pytest.mark.usefixtures("own_side_open")
def test_law_a_file_asked_for_is_given_at_once_and_is_that_of_the_open_site(visit: Open) -> None:
    tab = visit()
    tab.app.text_input(key="site.name").set_value("Far landing").run()
    tab.app.button(key="take.gpx").click().run()
    assert "Save far-landing.gpx" in offered(tab)
    assert b"Far landing" in tab.app.session_state["tab"].facts["file ready"].content
    tab.app.button(key="ready.close").click().run()
    assert "Save far-landing.gpx" not in offered(tab)


def offered(tab: Visit) -> list[str]:
    return [each.proto.label for each in tab.app.get("download_button")]


def test_law_a_fault_of_the_program_in_work_is_a_sentence_and_the_page_stands(
    visit: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Faulty(Here):
        def result(self) -> Any:
            raise RuntimeError("KeyError: 'x'")

    monkeypatch.delenv("PITSTEAD_RAISE")
    monkeypatch.setattr(working, "Work", Faulty)
    tab = visit().go("papers")
    assert "This is a fault of the program" in tab.words
    assert "papers.show" in {button.key for button in tab.app.button}
