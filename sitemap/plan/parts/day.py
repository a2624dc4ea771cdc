"""The day itself: boxes to tick before lighting, rows of the log, and who signs."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Blanks, Boxes, Paragraph, Section, Table
from sitemap.plan.say import day, name_of, spots_in_use, spots_to_light
from sitemap.units import text
from sitemap.wording import kilns_called

LOG_ROWS = 6  # at least; empty rows to fill by hand
TICKS = (
    ("ban", "No burn ban today: asked whom"),
    ("permit", "Permit is here, its conditions read; the authority was told before lighting, whom"),
    ("forecast", "Forecast read to cold check 1, and 72 h on: no front, no strong wind"),
    ("weather", "Wind, gust, humidity, temperature read here and inside the limits"),
    ("neighbours", "Neighbours and smoke places told, whom"),
    ("crew", "Two adults at least; everybody briefed; cotton or wool, boots, gloves, eye cover, drinking water"),
    ("ring", "Bare ring made, loose fuel raked back, branches cleared, heaps looked through for animals"),
    ("water", "Quench water and reserve at the kiln, pump run, bucket test written down, nozzle throws"),
    ("ways_out", "Ways out walked, vehicles facing out, gate open, radio or telephone tried"),
    ("machine", "Machine stand and power line looked at with the driver"),
    ("lookout", "Lookout placed downwind, knows the patrol distance"),
)


def before_lighting(a: Assessment) -> Section:
    """Boxes that are empty again the next day: a tick counts only where its own day is the burn date."""
    ticked = {}
    for entry in a.source.records("ticks"):
        who, when, what = entry.text("who"), entry.text("when"), entry.text("what")
        if what and who and when and a.on is not None and when.strip()[:10] == a.on.isoformat():
            ticked[what.strip().casefold().replace(" ", "_")] = f"{who}, {when}"
    rows = tuple((words, ticked.get(what, "")) for what, words in TICKS)
    note = Paragraph(
        f"Ticks hold for {day(a.on)} alone: name and time beside each. The next day they are all empty again.", "small"
    )
    return Section("before", "Before lighting", (note, Boxes(rows)))


def log(a: Assessment) -> Section:
    """What was logged, and rows to fill by hand."""
    heads = (
        "Date",
        "Kiln",
        "Lit",
        "Water on",
        "No steam",
        "Buckets of char",
        "Water used",
        "Wind, gust, humidity",
        "Said",
    )
    kept = []
    for entry in a.source.records("log"):
        when, buckets, litres = entry.date("date"), entry.number("buckets"), entry.number("water_l")
        told = name_of(a, entry.text("kiln")) if entry.text("kiln") else ""
        kept.append(
            (
                when.isoformat() if when else "",
                told,
                *("",) * 3,
                f"{buckets:g}" if buckets is not None else "",
                text(litres, "l", a.source.units) if litres is not None else "",
                "",
                entry.text("text") or "",
            )
        )
    rows = (*kept, *(("\u00a0",) * len(heads) for _ in range(max(LOG_ROWS, len(spots_in_use(a)) + 2))))
    return Section("log", "Log", (Table("", heads, rows, (10, 9, 8, 9, 9, 10, 10, 16, 22), small=True, hand=True),))


def sign(a: Assessment) -> Section:
    """Who answers for it."""
    leader = a.source.section("crew").text("leader")
    blanks = Blanks(
        (
            f"In charge{f' ({leader})' if leader else ''}: I have read this plan and walked the site, name, date, time",
            "Officer or authority: name, date, permit",
            "Owner of the ground: name, date",
            "Closed: every kiln cold, name, date",
        )
    )
    lit = [spot.name for spot in spots_to_light(a)]
    if not lit:
        return Section(
            "sign", "Signed", (Paragraph("No kiln may be lit as the site stands: there is nothing to sign."),)
        )
    return Section("sign", "Signed", (Paragraph(f"Signed for {kilns_called(lit)}, {day(a.on)}."), blanks))
