"""Rows of many sites: what burns when, who wants the same thing, and what is written of them."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path
from types import SimpleNamespace

import pytest

from sitemap.errors import BadFile, BadValue
from sitemap.many import kept, run, work
from sitemap.many.clashes import clashes
from sitemap.many.command import _lines
from sitemap.many.days import burning
from sitemap.many.files import csv_bytes, writable
from sitemap.many.found import several, site_files
from sitemap.many.kept import KeptSite
from sitemap.many.row import KilnRow, SiteRow
from sitemap.many.work import Outcome, Task, done
from sitemap.opened import opened
from tests.many.test_many import SAMPLES, TODAY, row_like

FIRST = dt.date(2026, 12, 1)


def day(number: int) -> dt.date:
    return dt.date(2026, 12, number)


def full_row() -> SiteRow:
    """A row in which everything is known."""
    return dataclasses.replace(
        row_like("A", (2, 5, 3)),
        on=day(2),
        permit_ends=day(9),
        fits="fits",
        lon=10.0,
        lat=45.0,
        kilns=(
            KilnRow("K1", "may be lit", "", None, None),
            KilnRow("K2", "not yet", "Ask.", 10.0, 45.0),
            KilnRow("K3", "not here", "", 10.0, 45.0),
        ),
        dry_t=(1.0, 2.0, 3.0),
        batches=(4.0, 5.4, 6.0),
        missing=("One.", "Two."),
        leader="Ada",
    )


@pytest.mark.parametrize(("days", "there"), [(1, [1]), (2, [1, 2]), (4, [1, 2, 4]), (5, [1, 2, 4, 5, 5])])
def test_law_a_span_of_days_holds_its_first_and_its_last(days: int, there: list[int]) -> None:
    rows = (row_like("A", (5, 1, 6)), row_like("B", (2, 4, 5, 30)))
    found = burning(rows, FIRST, days)
    assert [each.day.day for each in found] == there
    assert [each.site.key for each in found if each.day == day(5)] == ["A", "B"][: there.count(5)]


def test_law_gear_is_named_once_on_a_day() -> None:
    row = dataclasses.replace(row_like("A", (1,)), gear=(("pumps", "Big"), ("tanks", "Big"), ("kilns", "Bin")))
    assert burning((row,), FIRST, 1)[0].gear == ("Big", "Bin")


def test_law_clashes_come_by_day_and_a_site_does_not_clash_with_itself() -> None:
    rows = (
        row_like("A", (7, 4, 3), "Pump of Ada", "Ada"),
        row_like("B", (3,), "x", "ADA "),
        row_like("C", (4, 7), "pump  of ada", " "),
        row_like("A", (9,), "Loader", " "),
        row_like("A", (9,), "Loader", " "),
        row_like("D", (3,), "kiln12", " "),
        row_like("E", (3,), "kiln12", " "),
    )
    found = [(clash.kind, clash.name, [each.day for each in clash.days], clash.sites) for clash in clashes(rows)]
    assert found == [("leader", "Ada", [3], ("A", "B")), ("machines", "Pump of Ada", [4, 7], ("A", "C"))]


def test_law_the_last_day_and_the_kilns_that_may_be_lit_are_counted() -> None:
    row = full_row()
    assert (row.last_burn_day, row.may_be_lit) == (day(5), 1)
    assert (row_like("A").last_burn_day, row_like("A").may_be_lit) == (None, 0)


def test_law_a_table_has_what_is_known_and_nothing_where_nothing_is() -> None:
    outcomes = [
        Outcome(Path("a"), full_row(), ()),
        Outcome(Path("b"), None, ("Why.", "Also.")),
        Outcome(Path("c"), row_like("C"), ()),
    ]
    known, failed, bare = csv.DictReader(io.StringIO(csv_bytes(outcomes).decode("utf-8-sig")))
    assert {key: value for key, value in known.items() if value} == {
        "file": "a",
        "site": "A",
        "lon": "10.0",
        "lat": "45.0",
        "burn_date": "2026-12-02",
        "kilns": "3",
        "may_be_lit": "1",
        "decisions": "K1: may be lit; K2: not yet (Ask); K3: not here",
        "last_burn_day": "2026-12-05",
        "permit_ends": "2026-12-09",
        "fits": "fits",
        **{f"dry_t_{end}": f"{figure}.0" for end, figure in (("low", 1), ("likely", 2), ("high", 3))},
        **{f"batches_{end}": figure for end, figure in (("low", "4.0"), ("likely", "5.4"), ("high", "6.0"))},
        "missing": "2",
        "missing_what": "One. Two.",
    }
    assert {key: value for key, value in failed.items() if value} == {"file": "b", "faults": "Why. Also."}
    assert {key: value for key, value in bare.items() if value} == {
        "file": "c",
        "site": "C",
        "kilns": "0",
        "may_be_lit": "0",
        "fits": "not known",
        "missing": "0",
    }


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\tb", "\rc"])
def test_law_what_begins_a_formula_is_marked_as_text(text: str) -> None:
    """The signs a spreadsheet begins a formula with (OWASP, CSV injection; S)."""
    table = csv_bytes([Outcome(Path("a"), row_like(text), ())]).decode("utf-8-sig")
    assert next(csv.DictReader(io.StringIO(table, newline="")))["site"] == f"'{text}"


def test_law_the_lines_stand_under_their_heads_and_say_what_is_not_known() -> None:
    lines = list(_lines([Outcome(Path("a"), full_row(), ()), Outcome(Path("b/c.zip"), row_like(""), ())]))
    head, known, bare = lines
    starts = [
        head.index(word) for word in ("Site", "Burn date", "Last day", "Permit", "May be", "Dry", "Batches", "Miss")
    ]
    cut = [[line[a:b].strip() for a, b in zip(starts, [*starts[1:], None], strict=True)] for line in (known, bare)]
    assert cut[0] == ["A", "2026-12-02", "2026-12-05", "2026-12-09", "1 of 3", "2 t", "5", "2"]
    assert cut[1] == ["", *["not known"] * 3, "0 of 0", "not known", "not known", "0"]
    assert starts[1] == len("Site") + 2  # two spaces between columns, none behind the last
    assert all(line == line.rstrip() for line in lines)


def test_law_clashes_and_lost_sites_are_said_below() -> None:
    rows = [dataclasses.replace(row_like(key, (1,), "Loader", "Ada"), name=f"Site {key}") for key in "AB"]
    *_, leads, wanted, lost = _lines(
        [*(Outcome(Path(row.key), row, ()) for row in rows), Outcome(Path("x"), None, ("No.",))]
    )
    assert leads == "2026-12-01: Ada leads on 2 sites: Site A, Site B."
    assert wanted == "2026-12-01: Loader is wanted on 2 sites: Site A, Site B."
    assert lost == "Not worked out: 1 of 3; the reasons stand above."


def test_law_a_name_that_is_there_is_no_pattern_and_a_folder_is_no_file(tmp_path: Path) -> None:
    (tmp_path / "a.geojson").mkdir()
    for name in ("[old].GEOJSON", "b.zip", "c.txt"):
        (tmp_path / name).touch()
    assert [path.name for path in site_files([str(tmp_path)])] == ["[old].GEOJSON", "b.zip"]
    assert site_files([str(tmp_path / "[old].GEOJSON")]) == (tmp_path / "[old].GEOJSON",)
    assert not several([str(tmp_path / "[old].GEOJSON")])
    assert several([str(tmp_path / "?.zip")])
    assert site_files([str(tmp_path / "missing.zip")] * 2) == (tmp_path / "missing.zip",)  # told when it is opened
    for empty in (tmp_path / "a.geojson", tmp_path / "*.txt"):
        with pytest.raises(BadFile, match="holds no site file"):
            site_files([str(empty)])


def test_law_where_a_summary_cannot_stand_is_known_before(tmp_path: Path) -> None:
    for name in ("a.csv", "a.CSV", "a.gpkg"):
        writable(tmp_path / name)
    with pytest.raises(BadFile, match=r"a\.txt"):
        writable(tmp_path / "a.txt")
    with pytest.raises(BadFile, match="none"):
        writable(tmp_path / "none" / "a.csv")


def test_law_no_more_is_taken_on_than_one_that_waits_behind_each_at_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand sites are never all in memory: with one worker two are, and each that is done brings one more."""
    from concurrent.futures import ThreadPoolExecutor

    taken = []

    def tasks() -> Iterator[Task]:
        for number in range(6):
            taken.append(number)
            yield Task(Path(str(number)), None, TODAY)

    monkeypatch.setattr(run, "ProcessPoolExecutor", lambda count, **_: ThreadPoolExecutor(count))
    found = run.outcomes(tasks(), 1, work=lambda task: Outcome(task.path, None, ()))
    for number in range(6):
        at, outcome = next(found)
        assert outcome.path == Path(str(at))
        assert len(taken) <= 2 + number
        assert number or len(taken) == 2
    assert list(found) == []


