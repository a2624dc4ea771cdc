"""Two layouts side by side: alike where they are alike, and each difference said. Invented sites."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitemap.__main__ import main
from sitemap.compare import Row, compared
from sitemap.plan.phrases import LANGUAGES
from sitemap.telling import tell
from tests.safety.dangerous.safe_site import SafeSite


def told(one: SafeSite, other: SafeSite, language: str = "en") -> dict[str, tuple[str, str]]:
    rows = [row for row in compared(one.assessed(), other.assessed()) if row.differs]
    return {
        tell(r.what, "metric", language): (tell(r.one, "metric", language), tell(r.other, "metric", language))
        for r in rows
    }


def test_law_a_site_beside_itself_differs_in_nothing() -> None:
    assert told(SafeSite(), SafeSite()) == {}


def test_law_a_kiln_moved_off_its_facts_is_seen_in_its_decision_and_in_what_fails_first() -> None:
    found = told(SafeSite(), SafeSite().move("k1", 15, 0))
    assert found["Kiln K1"][0] == "may be lit"
    assert found["Kiln K1"][1] != "may be lit"
    assert found["Kilns: may be lit"][0] == "2"
    assert found["What fails first"][0] == "nothing entered"
    assert found["What fails first"][1].startswith("kiln K1")


def test_law_the_other_way_round_it_is_the_same_the_other_way_round() -> None:
    one, other = SafeSite(), SafeSite().drop("k2", "p2").say("season", date="2026-05-21")
    there, back = compared(one.assessed(), other.assessed()), compared(other.assessed(), one.assessed())
    assert {Row(row.what, row.other, row.one) for row in back} == set(there)
    assert told(one, other)["Kiln K2"] == ("may be lit", "not there")


def test_law_figures_are_those_of_the_assessments() -> None:
    smaller = SafeSite().put("p1", dry_t_weighed=0.2)
    found, a = told(SafeSite(), smaller), smaller.assessed()
    assert a.burn.batches is not None
    assert found["Kiln batches"][1].split(" ")[0] == f"{round(a.burn.batches.likely)}"
    hours = sum(run.batches.likely * run.hours_per_batch.likely for run in a.kilns)
    assert float(found["Hours of all batches together"][1].split(" ")[0]) == pytest.approx(hours, rel=0.05)


def test_law_less_water_is_said_at_its_source() -> None:
    found = told(SafeSite(), SafeSite().put("tank", volume_l=300))
    assert found["Water source TANK"][0] != found["Water source TANK"][1]


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_every_row_has_words(language: str) -> None:
    for what, values in told(SafeSite(), SafeSite().drop("k2"), language).items():
        assert what
        assert all(values)


def test_law_the_command_prints_a_table_and_says_when_nothing_differs(tmp_path: Path, capsys) -> None:
    one, other = tmp_path / "one.geojson", tmp_path / "other.geojson"
    one.write_text(SafeSite().text(), encoding="utf-8")
    other.write_text(SafeSite().top(name="Layout B").move("k1", 15, 0).text(), encoding="utf-8")
    assert main(["compare", str(one), str(other), "--on", "2026-05-20"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "Layout B" in lines[0]
    assert any(line.startswith("Kiln K1 ") and "may be lit" in line for line in lines)
    assert not any(line.startswith("Char stock") for line in lines)
    assert main(["compare", str(one), str(one)]) == 0
    assert "differs" in capsys.readouterr().out
    assert main(["compare", str(one), str(tmp_path / "none.geojson")]) == 2
    assert "cannot be opened" in capsys.readouterr().err
