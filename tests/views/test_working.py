"""Heavy work of a tab: nobody else waits for it, a press stops it, and it ends with its tab."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from multiprocessing.connection import Listener
from typing import Any

import pytest

from sitemap import apart
from sitemap.views import samples, working
from tests.test_apart import held_up, lives, waiting
from tests.views.conftest import ROOT, Visit

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
    one.app.file_uploader(key="terrain.file").set_value(("ground.tif", b"II*", "image/tiff")).run()
    with waiting(listener) as (at_work, process):
        assert "working.stop" in {button.key for button in one.app.button}
        other.app.text_input(key="site.name").set_value("The other one's").run()  # answered while the first works
        assert other.site.name == "The other one's"
        one.app.text_input(key="site.name").set_value("Mine").run()  # who waits can go on too
        assert one.site.name == "Mine"
        one.app.button(key="working.stop").click().run()
        with pytest.raises(EOFError):
            at_work.recv()
    said = one.words  # where its end was seen in the same run, else in the next
    one.app.run()
    assert "It was stopped. The site is unchanged." in said + one.words
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
