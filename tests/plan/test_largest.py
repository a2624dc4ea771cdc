"""Of many heaps the papers print the largest; every one stands in a table."""

import csv
import io

from sitemap.assessment import Assessment, assess
from sitemap.plan.largest import MOST, heaps_table, printed
from sitemap.units import reported
from tests.benchmarks.bench_heaps import ON, site_of


def many(count: int) -> Assessment:
    return assess(site_of(count), on=ON)


def test_law_few_heaps_are_all_printed() -> None:
    few = many(MOST)
    assert (printed(few), heaps_table(few)) == (few.slash.items, None)


def test_law_of_many_none_that_is_printed_is_smaller_than_one_that_is_not() -> None:
    a = many(MOST + 20)
    shown = printed(a)
    left = [item.large_t or 0.0 for item in a.slash.items if item not in shown]
    assert len(shown) < MOST
    assert min(item.large_t or 0.0 for item in shown) >= max(left)
    rows = list(csv.DictReader(io.StringIO((heaps_table(a) or b"").decode("utf-8-sig"))))
    assert [row["name"] for row in rows] == [item.name for item in a.slash.items]
    low, likely, high = a.slash.items[3].dry_t.triple()
    found = [rows[3][f"dry_t_{end}"] for end in ("low", "likely", "high")]
    assert found == [str(reported(each)) for each in (low, likely, high)]
