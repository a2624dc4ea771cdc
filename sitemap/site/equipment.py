"""Equipment of a site, listed once and referred to by id; and the facts and records in the `site` member."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitemap.site.attributes import Attribute, AttributeType
from sitemap.site.kind import Kind
from sitemap.site.kinds import KINDS
from sitemap.site.log_values import BAGS, COLD, LOG
from sitemap.site.season_values import CLIMATE, CLOSED, FORECAST, FORECAST_HOURS, SEASON, WEATHER_DAYS

_HOLDS = (("yes", "holds water"), ("drips", "drips"), ("no_floor", "has no floor"))


def _list(key: str, label: str, plural: str, says: str, *attributes: Attribute) -> Kind:
    return Kind(key, label, plural, (), "Equipment", says, (*attributes, Attribute("note", "Note", "text", main=False)))


def _opening(side: str, label: str, high: float) -> tuple[Attribute, Attribute]:
    """A size of a kiln at its top and at its bottom; some say it the other way round."""
    top = (f"{side}_top_m", f"top_{side}_m")
    return (
        Attribute(f"{side}_m", f"{label} at the top, inside", unit="m", low=0.05, high=high, also=top),
        Attribute(
            f"{side}_bottom_m",
            f"{label} at the bottom",
            unit="m",
            low=0.05,
            high=high,
            blank="as at the top",
            also=(f"bottom_{side}_m",),
        ),
    )


EQUIPMENT: Mapping[str, Kind] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            _list(
                "kilns",
                "Kiln",
                "Kilns",
                "An open-top steel kiln.",
                Attribute(
                    "shape",
                    "Shape",
                    "choice",
                    choices=(("box", "box"), ("trough", "trough"), ("frustum", "cut cone"), ("ring", "ring")),
                ),
                *_opening("length", "Length", 20),
                *_opening("width", "Width", 10),
                *_opening("diameter", "Diameter", 10),
                Attribute("height_m", "Depth inside", unit="m", low=0.05, high=5, also=("depth_m",)),
                Attribute("holds_water", "Holds water", "choice", choices=_HOLDS, blank="taken as dripping"),
                Attribute("piece_limit_cm", "Thickest piece it takes", unit="cm", above=0, high=60, blank="{15 cm}"),
                Attribute("has_floor", "Has a floor", "flag", main=False),
                Attribute("plate_thickness_mm", "Plate thickness", unit="mm", above=0, high=50, main=False),
                Attribute("steel_mass_kg", "Weight of the steel", unit="kg", above=0, high=20_000, main=False),
                Attribute("leaks_l_min", "Leaks", unit="l_min", low=0, main=False),
                Attribute(
                    "fill_fraction",
                    "Char at the end, share of the volume",
                    unit="fraction",
                    above=0,
                    high=1,
                    main=False,
                ),
                Attribute("feed_kg_h", "Feed rate measured, dry wood", unit="kg_h", low=1, main=False),
                Attribute("feeders", "People feeding it", "integer", low=0, high=50, main=False),
                Attribute("machine_feed_kg_h", "A machine feeds it, dry wood", unit="kg_h", low=1, main=False),
                Attribute("count", "How many of it", "integer", low=1, high=100, blank="one", main=False),
            ),
            _list(
                "pumps",
                "Pump",
                "Pumps",
                "A pump by its plate.",
                Attribute("max_head_m", "Greatest head on the plate", unit="m", above=0, high=1000),
                Attribute("max_flow_l_min", "Greatest flow on the plate", unit="l_min", above=0, high=20_000),
                Attribute(
                    "worn",
                    "State",
                    "choice",
                    choices=(("new", "as new"), ("worn", "worn")),
                    blank="worn, where only the plate is known",
                ),
                Attribute("suction_bore_mm", "Bore of the suction hose", unit="mm", low=1, high=300),
                Attribute("suction_length_m", "Length of the suction hose", unit="m", above=0, high=50, main=False),
                Attribute("curve", "Curve: flow, head", "curve", main=False),
                Attribute(
                    "rated_head_m", "Rated head, if its label says rated", unit="m", above=0, high=1000, main=False
                ),
                Attribute(
                    "rated_flow_l_min",
                    "Rated flow, if its label says rated",
                    unit="l_min",
                    above=0,
                    high=20_000,
                    main=False,
                ),
                Attribute("coupling_mm", "Coupling", unit="mm", above=0, high=300, main=False),
            ),
            _list(
                "hoses",
                "Hose",
                "Hoses",
                "Hose of one size.",
                Attribute("bore_mm", "Bore", unit="mm", low=1, high=300),
                Attribute(
                    "lengths_m",
                    "Lengths on hand, one number each",
                    "numbers",
                    unit="m",
                    above=0,
                    high=5000,
                    help="20, 20, 20 or 20 20 20.",
                ),
                Attribute("rated_kpa", "Rated pressure", unit="kpa", above=0, high=10_000),
                Attribute("roughness_c", "Smoothness (Hazen–Williams C)", low=40, high=160, blank="140", main=False),
                Attribute("coupling_mm", "Coupling", unit="mm", above=0, high=300, main=False),
                Attribute("wear", "State", "choice", choices=(("new", "as new"), ("worn", "worn")), main=False),
            ),
            _list(
                "nozzles",
                "Nozzle",
                "Nozzles",
                "What the water leaves through.",
                Attribute("bore_mm", "Bore", unit="mm", low=1, high=150),
                Attribute("rated_flow_l_min", "Rated flow", unit="l_min", above=0, main=False),
                Attribute("rated_pressure_kpa", "At pressure", unit="kpa", above=0, main=False),
                Attribute("open_end", "Open hose end", "flag", main=False),
                Attribute("fog", "Fog nozzle", "flag", main=False),
                Attribute("coupling_mm", "Coupling", unit="mm", above=0, high=300, main=False),
            ),
            _list(
                "machines",
                "Machine",
                "Machines",
                "An excavator, tractor or loader.",
                Attribute("bucket_l", "Bucket, struck", unit="l", above=0, high=20_000),
                Attribute("loaded_km_h", "Speed loaded", unit="km_h", low=0.1, high=60, blank="{1.5 km/h} on slash"),
                Attribute("empty_km_h", "Speed empty", unit="km_h", low=0.1, high=60, blank="{3 km/h} on slash"),
                Attribute("max_slope_pct", "Steepest slope allowed", unit="pct", low=1, high=100, blank="30 %"),
                Attribute("width_m", "Width", unit="m", above=0, high=10, blank="{2.5 m}"),
                Attribute(
                    "side_slope_pct", "Steepest side slope", unit="pct", low=1, high=100, blank="10 %", main=False
                ),
                Attribute("reach_m", "Reach from the slewing circle", unit="m", above=0, high=30, main=False),
                Attribute("lift_kg", "Lifts at reach", unit="kg", above=0, main=False),
                Attribute("tank", "Tank it pulls or carries", "reference", refers_to="tanks", main=False),
            ),
            _list(
                "tanks",
                "Tank",
                "Tanks",
                "A tank that is carried or towed.",
                Attribute("volume_l", "Holds", unit="l", above=0),
            ),
        )
    }
)


def _section(key: str, label: str, says: str, *attributes: Attribute) -> Kind:
    return Kind(key, label, label, (), "Site", says, attributes)


_TEXT: AttributeType = "text"
_KINDS = tuple((key, kind.label) for key, kind in KINDS.items())
SECTIONS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            _section(
                "crew",
                "Crew",
                "Who works, and who is in charge.",
                Attribute("leader", "In charge", _TEXT),
                Attribute("phone", "Telephone on the day", _TEXT),
                Attribute("emergency", "Emergency number", _TEXT),
                Attribute("radio", "Radio or telephone signal", _TEXT),
                Attribute("adults", "Adults on site", "integer", low=0, high=500, blank="not known"),
                Attribute("rakers", "Crews that can rake at one time", "integer", low=0, high=50, blank="one"),
                Attribute("carriers", "People who can carry water", "integer", low=0, high=500, blank="none"),
                Attribute("buckets_each", "Buckets each carries", "integer", low=1, high=2, blank="two", main=False),
                Attribute("bucket_l", "A bucket holds", unit="l", above=0, high=30, blank="{15 L}", main=False),
                Attribute("feeders", "People feeding each kiln", "integer", low=0, high=50, blank="two"),
                Attribute("pace_m", "Length of one pace", unit="m", above=0.2, high=2, main=False),
                Attribute("first_aid", "First aider and kit", _TEXT, main=False),
                Attribute("hospital", "Nearest hospital", _TEXT, main=False),
                Attribute("directions", "The way in from the public road", _TEXT, main=False),
            ),
            _section(
                "permit",
                "Permit",
                "What the authority allows.",
                Attribute("number", "Permit or registration number", _TEXT),
                Attribute("authority", "Authority", _TEXT),
                Attribute("phone", "Telephone", _TEXT),
                Attribute("from", "From", "date"),
                Attribute("to", "Until", "date"),
                Attribute("to_time", "Out by", _TEXT, help="As the permit says it: 18:00.", blank="not said"),
                Attribute("to_time_last_day", "That hour is for its last day alone", "flag", blank="every day"),
                Attribute("none_needed", "No permit is needed, the authority says", "flag", main=False),
                Attribute("no_conditions", "It has no conditions", "flag"),
                Attribute("conditions", "Conditions", _TEXT),
                Attribute("conditions_met", "Each condition is met", "flag"),
                Attribute("met_by", "Seen by", _TEXT),
                Attribute("met_on", "Seen on", "date"),
                Attribute("wind_km_h", "Its limit of wind", unit="km_h", above=0, high=100, main=False),
                Attribute("gust_km_h", "Its limit of gusts", unit="km_h", above=0, high=150, main=False),
                Attribute(
                    "wind_at",
                    "Wind meant at",
                    "choice",
                    choices=(
                        ("eye_level", "eye level"),
                        ("20_ft", "20 ft (6 m)"),
                        ("10_m", "10 m (33 ft)"),
                    ),
                    blank="{10 m}",
                    main=False,
                ),
                Attribute("humidity_pct", "Humidity at least", unit="pct", low=0, high=100, main=False),
            ),
            _section(
                "forecast",
                "Forecast",
                "What the forecast for the burn date is, and when it was made.",
                *FORECAST,
            ),
            _section(
                "season",
                "Season",
                "The dates of the work.",
                *SEASON,
            ),
        )
    }
)

RECORDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            _section(
                "looked",
                "Looked, none found",
                "What was looked for and not found, how far, by whom and when.",
                Attribute("kind", "Looked for", "choice", choices=_KINDS),
                Attribute("within_m", "None within", unit="m", above=0),
                Attribute("who", "Who looked", _TEXT),
                Attribute("when", "When", "date", also=("date",)),
            ),
            _section(
                "asked",
                "Asked",
                "Who was asked, when, and what they said.",
                Attribute(
                    "whom",
                    "Who was asked",
                    "choice",
                    also=("who", "kind"),
                    choices=(
                        ("authority", "the authority"),
                        ("line_owner", "owner of a line"),
                        ("neighbour", "owner next door"),
                        ("land_owner", "owner of the land"),
                    ),
                ),
                Attribute("name", "Name", _TEXT),
                Attribute("date", "When", "date", also=("when",)),
                Attribute(
                    "answer",
                    "Answer",
                    "choice",
                    choices=(("yes", "agreed"), ("conditions", "agreed with conditions"), ("no", "refused")),
                ),
                Attribute("said", "What they said", _TEXT),
                Attribute("conditions_met", "Each condition is met", "flag", main=False),
                Attribute("met_by", "Seen by", _TEXT, main=False),
                Attribute("met_on", "Seen on", "date", main=False),
                Attribute("distance_m", "Distance asked for", unit="m", low=0, high=2_000, main=False),
                Attribute("none_needed", "No distance needed", "flag", main=False),
                Attribute("about", "About", "reference", refers_to="features"),
            ),
            _section(
                "rules",
                "Distances",
                "The distances entered, each with its condition and source.",
                Attribute("id", "Row", _TEXT),
                Attribute("kind", "Keep clear of", "choice", choices=_KINDS),
                Attribute("use", "Only where", _TEXT),
                Attribute("distance_m", "Distance", unit="m", low=0, high=5000),
                Attribute("condition", "Condition", _TEXT),
                Attribute("source", "Source", _TEXT),
                Attribute("evidence", "Evidence", _TEXT, also=("standing",)),
            ),
            _section(
                "links",
                "Source and kiln",
                "Facts of one water source and one kiln spot together.",
                Attribute("source", "Water source", "reference", refers_to="features"),
                Attribute("spot", "Kiln spot", "reference", refers_to="features"),
                Attribute("lift_m", "Kiln above the water", unit="m", low=-1000, high=1000),
                Attribute("lift_error_m", "±", unit="m", low=0, high=200),
                Attribute("bucket_litres", "Bucket size", unit="l", above=0, high=1000),
                Attribute("bucket_seconds", "filled in", unit="s", above=0, high=36_000),
                Attribute("bucket_pump", "with the pump", "references", refers_to="pumps"),
                Attribute("bucket_hose", "with the hose", "references", refers_to="hoses"),
                Attribute("bucket_tip", "with the nozzle", "reference", refers_to="nozzles"),
                Attribute(
                    "bucket_test",
                    "Bucket test",
                    "pair",
                    help="What it holds and seconds, [20, 12]; or bucket_litres and bucket_seconds beside it.",
                    main=False,
                    item=(
                        Attribute("litres", "Bucket size", unit="l", above=0, high=1000),
                        Attribute("seconds", "filled in", unit="s", above=0, high=36_000),
                    ),
                ),
                Attribute("hose_lay", "Along the lay", "reference", refers_to="features"),
                Attribute(
                    "trips_by",
                    "Trips timed",
                    "choice",
                    choices=(("machine", "by machine"), ("hand", "carried by hand")),
                    help="As on the day: from the first bucket dipped until the last is poured at the kiln.",
                    main=False,
                ),
                Attribute("trips_machine", "Machine that hauled", "reference", refers_to="machines", main=False),
                Attribute("trips_litres", "They brought", unit="l", above=0, high=100_000, main=False),
                Attribute("trips_seconds", "in the time of", unit="s", above=0, high=36_000, main=False),
            ),
            _section("log", "Log", "What happened, batch by batch.", *LOG),
            _section("cold", "Cold checks", "Who looked at which kiln, when, and whether it was cold.", *COLD),
            _section("bags", "Bags", "Char in bags: counted, weighed, and where they went.", *BAGS),
            _section(
                "forecast_hours",
                "Hours of the forecast",
                "Each hour from lighting on; times with their zone.",
                *FORECAST_HOURS,
            ),
            _section(
                "climate",
                "Weather of the months",
                "What the air is like, month by month: how fast the slash dries follows from it.",
                *CLIMATE,
            ),
            _section(
                "weather_days",
                "Weather of days",
                "The air of single days as a record has it: drying runs through them where they are known.",
                *WEATHER_DAYS,
            ),
            _section(
                "closed",
                "Days without burning",
                "Bans that are announced, holidays, nesting, hunting: no batch is laid on these days.",
                *CLOSED,
            ),
            _section(
                "ticks",
                "Ticks",
                "What somebody checked, with name and time; empty again the next day.",
                Attribute("what", "What", _TEXT),
                Attribute("who", "Who", _TEXT),
                Attribute("when", "When", _TEXT),
            ),
        )
    }
)
