"""Two pages of one browser type in a sheet while nobody answers: nothing is lost, doubled, or piled up.

Found by hand: each took over from the other what waited, in turn, and all of it more often every five seconds.
"""

from __future__ import annotations

from pathlib import Path

from sitemap.site.store import Store
from sitemap.views.inputs.sheet.inbox import Inbox
from tests.javascript import answer
from tests.site.builders import site_of

POST = Path(__file__).resolve().parents[2] / "sitemap" / "views" / "inputs" / "sheet" / "post.js"


def test_law_two_pages_without_an_answer_keep_what_each_typed_once(tmp_path: Path) -> None:
    address = POST.as_uri()
    told = answer(Path(__file__).with_name("two_pages.js"), "await m.outage(data)", address, tmp_path / "memory")
    assert sorted(told["aside"]) == [1, 2], "each page has put aside its own, and that once"
    store, inbox = Store(tmp_path / "data"), Inbox()
    link = store.create(site_of()).link
    for message in told["messages"]:
        inbox.take(store, [{**edit, "sheet": edit["sheet"].replace("LINK", link)} for edit in message])
    assert sorted(heap.name for heap in store.open(link).site.of_kind("pile")) == ["A1", "A2", "B1"]
    assert [each.label for each in store.history(link)].count("Grid: heap A1") <= 1
    assert told["left"] == 0
