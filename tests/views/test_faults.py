"""What goes wrong is said in the units and the language of the site somebody works on."""

from __future__ import annotations

from sitemap.errors import BadFile, BadSiteFile, BadStore, BadValue
from sitemap.reasons import Quantity, reason
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Site
from sitemap.views.faults import fault_text, unchanged_text

SPANISH = Site(member=FrozenDict({"units": "us", "language": "es"}))
ENGLISH = Site(member=FrozenDict({"units": "metric"}))


def test_law_a_fault_is_told_in_the_language_and_units_of_the_site() -> None:
    too_low = BadValue(reason("errors.above_zero", what="L1", limit="0", value=Quantity(-3.048, "m")))
    assert fault_text(too_low, SPANISH) == "L1 debe ser mayor que 0; es −10 pies. Corríjalo."
    assert fault_text(too_low, ENGLISH) == "L1 must be above 0; it is −3.05 m. Correct it."


def test_law_what_was_not_brought_in_says_that_the_site_is_as_it_was() -> None:
    bad = BadFile(reason("files.no_geojson", name="a.json"))
    assert unchanged_text(bad, SPANISH).startswith("a.json no es GeoJSON.")
    assert unchanged_text(bad, SPANISH).endswith("El sitio queda como estaba.")
    assert unchanged_text(bad, ENGLISH).endswith("The site is unchanged.")


def test_law_every_fault_of_a_site_file_is_told_a_line_each_and_what_is_inside_a_fault_too() -> None:
    bad = BadSiteFile([reason("files.no_features"), reason("files.no_zip")])
    assert len(fault_text(bad, SPANISH).split("\n")) == len(fault_text(bad, ENGLISH).split("\n")) == 2
    full = BadStore(reason("store.not_kept", folder="/data", wrong=reason("store.disk_full")))
    assert "el disco está lleno" in fault_text(full, SPANISH)
