"""The page of the day's papers: what is open, two files to take along, a look at the plan."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from streamlit.testing.v1 import AppTest

from sitemap.views import working
from tests.views.conftest import Here, Visit, fresh_data

pytestmark = pytest.mark.usefixtures("own_side_open")  # of the tab all of them share


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Iterator[AppTest]:
    """The page with the first sample open, the same one for every test: the sheets are set anew for each page."""
    with fresh_data(tmp_path_factory.mktemp("papers")), pytest.MonkeyPatch.context() as patch:
        patch.setattr(working, "Work", Here)
        yield Visit().go("papers").app


@pytest.fixture(autouse=True)
def own_data() -> None:
    """The page keeps its data for all tests here."""


def test_law_what_is_open_stands_before_the_downloads_are_used(papers: AppTest):
    assert not papers.exception
    told = "\n".join(block.value for block in papers.markdown)
    assert "Not here: K3" in "".join(block.proto.body for block in papers.get("html"))
    assert "##### K3" in told
    assert "get the line owner's dated agreement" in told


def test_law_a_sheet_alone_is_offered_too(papers: AppTest):
    papers.pills(key="papers.sheets").select("decision").run()
    assert not papers.exception
    shown = papers.get("iframe")[0].proto.srcdoc
    assert 'class="sheet"' in shown
    assert shown.count('class="sheet"') == 1
    papers.pills(key="papers.sheets").unselect("decision")  # with the next run


def test_law_both_files_are_offered_and_paper_follows_the_units(papers: AppTest):
    labels = [button.label for button in papers.button]
    assert "Sheets to print (PDF)" in labels
    assert "Sheets as one web page" in labels
    assert "For a phone (.gpx)" in labels
    assert papers.get("iframe")


def test_law_the_language_of_the_papers_is_kept_with_the_site(papers: AppTest):
    for language, told in (("es", ["Hoja del día"]), ("both", ["Day sheet", "Tarjeta"]), ("en", ["Day sheet"])):
        papers.segmented_control(key="papers.language").set_value(language).run()
        assert not papers.exception
        page = papers.get("iframe")[0].proto.srcdoc
        assert all(words in page for words in told)
