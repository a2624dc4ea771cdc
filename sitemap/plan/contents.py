"""The plan of a site on a day: its heads in order, own order and own words."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import BurnPlan, MapHere, Paragraph, Section
from sitemap.plan.parts import afterwards, day, distances, figures, kilns, open_points, page_one, people, slash, water
from sitemap.plan.say import day as written


def plan_of(a: Assessment) -> BurnPlan:
    """What the plan says.

    Parameters
    ----------
    a : of the site on the burn date

    Returns
    -------
    BurnPlan; the same assessment gives the same plan, word for word
    """
    sections = (
        page_one.page_one(a),
        _map(),
        kilns.kilns(a),
        slash.slash(a),
        distances.distances(a),
        water.water(a),
        water.stopping_early(a),
        people.people(a),
        people.briefing(a),
        day.before_lighting(a),
        day.log(a),
        day.sign(a),
        afterwards.cold_checks(a),
        afterwards.bags(a),
        open_points.not_known_and_assumed(a),
        afterwards.cautions(a),
        figures.sources(a),
        figures.words(a),
    )
    subtitle = f"Burn-site plan for {written(a.on)}"
    return BurnPlan(a.site.name, subtitle, f"{a.site.name} · {written(a.on)} · {a.made_with}", sections)


def _map() -> Section:
    note = (
        "Dotted, with a length: to the nearest thing of each kiln. Names without room on the map stand in the tables."
    )
    return Section("map", "Map", (MapHere("full"), Paragraph(note, "small")), new_sheet=True)
