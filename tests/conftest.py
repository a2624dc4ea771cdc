"""Settings every test shares, and which tests go to one worker together."""

import gc
from pathlib import PurePosixPath

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

from tests import properties

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
