"""What may be said of each kind of feature: the attributes, in the order a form shows them."""

from __future__ import annotations

from sitemap.site.attributes import Attribute

STATUS = Attribute(
    "status",
    "Status",
    "choice",
    choices=(
        ("planned", "planned"),
        ("built", "built"),
        ("drying", "drying"),
        ("burned", "burned"),
        ("cold", "cold"),
    ),
    blank="still to be dealt with",
    main=False,
)
COMMON = (
    Attribute("note", "Note", "text", main=False),
    Attribute(
        "position_error_m",
        "Position good to ±",
        unit="m",
        low=0,
        blank="± {5 m} in the open, ± {10 m} under trees",
        help="A phone under trees is off by {10 m} or more; a tape from a known corner by {0.5 m}.",
        main=False,
    ),
    Attribute("elevation_m", "Elevation above sea level", unit="m", low=-450, high=8900, main=False),
)
HEAP_SHAPES = (
    ("dome", "dome"),
    ("mound", "mound"),
    ("cone", "cone"),
    ("ridge", "ridge"),
    ("block", "block"),
    ("tapered_ridge", "tapered ridge"),
    ("rounded_ridge", "ridge with rounded ends"),
    ("mean_block", "block by mean sides"),
)
PACKING_CLASSES = (
    ("loose_brush", "loose brush"),
    ("tops", "tops"),
    ("machine_heap", "machine heap"),
    ("stacked_poles", "stacked poles"),
)
SOIL_CLASSES = (("none", "none"), ("some", "some"), ("much", "much"))
BASIS_OF_MOISTURE = (("dry", "of dry weight"), ("wet", "of wet weight"))

