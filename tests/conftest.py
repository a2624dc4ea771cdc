"""Settings every test shares, and which tests go to one worker together."""

import gc
import os
from collections.abc import Generator
from pathlib import Path, PurePosixPath

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

from tests import properties

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None

gc.disable()  # until all is loaded: next to nothing of it is let go again
properties.use()
BROWSER = "tests/browser"  # its files share a browser and the servers of the pages
#  They make two rows, about as long as each other: a file that is not named here goes to the second.
FIRST_ROW = ("app", "letters", "looks", "place", "walk")


class Rows(LoadScopeScheduling):
    """The tests of a file go to one worker, so that what they share is made once; those with a browser go to two."""

    def _split_scope(self, nodeid: str) -> str:
        path = PurePosixPath(nodeid.partition("::")[0])
        if str(path.parent) != BROWSER:
            return str(path)
        return f"{BROWSER}, row {1 if path.stem.removeprefix('test_') in FIRST_ROW else 2}"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> Rows:
    """Own rows, as the marks for groups do nothing with pytest 9."""
    return Rows(config, log)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Of several workers one loads all first, and the others when it is done: in a fresh copy each module is then
    compiled once, not by each of them, a third of that work. Where files cannot be locked all load at once."""
    if fcntl is None or "PYTEST_XDIST_WORKER" not in os.environ:
        return (yield)
    with Path(__file__).open() as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            fcntl.flock(lock, fcntl.LOCK_SH)
        return (yield)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests with a browser begin first: they make the longest rows."""
    items.sort(key=lambda item: not item.nodeid.startswith(BROWSER))


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """What stands by now stays to the end: nobody need look through it for what is no longer used, and seldom later."""
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()
