"""Odd values through every page: a sentence at most, and nothing lost. One site every day, all when thorough."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest

from sitemap.site.file import parse_site
from tests.properties import thorough
from tests.test_odd_values import together, with_values
from tests.views.conftest import PAGES, Visit, store

pytestmark = pytest.mark.usefixtures("own_side_open")
#  A number where names are expected made a traceback once.
STUMBLED = ((("records", "log", "heaps"), 5.5), (("records", "links", "bucket_pump"), 5.5))


def test_law_pages_stand_whatever_is_typed(visit: Callable[..., Visit]) -> None:
    """A fault of the program on a page is raised in the tests (`conftest.fresh_data`)."""
    sites = together()
    for odd in (STUMBLED, *sites) if thorough() else ((*STUMBLED, *Random(7).sample(sites, 1)[0]),):
        site = parse_site(with_values(odd))
        tab = visit(store().create(site).link)
        for page in PAGES:
            assert not tab.go(page).app.exception, (page, odd)
        assert (tab.site.features, tab.site.members) == (site.features, site.members), odd
