"""The test command itself."""

import json
from contextlib import nullcontext
from pathlib import Path

import pytest

import tests.__main__ as command
from tests import browsers


def test_refuses_to_leave_the_browser_tests_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(browsers.NAMED, "no-such-browser")
    assert command.main([]) == 1
    said = capsys.readouterr().err
    assert browsers.NAMED in said
    assert said.count("\n") == 1


@pytest.mark.parametrize(
    ("failed", "again", "code"),
    [
        (["tests/browser/test_map.py::test_a"], 0, 0),
        (["tests/browser/test_map.py::test_a"], 1, 1),
        (["tests/browser/test_map.py::test_a", "tests/day/test_dates.py::test_b"], 0, 1),
        ([f"tests/browser/test_map.py::test_{number}" for number in range(command.FEW + 1)], 0, 1),
        ([], 0, 1),
    ],
)
def test_law_only_a_few_tests_of_a_browser_that_pass_by_themselves_are_let_through(
    failed: list[str],
    again: int,
    code: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    codes = iter([*(0 for _ in command.BESIDE), command.TESTS_FAILED, again])
    held = tmp_path / "lastfailed"
    held.write_text(json.dumps(dict.fromkeys(failed, True)), encoding="utf-8")
    monkeypatch.setattr(command, "FAILED", held)
    monkeypatch.setattr(command.browsers, "found_or_brought", lambda: "a browser")
    monkeypatch.setattr(command.servers, "found_or_brought", lambda: "a server")
    monkeypatch.setattr(command, "started", lambda *_: nullcontext())
    monkeypatch.setattr(command, "shown", lambda *_: next(codes))
    assert command.main([]) == code
    said = capsys.readouterr().out
    assert ("passed only by themselves: tests/browser/test_map.py::test_a" in said) is (code == 0)
