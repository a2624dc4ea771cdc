"""What may be said of a batch burned, of a cold check and of bags: few things first, the rest where it is opened."""

from __future__ import annotations

from sitemap.site.attributes import Attribute

_HOUR = "Hours and minutes, 09:30."
EVENTS = (("lit", "lit"), ("fed_last", "fed for the last time"), ("water_on", "water on"), ("out", "raked, no steam"))
CAUSES = (
    ("late", "put in too late"),
    ("thick", "too thick"),
    ("wet", "too wet"),
    ("smothered", "smothered by earth"),
)
PLACES = (("top", "at the top"), ("middle", "in the middle"), ("rim", "along the rim"), ("bottom", "at the bottom"))
WAYS = (("hose", "by hose"), ("haul", "hauled by machine"), ("hand", "carried by hand"))
KILN = Attribute("kiln", "Kiln", "text", suggests="kiln_spot", help="Its kiln spot; or a name of your own.")

LOG = (
    Attribute("date", "Date", "date"),
    KILN,
    Attribute("lit", "Lit at", "text", help=_HOUR),
    Attribute("water_on", "Water on at", "text", help=_HOUR),
    Attribute("buckets", "Buckets of char", low=0, high=100_000),
    Attribute("water_l", "Water used", unit="l", low=0),
    Attribute("text", "What else happened", "text"),
    Attribute("fed_last", "Fed last at", "text", help=_HOUR, main=False),
    Attribute("out", "Raked, no steam at", "text", help=_HOUR, main=False),
    Attribute("heaps", "Wood from", "references", refers_to="features", blank="the heaps it serves", main=False),
    Attribute("heaps_done", "Heaps burned up with it", "references", refers_to="features", main=False),
    Attribute("thickest_cm", "Thickest piece", unit="cm", above=0, high=200, main=False),
    Attribute("moisture_pct", "Moisture of the wood, of dry weight", unit="pct", low=0, high=200, main=False),
    Attribute(
        "fed_kg",
        "Wood weighed in, as it was",
        unit="kg",
        above=0,
        help="With its moisture and the char counted it tells the yield.",
        main=False,
    ),
    Attribute("bucket_kg", "One bucket of dry char weighs", unit="kg", above=0, high=100, main=False),
    Attribute("uncharred", "Uncharred pieces", "integer", low=0, high=10_000, main=False),
    Attribute("uncharred_where", "Most of them lay", "choice", choices=PLACES, main=False),
    Attribute("cause", "Most of them", "choice", choices=CAUSES, main=False),
    Attribute("water_by", "Water came", "choice", choices=WAYS, main=False),
    Attribute("water_machine", "Machine that hauled", "reference", refers_to="machines", main=False),
    Attribute(
        "water_loads",
        "Bucket or tank loads",
        "integer",
        low=0,
        high=10_000,
        help="By hand: buckets, not rounds.",
        main=False,
    ),
    Attribute("water_min", "Minutes for them, first dipped to last poured", unit="min", above=0, high=1440, main=False),
    Attribute("people", "People", "integer", low=0, high=1000, main=False),
    Attribute("wind_m_s", "Wind, highest", unit="m_s", low=0, high=80, main=False),
    Attribute("gust_m_s", "Gust, highest", unit="m_s", low=0, high=120, main=False),
    Attribute("humidity_pct", "Humidity, lowest", unit="pct", low=0, high=100, main=False),
    Attribute("temperature_c", "Temperature, highest", unit="c", low=-60, high=60, main=False),
    Attribute(
        "event",
        "A line of",
        "choice",
        choices=EVENTS,
        help="Lines of one kiln and day make one batch; the next lighting begins another.",
        main=False,
    ),
    Attribute("at", "Time of the line", "text", help=_HOUR, main=False),
)
COLD = (
    KILN,
    Attribute("date", "Date", "date"),
    Attribute("time", "Time", "text", help=_HOUR),
    Attribute("who", "Who looked", "text"),
    Attribute("found", "Found", "choice", choices=(("cold", "cold"), ("warm", "a warm place")), blank="not cold"),
)
BAGS = (
    Attribute("count", "Bags", "integer", low=0, high=100_000, blank="one"),
    KILN,
    Attribute("bagged", "Bagged on", "date"),
    Attribute("litres", "One holds", unit="l", above=0, high=5_000, blank="a bulk bag of {703 L}"),
    Attribute("weight_kg", "One weighs", unit="kg", above=0, high=5_000),
    Attribute("state", "Weighed", "choice", choices=(("dry", "dry"), ("damp", "damp"), ("soaked", "soaked"))),
    Attribute("goes_to", "Stands now, goes to", "text"),
)
