"""All kept sites on one page: what burns when, and what two of them want on one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from sitemap.site.model import Site
from sitemap.telling import day_text
from tests.views.conftest import Visit, store

Open = Callable[..., Visit]


def dated(site: Site, name: str, on: dt.date) -> Site:
    """The site under another name, burned from a day on, with a permit until long after."""
    season = dict(site.member["season"]) | {"date": on.isoformat()}
    permit = dict(site.member["permit"]) | {"from": on.isoformat(), "to": (on + dt.timedelta(90)).isoformat()}
    return site.with_member("name", name).with_member("season", season).with_member("permit", permit)


def test_law_every_kept_site_stands_with_its_days_and_what_two_want_at_once(visit: Open) -> None:
    tab = visit()
    soon = dt.date.today() + dt.timedelta(days=3)
    names = ("Upper <b>landing</b>", "Lower landing")
    for name in names:
        store().create(dated(tab.site, name, soon))
    tab.go("sites")
    assert "Lower landing" in tab.words
    assert day_text(soon) not in tab.words  # nothing is worked out before it is asked for
    tab.app.button(key="sites.work").click().run()
    assert not tab.app.exception
    for name in names:
        assert name in tab.words
    assert day_text(soon) in tab.words
    machine = tab.site.equipment("machines")[0].name
    assert "two sites want the same" in tab.words
    assert tab.words.count(machine) > len(names)
    rows = tab.words.count("of 3")
    assert rows >= len(names)


def test_law_a_sample_left_as_it_came_stands_among_no_sites_of_ones_own(visit: Open) -> None:
    tab = visit()
    came = tab.site
    store().create(came)
    changed = store().create(came).link
    tab.go("sites")
    assert "Left out: 2 of the samples" in tab.words
    store().save(changed, came, came.with_member("notes", [{"text": "dry"}]), "Note")
    tab.go("sites")
    assert "Left out: 1 of the samples" in tab.words
    assert tab.app.button(key=f"sites.open.{changed}").label.startswith(came.name.split("(")[0])
