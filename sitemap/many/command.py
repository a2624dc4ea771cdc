"""`assess` and `plan` of many sites from the command line: a line for each as it is done, then what they come to."""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from sitemap.errors import BadFile
from sitemap.many.clashes import LEADER, clashes
from sitemap.many.files import writable, write_summary
from sitemap.many.found import site_files
from sitemap.many.row import SiteRow
from sitemap.many.run import outcomes
from sitemap.many.work import Outcome, Task
from sitemap.reasons import reason
from sitemap.units import text


def run_many(options: argparse.Namespace, on: dt.date | None, today: dt.date) -> int:
    """Work out many sites; returns the exit status: 2 where one of them could not be worked out.

    options : sites, out, workers, scheduler; of `plan` also summary, sheets, paper, language
    on : burn date asked for, or None; today : the day somebody looks
    """
    paths = site_files(options.sites)
    plans = options.verb == "plan"
    tasks = [_task(options, path, on, today, Path(options.out) if plans else None) for path in paths]
    summary = options.summary if plans else options.out
    if summary:
        writable(Path(summary))
    found: list[Outcome | None] = [None] * len(tasks)
    for done, (number, outcome) in enumerate(outcomes(tasks, options.workers, options.scheduler), 1):
        found[number] = outcome
        print(f"{done}/{len(tasks)} {outcome.path}: {_said(outcome)}", file=sys.stderr)
        for fault in outcome.faults:
            print(f"  {fault}", file=sys.stderr)
    every = [outcome for outcome in found if outcome is not None]
    print("\n".join(_lines(every)))
    if summary:
        write_summary(every, Path(summary))
        print(f"Written: {summary}")
    if plans:
        print(f"Written: {sum(outcome.row is not None for outcome in every)} plans in {options.out}")
    return 2 if any(outcome.row is None for outcome in every) else 0


def _task(options: argparse.Namespace, path: Path, on: dt.date | None, today: dt.date, folder: Path | None) -> Task:
    if folder is None:
        return Task(path, on, today)
    if folder.suffix:
        raise BadFile(reason("command.is_file", path=str(folder)))
    #  A folder for each folder: two sites may have one file name.
    out = folder / f"{'-'.join((*path.parent.parts[-1:], path.stem)) if path.parent.parts else path.stem}.pdf"
    sheets = tuple(key.strip() for key in options.sheets.split(",")) if options.sheets else ()
    return Task(path, on, today, out, sheets, options.paper, options.language)


def _said(outcome: Outcome) -> str:
    row = outcome.row
    if row is None:
        return "not worked out"
    if not row.kilns:
        return "no kiln spot"
    return ", ".join(f"{kiln.name} {kiln.word}" for kiln in row.kilns)


def _lines(found: Sequence[Outcome]) -> Iterator[str]:
    rows = [outcome.row for outcome in found if outcome.row is not None]
    head = ("Site", "Burn date", "Last day", "Permit ends", "May be lit", "Dry slash", "Batches", "Missing")
    cells = [head, *(_cells(row) for row in rows)]
    widths = [max(len(each[column]) for each in cells) for column in range(len(head))]
    for each in cells:
        yield "  ".join(cell.ljust(width) for cell, width in zip(each, widths, strict=True)).rstrip()
    names = {row.key: row.name for row in rows}
    for clash in clashes(rows):
        who = ", ".join(names[key] for key in clash.sites)
        what = f"{clash.name} leads" if clash.kind == LEADER else f"{clash.name} is wanted"
        yield f"{clash.days[0].isoformat()}: {what} on {len(clash.sites)} sites: {who}."
    lost = len(found) - len(rows)
    if lost:
        yield f"Not worked out: {lost} of {len(found)}; the reasons stand above."


def _cells(row: SiteRow) -> tuple[str, ...]:
    def day(each: dt.date | None) -> str:
        return "not known" if each is None else each.isoformat()

    return (
        row.name or Path(row.key).stem,
        day(row.on),
        day(row.last_burn_day),
        day(row.permit_ends),
        f"{row.may_be_lit} of {len(row.kilns)}",
        "not known" if row.dry_t is None else text(row.dry_t[1], "t", row.units),
        "not known" if row.batches is None else f"{row.batches[1]:.0f}",
        str(len(row.missing)),
    )
