"""The log page after a burn: a batch by one touch, a look with a name, a step of the close-out, carbon if asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.safety.dangerous.afterwards import EVENING, burned
from tests.safety.dangerous.safe_site import SafeSite
from tests.views.conftest import Visit, store


def test_law_a_burn_is_noted_looked_at_and_closed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PITSTEAD_DATA", str(tmp_path))
    monkeypatch.setenv("PITSTEAD_RAISE", "1")
    tab = Visit(store().create(burned(SafeSite(), EVENING, buckets=40).site()).link).go("log")
    assert "Not proved cold." in tab.words
    assert "1 of 2 cold checks" in tab.words
    tab.app.button(key="log.start.k2").click().run()
    assert tab.site.records("log")[-1].text("kiln") == "K2"
    tab.app.text_input(key="draft.cold.who").set_value("")
    tab.app.button(key="cold.keep").click().run()
    assert len(tab.site.records("cold")) == 1  # nobody said who looked
    assert "a look without a name does not count" in tab.words
    tab.app.text_input(key="draft.cold.who").set_value("Ben")
    tab.app.text_input(key="draft.cold.day").set_value("19 May 2026")
    tab.app.text_input(key="draft.cold.time").set_value("08:00")
    tab.app.button(key="cold.keep").click().run()
    look = tab.site.records("cold")[-1]
    assert (look.text("kiln"), look.text("time"), look.text("who")) == ("K1", "08:00", "Ben")
    assert "K1: proved cold" in tab.words
    tab.app.text_input(key="draft.close.who").set_value("Ben")
    tab.app.button(key="close.gear").click().run()
    assert tab.site.records("ticks")[-1].text("what") == "close gear"
    assert "CO₂e" not in tab.words
    tab.app.selectbox(key="s.season.carbon").set_value(True).run()
    assert "Indicative, no certificate" in tab.words
    assert "Methane against it, CO₂e" in tab.words


def test_law_a_kiln_is_chosen_and_the_free_words_of_an_older_file_are_kept(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("PITSTEAD_DATA", str(tmp_path))
    monkeypatch.setenv("PITSTEAD_RAISE", "1")
    site = SafeSite()
    site.member["log"] = [{"kiln": "old ring", "buckets": 3}]
    made = store().create(site.site())
    seen = Visit(made.link).go("log")
    box = seen.app.selectbox(key="r.log.0.kiln")
    assert box.options == ["–", "K1", "K2", "old ring"]
    assert box.value == "old ring"
    box.set_value("K2").run()
    assert seen.site.records("log")[0].text("kiln") == "K2"
