"""The test command itself."""

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
