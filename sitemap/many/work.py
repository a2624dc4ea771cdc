"""What is done with one site of many, in a process of its own: what goes wrong with it stays with it."""

from __future__ import annotations

import datetime as dt
import functools
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeGuard

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadFile, PitsteadError
from sitemap.many.row import SiteRow, row_of
from sitemap.opened import Opened, opened
from sitemap.reasons import reason
from sitemap.slash.kept import forget
from sitemap.telling import tell


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
    """Assess one site, write its plan where one is wanted; nothing that is wrong with it is raised.

    What was remembered of it goes with it: a thousand sites take no more memory than the largest of them.
    """
    try:
        return _done(task)
    finally:
        forget_the_site()


def forget_the_site() -> None:
    """Empty every bounded memory of the program: what is bounded is of a site, what is of the tables has no bound."""
    forget()
    modules = [module for name, module in sys.modules.items() if name.startswith("sitemap.")]
    for remembering in {value for module in modules for value in vars(module).values() if _is_bounded(value)}:
        remembering.cache_clear()


def _is_bounded(value: object) -> TypeGuard[functools._lru_cache_wrapper[object]]:
    return isinstance(value, functools._lru_cache_wrapper) and value.cache_parameters()["maxsize"] is not None


def _done(task: Task) -> Outcome:
    spoken = ("metric", "en")  # until it is known what the site speaks
    try:
        found = opened(task.path)
        spoken = found.site.units, found.site.language
        assessment = assess(found.site, found.terrain, on=_date(task, found), today=task.today)
        if task.plan is not None:
            _write(task, task.plan, assessment, found)
        return Outcome(
            task.path, row_of(assessment, str(task.path)), tuple(tell(each, *spoken) for each in found.faults)
        )
    except PitsteadError as error:
        return Outcome(task.path, None, tuple(error.told(*spoken).splitlines()))
    except Exception as error:
        fault = reason("command.program", path=str(task.path), kind=type(error).__name__, why=str(error))
        return Outcome(task.path, None, (tell(fault, *spoken),))


def _date(task: Task, found: Opened) -> dt.date | None:
    return task.on or found.site.section("season").date("date")


def _write(task: Task, out: Path, assessment: Assessment, found: Opened) -> None:
    from sitemap.plan.contents import ALL
    from sitemap.plan.papers import write_plan
    from sitemap.plan.pdf import forget

    try:
        out.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadFile(reason("command.folder", path=str(out.parent), why=error.strerror or str(error))) from error
    write_plan(assessment, out, task.paper, task.sheets or ALL, task.language, found.photos)
    if out.suffix.lower() == ".pdf":
        forget()  # the next is of another site
