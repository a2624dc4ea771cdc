"""The recorder of figures: the same code gives the same, and the smallest change of a figure or verdict is noticed.

What it must find is made here by hand: a figure off by 2e-9, a verdict, a key that comes or goes.
"""

from __future__ import annotations

import copy
import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests import same_figures
from tests.properties import thorough
from tests.random_sites import write_site
from tests.same_figures import Difference, Figures, compare, differences, main, record, told

SITES = 3 if thorough() else 1


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Figures]]:
    """All samples when thorough, one of them every day."""
    folder = tmp_path_factory.mktemp("figures")
    with pytest.MonkeyPatch.context() as patch:
        if not thorough():
            (folder / "one").mkdir()
            for ending in ("geojson", "tif"):
                shutil.copy(same_figures.SAMPLES / f"juniper_bench.{ending}", folder / "one")
            patch.setattr(same_figures, "SAMPLES", folder / "one")
            patch.setattr(same_figures, "VERBS", {"assess": same_figures.VERBS["assess"]})
        yield folder / "now.zip", record(folder / "now.zip", SITES)


def found(before: Any, after: Any) -> list[Difference]:
    return list(differences("a.geojson", before, after))


def test_law_the_same_code_gives_the_same_figures(
    recorded: tuple[Path, Figures], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Recorded by two processes, and asked again of one."""
    file, made = recorded
    monkeypatch.setattr(same_figures, "PROCESSES", 1)
    assert compare(file) == []
    assert len(made) == (3 if thorough() else 1) + SITES
    assert all(told["assess"]["status"] == 0 for told in made.values())


def test_law_figures_are_kept_in_all_digits(recorded: tuple[Path, Figures]) -> None:
    """Six digits would hide what changes by less than 5e-6."""
    dry = [site["assess"]["told"]["slash"]["dry_t"] for site in recorded[1].values()]
    assert [each for each in dry if each and each[1] != float(f"{each[1]:.6g}")]


def spoiled(change: Callable[[dict[str, Any]], None], made: Figures) -> list[Difference]:
    name = "juniper_bench.geojson"
    other = copy.deepcopy(made[name])
    change(other["assess"]["told"])
    return list(differences(name, made[name], other))


def _dry(report: dict[str, Any]) -> None:
    report["slash"]["dry_t"][1] *= 1 + 2e-9


def _verdict(report: dict[str, Any]) -> None:
    report["spots"][1]["checks"][0]["verdict"] = "fine"


def _gone(report: dict[str, Any]) -> None:
    del report["spots"][0]["water"][0]["flow_l_min"]


def _unknown(report: dict[str, Any]) -> None:
    report["burn"]["quench_l"] = None


def _reason(report: dict[str, Any]) -> None:
    report["spots"][0]["checks"][0]["reason"] = "Said otherwise."


def _turned(report: dict[str, Any]) -> None:
    report["spots"].reverse()


@pytest.mark.parametrize(
    ("change", "what", "pattern"),
    [
        (_dry, "number", "assess/told/slash/dry_t/*"),
        (_verdict, "word", "assess/told/spots/*/checks/*/verdict"),
        (_gone, "removed", "assess/told/spots/*/water/*/flow_l_min"),
        (_unknown, "word", "assess/told/burn/quench_l"),
        (_reason, "sentence", "assess/told/spots/*/checks/*/reason"),
        (_turned, "order", "assess/told/spots"),
    ],
)
def test_law_what_changed_is_found_and_nothing_else(
    change: Callable[[dict[str, Any]], None], what: str, pattern: str, recorded: tuple[Path, Figures]
) -> None:
    assert [(one.what, one.pattern) for one in spoiled(change, recorded[1])] == [(what, pattern)]


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        (1.0, 1.0 + 5e-10, []),
        (1.0, 1.0 + 2e-9, ["number"]),
        (3, 3.0, []),
        (1, True, ["word"]),
        (None, 0.0, ["word"]),
        ({"reason": "a"}, {"reason": "b"}, ["sentence"]),
        ({"reason": "a"}, {"reason": None}, ["word"]),
        ({"source": "a"}, {"source": "b"}, ["word"]),
        ({"format": 1}, {"format": 2}, []),
        ([{"id": "a", "x": 1}, {"id": "b", "x": 2}], [{"id": "b", "x": 2}], ["removed"]),
        ([1, 2], [1, 2, 3], ["added"]),
    ],
)
def test_law_kinds_of_difference(before: Any, after: Any, what: list[str]) -> None:
    assert [one.what for one in found(before, after)] == what


def test_law_the_report_names_place_count_and_the_largest_first() -> None:
    before = {"spots": [{"id": name, "lift_m": 1.0} for name in "abc"]}
    after = {"spots": [{"id": name, "lift_m": lift} for name, lift in zip("abc", (1.0, 1.1, 2.0), strict=True)]}
    lines = list(told(found(before, after), most=1))
    assert lines[0] == "number spots/*/lift_m: 2 in 1 sites, the largest by 0.5"
    assert lines[1:] == ["    a.geojson spots/[c]/lift_m: 1.0 → 2.0"]


def test_law_the_command_ends_with_one_where_something_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A recording of one site that is no site (a fault, quickly told), with another exit status written into it."""
    file = tmp_path / "kept"
    (file / "sites").mkdir(parents=True)
    monkeypatch.setattr(same_figures, "PROCESSES", 1)
    name = write_site(file / "sites", 59).name
    made = same_figures.figures_of(file / "sites")
    assert made[name]["assess"]["status"] == 2
    kept = file / "figures.json"
    kept.write_text(json.dumps(made))
    assert main(["compare", str(file)]) == 0
    made[name]["assess"]["status"] = 0
    kept.write_text(json.dumps(made))
    assert main(["compare", str(file)]) == 1
    assert "assess/status" in capsys.readouterr().out
    assert main(["compare", str(file), "--except", "*/status"]) == 0


def test_law_a_number_names_a_site(tmp_path: Path) -> None:
    folders = [tmp_path / name for name in "abc"]
    for folder, seed in zip(folders, (1, 1, 2), strict=True):
        folder.mkdir()
        write_site(folder, 1, seed)
    one, same, other = ((folder / "random_001.geojson").read_bytes() for folder in folders)
    assert one == same != other
    assert (folders[0] / "random_001.tif").read_bytes() == (folders[1] / "random_001.tif").read_bytes()


def test_refuses_to_write_over_a_recording(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    with pytest.raises(SystemExit, match="there already"):
        record(tmp_path / "kept", 0)
    with pytest.raises(SystemExit, match="no recording"):
        compare(tmp_path / "other")