_WOOD = (
    Attribute(
        "wood",
        "Wood",
        "text",
        blank="mixed wood, {450 kg/m³}",
        help="softwood, hardwood, mixed, or a species such as ponderosa pine.",
    ),
    Attribute(
        "packing",
        "Wood share of the heap, by look",
        "choice",
        choices=PACKING_CLASSES,
        blank="as in a heap of tops, 0.12",
    ),
    Attribute("soil", "Earth in it", "choice", choices=SOIL_CLASSES, blank="none to be seen, 3 %"),
    Attribute(
        "thickest_cm",
        "Thickest piece",
        unit="cm",
        above=0,
        high=300,
        blank="not known",
    ),
    Attribute(
        "packing_ratio",
        "Wood share of the heap (packing ratio)",
        unit="fraction",
        above=0,
        high=0.9,
        ranged=True,
        main=False,
    ),
    Attribute("density_kg_m3", "Density of the dry wood", unit="kg_m3", low=150, high=1300, ranged=True, main=False),
    Attribute(
        "wood_mix",
        "Mixture of woods",
        "records",
        main=False,
        keyed=True,
        item=(
            Attribute("wood", "Wood", "text"),
            Attribute("share", "Share by volume", unit="fraction", low=0, high=1),
        ),
    ),
    Attribute("rotten_fraction", "Rotten share", unit="fraction", low=0, high=1, main=False),
    Attribute("soil_fraction", "Earth by volume", unit="fraction", low=0, high=0.9, ranged=True, main=False),
    Attribute(
        "char_stock_fraction",
        "Share that is char stock",
        unit="fraction",
        low=0,
        high=1,
        ranged=True,
        blank="70 % (50–85)",
        help="Of ten armfuls, how many go in the kiln? 7 are 70 %.",
    ),
    Attribute("oversize_fraction", "Share too thick for the kiln", unit="fraction", low=0, high=1, main=False),
    Attribute("fines_fraction", "Share of fines and dirt", unit="fraction", low=0, high=1, main=False),
    Attribute(
        "moisture_pct",
        "Moisture",
        unit="pct",
        low=0,
        high=300,
        ranged=True,
        help="Say whether it is a share of the dry or of the wet weight.",
        main=False,
    ),
    Attribute("moisture_basis", "Moisture counted", "choice", choices=BASIS_OF_MOISTURE, main=False),
    Attribute(
        "readings",
        "Moisture readings",
        "records",
        main=False,
        item=(
            Attribute("moisture_pct", "Moisture", unit="pct", low=0, high=300),
            Attribute("basis", "Counted", "choice", choices=BASIS_OF_MOISTURE),
            Attribute("date", "Date", "date"),
            Attribute(
                "where",
                "Read at",
                "choice",
                choices=(("core", "a freshly split face"), ("skin", "the outside")),
                blank="taken as the outside",
            ),
            Attribute("thickness_cm", "Piece", unit="cm", above=0, high=300),
            Attribute(
                "place",
                "In the heap",
                "choice",
                choices=(("top", "at the top"), ("middle", "in the middle"), ("bottom", "at the bottom")),
            ),
            Attribute(
                "wood_c",
                "Wood at",
                unit="c",
                low=-40,
                high=60,
                blank="{0 °C}: cold wood reads too dry",
                help="A piece dried in the oven: {21.1 °C}.",
            ),
        ),
    ),
    Attribute("month_felled", "Month felled", "text", help="Year and month, 2026-03.", main=False),
    Attribute("covered", "Under a cover", "flag", blank="taken as open to the rain", main=False),
    Attribute("turned_on", "Turned on", "date", blank="not turned", main=False),
    Attribute("dry_t_weighed", "Dry weight when taken apart", unit="t", above=0, high=100_000, main=False),
    Attribute("mass_green_t", "Green weight when taken apart", unit="t", above=0, high=100_000, main=False),
    STATUS,
)
PILE = (
    Attribute("shape", "Shape", "choice", choices=HEAP_SHAPES, blank="a dome"),
    Attribute("length_m", "Length", unit="m", above=0, high=500, ranged=True),
    Attribute("width_m", "Width", unit="m", above=0, high=100, ranged=True),
    Attribute("height_m", "Height", unit="m", above=0, high=30, ranged=True),
    Attribute("length_b_m", "Length at end B or top", unit="m", above=0, high=500, main=False),
    Attribute("width_b_m", "Width at end B or top", unit="m", above=0, high=100, main=False),
    Attribute("height_b_m", "Height at end B", unit="m", above=0, high=30, main=False),
    *_WOOD,
    Attribute("staged_feed", "Small feed heap beside the kiln", "flag", main=False, also=("staged",)),
)
WINDROW = (
    Attribute(
        "section",
        "Section",
        "choice",
        choices=(("round", "round"), ("parabola", "flat-topped curve"), ("triangle", "triangle")),
        blank="round",
    ),
    Attribute("width_m", "Width", unit="m", above=0, high=100, ranged=True),
    Attribute("height_m", "Height", unit="m", above=0, high=30, ranged=True),
    Attribute("length_m", "Length", unit="m", above=0, high=20_000, blank="the length drawn", main=False),
    *_WOOD,
)
TRANSECT = (
    Attribute(
        "taped",
        "Tape laid",
        "choice",
        choices=(("slope", "along the slope"), ("horizontal", "level")),
        blank="along the slope",
    ),
    Attribute("slope_pct", "Slope of the line", unit="pct", low=0, high=200),
    Attribute("length_m", "Length of the line", unit="m", above=0, high=5000, blank="the length drawn"),
    Attribute("wood", "Wood", "text", blank="mixed wood, {450 kg/m³}"),
    Attribute("density_kg_m3", "Density of the dry wood", unit="kg_m3", low=150, high=1300, main=False),
    Attribute(
        "pieces",
        "Pieces crossed",
        "records",
        item=(
            Attribute("diameter_cm", "Thickness", unit="cm", above=0, high=300),
            Attribute("wood", "Wood", "text"),
            Attribute("rotten", "Rotten", "flag"),
        ),
    ),
    Attribute(
        "classes",
        "Counts by thickness",
        "records",
        main=False,
        keyed=True,
        also=("counts", "size_classes", "class_counts", "counts_by_size_class"),
        item=(
            Attribute("size_class", "Thickness class", "text", also=("class",)),
            Attribute("count", "Count", "integer", low=0, high=100_000, also=("number",)),
            Attribute("length_m", "Length counted", unit="m", above=0, high=5000),
        ),
    ),
    Attribute("area_ha", "Ground it stands for", unit="ha", above=0, high=100_000, blank="the logged area", main=False),
    Attribute("char_stock_fraction", "Share that is char stock", unit="fraction", low=0, high=1, main=False),
    Attribute("oversize_fraction", "Share too thick for the kiln", unit="fraction", low=0, high=1, main=False),
    Attribute("fines_fraction", "Share of fines and dirt", unit="fraction", low=0, high=1, main=False),
)
KILN_SPOT = (
    Attribute("kiln", "Kiln that stands here", "reference", refers_to="kilns", blank="no kiln chosen"),
    Attribute(
        "ground",
        "Ground under it",
        "choice",
        choices=(
            ("mineral_soil", "mineral soil"),
            ("turf", "turf"),
            ("litter_duff", "litter or duff"),
            ("peat", "peat"),
            ("roots_stump", "roots or a stump"),
            ("rock", "rock"),
        ),
        blank="not known",
    ),
    Attribute(
        "branches_overhead",
        "Branches overhead",
        "choice",
        choices=(("none", "none"), ("yes", "yes")),
        blank="not known",
    ),
    Attribute("branch_height_m", "Height of the lowest branch", unit="m", above=0, high=80),
    Attribute("slope_pct", "Slope of the ground", unit="pct", low=0, high=200, blank="from terrain, else not known"),
    Attribute("pad_cut", "A level pad is cut", "flag", blank="no"),
    Attribute(
        "fuel_upslope",
        "Unbroken fuel upslope",
        "choice",
        choices=(("no", "no"), ("yes", "yes")),
        blank="not known",
    ),
    Attribute("serves", "Heaps it burns", "references", refers_to="features", blank="the heaps nearest to it"),
    Attribute("feeders", "People feeding", "integer", low=0, high=50, blank="two", main=False),
    Attribute(
        "quench_method",
        "How it is quenched",
        "choice",
        choices=(
            ("raked_and_sprayed", "tipped out, raked and sprayed"),
            ("unraked_or_machine_bin", "sprayed in the bin, not raked"),
            ("flooded", "flooded"),
        ),
        blank="not known; the wettest way the kiln allows",
    ),
    Attribute("under_trees", "Under trees", "flag", main=False),
    STATUS,
)
SOURCES_OF_WATER = (
    ("pond", "pond or dam"),
    ("stream", "stream or lake"),
    ("tank", "tank"),
    ("tap", "tap"),
    ("hydrant", "hydrant"),
    ("well", "well"),
    ("tanker", "water tender"),
)
WATER = (
    Attribute("source", "Kind of source", "choice", choices=SOURCES_OF_WATER, blank="not known"),
    Attribute("volume_l", "Water in it", unit="l", low=0, ranged=True, blank="from its size, else not known"),
    Attribute("yield_l_min", "Flow it gives", unit="l_min", low=0, ranged=True, blank="{15 L/min} from a tap or well"),
    Attribute("pump", "Pump", "reference", refers_to="pumps"),
    Attribute(
        "hose",
        "Hose laid from it, in order",
        "records",
        item=(
            Attribute("hose", "Hose", "reference", refers_to="hoses"),
            Attribute("length_m", "Length", unit="m", above=0, high=5000),
        ),
    ),
    Attribute("nozzle", "Nozzle", "reference", refers_to="nozzles"),
    Attribute("usable_on_date", "Usable on the burn date", "flag", blank="not known"),
    Attribute(
        "permission",
        "Permission to take water",
        "choice",
        choices=(("yes", "given"), ("asked", "asked"), ("no", "refused")),
        blank="not asked",
    ),
    Attribute("static_pressure_kpa", "Pressure with the tap shut", unit="kpa", low=0, high=2500, main=False),
    Attribute("residual_pressure_kpa", "Pressure while it runs", unit="kpa", low=0, high=2500, main=False),
    Attribute("residual_flow_l_min", "Flow at that pressure", unit="l_min", above=0, main=False),
    Attribute("area_m2", "Area of the water", unit="m2", above=0, blank="the area drawn", main=False),
    Attribute("depth_m", "Depth at the middle", unit="m", above=0, high=100, help="By a stick.", main=False),
    Attribute(
        "usable_fraction", "Share one may take", unit="fraction", low=0, high=1, blank="half of a pond", main=False
    ),
    Attribute("suction_lift_m", "Height of the pump above the water", unit="m", low=-50, high=20),
    Attribute(
        "relay",
        "Relay on the way",
        "choice",
        choices=(("pump", "second pump in the line"), ("tank", "open tank")),
        blank="none",
        help="Where one pump cannot do it alone.",
        main=False,
    ),
    Attribute(
        "relay_after_m",
        "Relay stands after",
        unit="m",
        above=0,
        high=5000,
        help="Along the lay, from the water.",
        main=False,
    ),
    Attribute(
        "relay_pump",
        "Pump at the relay",
        "reference",
        refers_to="pumps",
        blank="none: from a tank the water runs by its own fall",
        main=False,
    ),
    Attribute(
        "relay_tank",
        "Tank at the relay",
        "reference",
        refers_to="tanks",
        blank="how much it holds is not known",
        main=False,
    ),
    Attribute("water_temperature_c", "Water temperature", unit="c", low=0, high=60, blank="{15 °C}", main=False),
    Attribute("refill_l_min", "Refills at", unit="l_min", low=0, main=False),
    Attribute("usable_from", "Usable from", "date", main=False),
    Attribute("usable_to", "Usable until", "date", main=False),
    Attribute(
        "tank_shape",
        "Shape of the tank",
        "choice",
        choices=(
            ("horizontal_cylinder", "lying cylinder"),
            ("vertical_cylinder", "standing cylinder"),
            ("box", "box"),
        ),
        main=False,
    ),
    Attribute("diameter_m", "Diameter of the tank", unit="m", above=0, main=False),
    Attribute("length_m", "Length of the tank", unit="m", above=0, main=False),
    Attribute("width_m", "Width of the tank", unit="m", above=0, main=False),
    Attribute("height_m", "Height of the tank", unit="m", above=0, main=False),
    Attribute("depth_of_water_m", "Depth of the water in it", unit="m", low=0, main=False),
)
STRUCTURE = (
    Attribute(
        "use",
        "Whose and what for",
        "choice",
        choices=(
            ("own", "own building"),
            ("occupied_by_others", "lived in or used by others"),
            ("unoccupied", "empty shed or ruin of others"),
        ),
        blank="taken as lived in by others",
    ),
)


def _width(usual: str) -> Attribute:
    return Attribute("width_m", "Width, edge to edge", unit="m", above=0, high=100, blank=f"{{{usual} m}}", main=False)


POWER = (
    Attribute("overhead", "Overhead", "flag", blank="taken as overhead"),
    Attribute("voltage_kv", "Voltage", unit="kv", above=0, high=1500, blank="not known"),
    _width("4"),
)
ROAD = (Attribute("public", "Public", "flag", blank="taken as public"), _width("6"))
RAILWAY, BURIED, STREAM = (_width("4"),), (_width("1"),), (_width("2"),)
