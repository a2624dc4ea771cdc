"""Work in a process of its own: what comes of it, what it says meanwhile, and that it can be ended."""

from __future__ import annotations

import math
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Client, Connection, Listener

import pytest

from sitemap.apart import Work
from sitemap.errors import BadFile, BadValue
from sitemap.reasons import Quantity, reason


def held_up(address: tuple[str, int], progress: Callable[..., None] | None = None) -> int:
    """Says where it runs, and goes on when it is told to."""
    if progress is not None:
        progress(0.5, "half")
    with Client(address) as caller:
        caller.send(os.getpid())
        caller.recv()
    return os.getpid()


def refused() -> None:
    raise BadValue(reason("errors.above_zero", what="Lift", limit="0", value=Quantity(-3.048, "m")))


@contextmanager
def waiting(listener: Listener) -> Iterator[tuple[Connection, int]]:
    """The work that has begun, and the number of its process."""
    with listener.accept() as at_work:
        yield at_work, at_work.recv()


def lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except OSError:
        return False
    return True


def test_law_work_is_done_in_another_process_which_serves_again() -> None:
    with Listener(("127.0.0.1", 0)) as listener:
        work = Work(held_up, listener.address, tells=True)
        with waiting(listener) as (at_work, process):
            assert process != os.getpid()
            assert not work.over()
            assert work.begun
            at_work.send("go on")
            assert work.result() == process
            assert work.last == (0.5, "half")
        again = Work(held_up, listener.address)
        with waiting(listener) as (at_work, next_process):
            at_work.send("go on")
            assert again.result() == next_process == process


def test_law_work_that_is_stopped_is_gone_and_the_next_begins_anew() -> None:
    with Listener(("127.0.0.1", 0)) as listener:
        work = Work(held_up, listener.address)
        with waiting(listener) as (at_work, process):
            work.stop()
            with pytest.raises(EOFError):
                at_work.recv()  # it ended
        with pytest.raises(BadFile, match="It was stopped"):
            work.result()
        assert not lives(process)
    assert Work(math.sqrt, 16).result() == 4


def test_law_a_process_that_ended_while_it_waited_is_not_asked() -> None:
    first = Work(os.getpid).result()
    os.kill(first, signal.SIGKILL)
    while lives(first):
        with suppress(ChildProcessError):
            os.waitpid(first, 0)
    assert Work(os.getpid).result() != first


def test_law_a_refusal_keeps_its_reason_and_a_fault_its_name() -> None:
    with pytest.raises(BadValue) as told:
        Work(refused).result()
    assert told.value.told("us") == "Lift must be above 0; it is −10 ft. Correct it."
    with pytest.raises(RuntimeError, match="ValueError"):
        Work(math.sqrt, -1).result()
    with pytest.raises(RuntimeError) as long:
        Work(os.stat, "x" * 1000).result()  # POSIX names end at 255
    assert len(str(long.value)) == 200
    with pytest.raises(BadFile, match="too little memory"):
        Work(os._exit, 9).result()
