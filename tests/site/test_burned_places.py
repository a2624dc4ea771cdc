"""A batch burned where its kiln stood: a spot moved since leaves its fire behind."""

from __future__ import annotations

import pytest

from sitemap.assessment import assess
from sitemap.site.burned_places import burned_at, places_kept
from sitemap.site.file import parse_site
from sitemap.site.model import Site
from tests.safety.dangerous.afterwards import BURNED, burned
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import lonlat


def rows(site: Site) -> list[tuple[float, float] | None]:
    return [burned_at(row.values) for row in site.records("log")]


@pytest.mark.parametrize("kiln", ["K2", "k2", "k2 "])
def test_law_a_row_keeps_the_place_its_kiln_had_when_it_was_written(kiln: str) -> None:
    before = SafeSite().site()
    written = places_kept(before, burned(SafeSite(), kiln=kiln).site())
    assert rows(written) == [pytest.approx(lonlat(24, 0), abs=1e-7)]
    moved = written.put(written.get("k2").with_geometry({"type": "Point", "coordinates": lonlat(80, 0)}))
    assert rows(places_kept(written, moved)) == rows(written)


def test_law_a_row_given_another_kiln_burned_where_that_one_stands() -> None:
    first, second = (burned(SafeSite(), kiln=name).site() for name in ("K1", "K2"))
    wrong = places_kept(SafeSite().site(), first)
    mended = [{**dict(row), "kiln": "K2"} for row in wrong.member["log"]]
    assert rows(places_kept(wrong, wrong.with_member("log", mended))) == rows(places_kept(SafeSite().site(), second))


def test_law_an_old_row_gets_the_place_the_spot_is_moved_away_from() -> None:
    old = burned(SafeSite(), kiln="K2").site()
    assert rows(old) == [None]
    assert places_kept(old, old.with_member("name", "Other")).get("k2") == old.get("k2")
    gone = places_kept(old, burned(SafeSite().drop("k2"), kiln="K2").site())
    assert rows(gone) == [pytest.approx(lonlat(24, 0), abs=1e-7)]


def test_law_words_and_rows_of_no_kiln_are_left_alone() -> None:
    site = burned(SafeSite(), kiln="K9").with_record("log", date="2026-05-18", text="Rain.").site()
    assert places_kept(SafeSite().site(), site) == site
    bare = parse_site(SafeSite().text())
    assert places_kept(bare, bare) is bare


def test_law_the_burned_place_bars_what_stands_beside_it_wherever_its_spot_is_now() -> None:
    """Also a kiln put where it burned, after the spot moved 100 m on; what stands 60 m from the fire is free of it."""

    def bars(site: SafeSite, kiln: str) -> bool:
        site_, on = site.site(), SafeSite().site().section("season").date("date")
        decision = assess(site_, None, on=on).decision(kiln)
        assert decision is not None
        return any(bar.check == "cold" for bar in decision.because)

    def placed(x: float, y: float) -> SafeSite:
        return SafeSite().top(log=[BURNED | {"kiln": "K2", "seen": {"*": {"at": lonlat(x, y)}}}], cold=[])

    assert bars(placed(24, 0), "k1")
    assert bars(placed(24, 0).move("k2", 100, 0), "k1")
    assert not bars(placed(124, 0), "k1")
    assert bars(placed(124, 0), "k2")  # its own bin has not been proved cold
    assert bars(SafeSite().top(log=[BURNED | {"kiln": "K2"}], cold=[]).move("k2", 100, 0), "k1")  # seen at 24 m
