"""Dangerous set-ups on page, paper, in the file and on the command line: one decision, word for word."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sitemap.__main__ import main
from sitemap.day.decision import MAY
from sitemap.maps.verdicts import kiln_verdicts
from sitemap.plan.contents import plan_of
from sitemap.plan.html import html_of
from sitemap.plan.model import Table
from sitemap.report import report_of
from sitemap.telling import sentence, tell
from sitemap.wording import told
from tests.safety.dangerous.rows import Row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.test_table import ROWS

EVERY = 60  # every so many rows: a whole plan takes its time
SIGNS = {"may be lit": "✓", "not yet": "?", "not here": "✕"}


@pytest.mark.parametrize(
    "row", [each.values[0] for each in ROWS[::EVERY]], ids=[str(each.id) for each in ROWS[::EVERY]]
)
def test_law_page_paper_file_and_command_line_tell_one_decision(
    row: Row, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = row.change(SafeSite())
    a = site.assessed()
    (tmp_path / "site.geojson").write_text(site.text(), encoding="utf-8")
    on = [] if a.on is None else ["--on", a.on.isoformat()]
    assert main(["check", str(tmp_path / "site.geojson"), *on]) in (0, 1)
    said = capsys.readouterr().out
    assert main(["assess", str(tmp_path / "site.geojson"), *on, "--json"]) in (0, 1)
    written = json.loads(capsys.readouterr().out)
    plan = plan_of(a, ["decision"])
    page = html_of(plan, {"small": None, "full": None})
    kilns = next(block for block in plan.sheet("decision").blocks if isinstance(block, Table))
    mapped = {each.id: each for each in kiln_verdicts(a)}
    for decision, printed in zip(a.decisions, kilns.rows, strict=True):
        assert f"Kiln spot {decision.name}: {decision.word}\n" in said
        assert printed[1] == f"{SIGNS[decision.word]} {decision.word}"
        assert f"{SIGNS[decision.word]} {decision.word}" in page
        assert mapped[decision.spot].title.endswith(f": {decision.word}")
        (kept,) = [each for each in written["decisions"] if each["spot"] == decision.spot]
        (reported,) = [each for each in report_of(a)["decisions"] if each["spot"] == decision.spot]
        assert kept == reported
        assert kept["word"] == decision.word
        assert [each["action"] for each in kept["because"]] == [sentence(bar.action) for bar in decision.because]
        for bar in decision.because:
            assert f"  {bar.word}: {tell(bar.action)} ({told(bar.reason, 'metric').rstrip('.')})" in said
        assert (decision.word == MAY) == (a.clock_of(decision.spot) != ())
