"""Settings every test shares, and which tests go to one worker together."""

from pathlib import Path

import pytest

from tests import properties

properties.use()
TOGETHER = Path(__file__).parent / "browser"  # its files share a browser and the servers of the pages


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The tests of a file go to one worker, so that what they share is made once; so do all with a browser, and these
    begin first, for they make up the longest row."""
    items.sort(key=lambda item: TOGETHER not in item.path.parents)
    groups: dict[Path, int] = {}
    for item in items:
        path = TOGETHER if TOGETHER in item.path.parents else item.path
        item.add_marker(pytest.mark.xdist_group(str(groups.setdefault(path, len(groups)))))