def test_law_a_fault_of_one_site_is_a_sentence_and_stays_with_it(monkeypatch: pytest.MonkeyPatch) -> None:
    task = Task(SAMPLES / "farm_dam.geojson", None, TODAY)
    assert "none.zip" in done(dataclasses.replace(task, path=Path("none.zip"))).faults[0]

    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(work, "assess", fails)
    outcome = done(task)
    assert outcome.row is None
    assert "ZeroDivisionError" in outcome.faults[0]
    assert "farm_dam.geojson" in outcome.faults[0]


def test_law_a_date_that_is_asked_for_goes_before_the_sites_own(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def noted(*_: object, on: dt.date | None, today: dt.date) -> None:
        asked.append((on, today))
        raise BadValue("enough")

    monkeypatch.setattr(work, "assess", noted)
    own = opened(SAMPLES / "farm_dam.geojson").site.section("season").date("date")
    for on in (None, day(24)):
        done(Task(SAMPLES / "farm_dam.geojson", on, TODAY))
    assert asked == [(own, TODAY), (day(24), TODAY)]


def test_law_whoever_waits_for_kept_sites_hears_the_share_and_the_name(monkeypatch: pytest.MonkeyPatch) -> None:
    site = opened(SAMPLES / "farm_dam.geojson").site
    monkeypatch.setattr(kept, "assess", lambda *_, **__: None)
    monkeypatch.setattr(kept, "row_of", lambda _, link: link)
    told: list[tuple[float, str]] = []
    four = [KeptSite(each, site, None) for each in "abcd"]
    assert kept.rows_of(four, TODAY, lambda share, name: told.append((share, name))) == tuple("abcd")
    assert told == [(share, site.name) for share in (0.0, 0.25, 0.5, 0.75)]


def test_law_a_damaged_raster_of_a_kept_site_counts_as_none(tmp_path: Path) -> None:
    """It is said where the site is open; here its ground is level."""
    raster = tmp_path / "dam.tif"
    raster.write_bytes(b"no raster")
    site = opened(SAMPLES / "farm_dam.geojson").site
    assert kept._ground(KeptSite("a", site, raster)) is None


@pytest.mark.parametrize(("threads", "count"), [({}, 1), ({"one": 1}, 1), ({"one": 2, "two": 3}, 5)])
def test_law_a_cluster_works_with_all_its_threads(
    monkeypatch: pytest.MonkeyPatch, threads: dict[str, int], count: int
) -> None:
    """One at least is counted on: workers may still be on their way."""
    import distributed  # dear to load: only where it is asked

    def client(address: str, timeout: float) -> nullcontext[SimpleNamespace]:
        if address == "nobody":
            raise OSError(f"nobody there in {timeout} s")
        found = nullcontext(SimpleNamespace())
        vars(found).update(get_executor=lambda: nullcontext("pool"), nthreads=lambda: threads)
        return found

    monkeypatch.setattr(distributed, "Client", client)
    with run._executor(None, "somebody") as found:
        assert found == ("pool", count)
    with pytest.raises(BadFile, match="nobody"), run._executor(None, "nobody"):
        pass


def test_law_the_typesetter_lets_go_of_each_plan_it_set(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """What a plan of another form was made by remembers nothing."""
    let_go = []
    site = opened(SAMPLES / "farm_dam.geojson")
    for dear in ("assess", "row_of", "opened"):  # what is set, and of which site, is one
        monkeypatch.setattr(work, dear, lambda *_, **__: site)
    monkeypatch.setattr("sitemap.plan.papers.write_plan", lambda *_: None)
    monkeypatch.setattr("sitemap.plan.pdf.forget", lambda: let_go.append(1))
    for name, times in (("a.PDF", 1), ("a.typ", 1), ("b.pdf", 2)):
        done(Task(SAMPLES / "farm_dam.geojson", None, TODAY, tmp_path / "new" / name))
        assert len(let_go) == times
    assert (tmp_path / "new").is_dir()
    (tmp_path / "file").touch()
    assert "file" in done(Task(SAMPLES / "farm_dam.geojson", None, TODAY, tmp_path / "file" / "a.pdf")).faults[-1]
