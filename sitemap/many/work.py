"""What is done with one site of many, in a process of its own: what goes wrong with it stays with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadFile, BadSiteFile, PitsteadError
from sitemap.many.row import SiteRow, row_of
from sitemap.opened import Opened, opened


@dataclass(frozen=True)
class Task:
    """One site to be worked out.

    path : of its file; on : burn date, None for the site's own; today : the day somebody looks
    plan : where its plan is written, or None; sheets, paper, language : of the plan, as `write_plan` takes them
    """

    path: Path
    on: dt.date | None
    today: dt.date
    plan: Path | None = None
    sheets: tuple[str, ...] = ()
    paper: str | None = None
    language: str | None = None


@dataclass(frozen=True)
class Outcome:
    """What came of one site: its row, or why there is none.

    faults : a sentence each, also beside a row, of what could be left out
    """

    path: Path
    row: SiteRow | None
    faults: tuple[str, ...]


Work = Callable[[Task], Outcome]


def done(task: Task) -> Outcome:
    """Assess one site, write its plan where one is wanted; nothing that is wrong with it is raised."""
    try:
        found = opened(task.path)
        assessment = assess(found.site, found.terrain, on=_date(task, found), today=task.today)
        if task.plan is not None:
            _write(task, task.plan, assessment, found)
        return Outcome(task.path, row_of(assessment, str(task.path)), found.faults)
    except BadSiteFile as error:
        return Outcome(task.path, None, tuple(str(fault) for fault in error.faults))
    except PitsteadError as error:
        return Outcome(task.path, None, (str(error),))
    except Exception as error:
        return Outcome(task.path, None, (f"{task.path}: a fault of the program, {type(error).__name__}: {error}.",))


def _date(task: Task, found: Opened) -> dt.date | None:
    return task.on or found.site.section("season").date("date")


def _write(task: Task, out: Path, assessment: Assessment, found: Opened) -> None:
    from sitemap.plan import ALL, write_plan

    try:
        out.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadFile(f"{out.parent} cannot be made: {error.strerror or error}. Choose another folder.") from error
    write_plan(assessment, out, task.paper, task.sheets or ALL, task.language, found.photos)
