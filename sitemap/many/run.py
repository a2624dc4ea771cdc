"""Many tasks over all cores, or over the workers of a Dask scheduler somebody names."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, ProcessPoolExecutor, wait
from contextlib import contextmanager
from itertools import islice
from multiprocessing import get_context
from typing import Any

from sitemap.errors import BadFile
from sitemap.many.work import Outcome, Task, Work, done
from sitemap.reasons import reason

_AHEAD = 2  # tasks for each worker: nobody waits, and a thousand sites are never all in memory


def outcomes(
    tasks: Iterable[Task], workers: int | None = None, scheduler: str | None = None, work: Work = done
) -> Iterator[tuple[int, Outcome]]:
    """What came of every task, as it is done.

    Parameters
    ----------
    tasks : the sites
    workers : processes on this machine, count; None: one for each core
    scheduler : address of a Dask scheduler (`tcp://host:8786`), whose workers see the same files; None: this machine
    work : what is done with each

    Yields
    ------
    its number in the order of the tasks, and its outcome

    Raises
    ------
    BadFile : the scheduler cannot be reached, or its package is not installed
    """
    left = enumerate(tasks)
    with _executor(workers, scheduler) as (executor, count):
        running = {executor.submit(work, task): number for number, task in islice(left, count * _AHEAD)}
        while running:
            ended, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in ended:
                yield running.pop(future), future.result()
            running |= {executor.submit(work, task): number for number, task in islice(left, len(ended))}


@contextmanager
def _executor(workers: int | None, scheduler: str | None) -> Iterator[tuple[Executor, int]]:
    if scheduler is None:
        count = max(1, workers or os.cpu_count() or 1)
        #  Started anew, not forked: the same on every system, and no thread of the caller is torn in half.
        with ProcessPoolExecutor(count, mp_context=get_context("spawn")) as pool:
            yield pool, count
        return
    try:
        from distributed import Client
    except ImportError as error:
        raise BadFile(reason("command.no_cluster")) from error
    try:
        client: Any = Client(scheduler, timeout=10)
    except (OSError, ValueError) as error:
        raise BadFile(reason("command.no_scheduler", address=scheduler, why=str(error))) from error
    with client, client.get_executor() as pool:
        yield pool, max(1, sum(client.nthreads().values()))
