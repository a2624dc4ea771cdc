"""The kinds of feature a site may hold, one schema each. It drives file, check, form, table and glossary."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitemap.site.attributes import Attribute
from sitemap.site.vocabulary import (
    BURIED,
    COMMON,
    KILN_SPOT,
    PILE,
    POWER,
    RAILWAY,
    ROAD,
    STATUS,
    STREAM,
    STRUCTURE,
    TRANSECT,
    WATER,
    WINDROW,
)

POINT, LINE, AREA = "Point", "LineString", "Polygon"
HEAPS = ("pile", "windrow")
SLASH = (*HEAPS, "transect")  # kinds that say how much there is
ROLES: Mapping[str, str] = MappingProxyType(
    {
        "work": "the crew works at it",
        "place": "its coordinates are printed, for the crew and for help",
        "fuel": "a fire below it runs up to it",
        "closed": "nobody goes through it",
        "way": "machines and people go along it, and over what is soft",
        "soft": "a machine keeps off it",
        "far": "runs on or lies far off, and does not decide what a map covers",
    }
)


@dataclass(frozen=True)
class Kind:
    """One kind of feature.

    key : value of `properties.kind` in the file
    label, plural : what a person reads
    geometries : shapes it may have (Multi… forms of them too)
    group : heading under which the page lists it
    says : one sentence for the glossary
    attributes : what may be said of it, besides name and note
    letters : before a number they mean this kind in a name: P3; the first is that of its symbol
    words : an import takes a name that holds one for this kind, English and Spanish, in small letters
    roles : keys of ROLES
    """

    key: str
    label: str
    plural: str
    geometries: tuple[str, ...]
    group: str
    says: str
    attributes: tuple[Attribute, ...] = ()
    letters: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    roles: tuple[str, ...] = ()

    def attribute(self, name: str) -> Attribute | None:
        """One attribute by its key in the file."""
        return next((a for a in self.attributes if a.name == name), None)


def _kind(
    key: str,
    label: str,
    plural: str,
    shapes: tuple[str, ...],
    group: str,
    says: str,
    *attributes: Attribute,
    **known_by: str,
) -> Kind:
    """One row of the table below; known_by : letters, words and roles of `Kind`, with spaces between."""
    known = {name: tuple(said.split()) for name, said in known_by.items()}
    return Kind(key, label, plural, shapes, group, says, (*attributes, *COMMON), **known)


_SLASH, _FIRE, _H2O, _CLEAR, _CREW = (
    "Slash",
    "Kilns and what is made ready",
    "Water",
    "What a fire must keep clear of",
    "For the crew",
)
_ANY = (POINT, LINE, AREA)

KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            _kind(
                "logged_area",
                "Logged area",
                "Logged areas",
                (AREA,),
                _SLASH,
                "The ground the slash came from.",
                words="area unit block cut logged boundary edge",
            ),
            _kind(
                "pile",
                "Pile",
                "Piles",
                (POINT, AREA),
                _SLASH,
                "A heap of slash.",
                *PILE,
                letters="P H",
                words="pile heap montón pila",
                roles="work fuel",
            ),
            _kind(
                "windrow",
                "Windrow",
                "Windrows",
                (LINE,),
                _SLASH,
                "Slash raked into a long row.",
                *WINDROW,
                letters="R",
                words="windrow cordón",
                roles="work fuel",
            ),
            _kind(
                "transect",
                "Transect",
                "Transects",
                (LINE,),
                _SLASH,
                "A line on which the pieces of scattered slash that cross it are counted.",
                *TRANSECT,
                letters="T",
                words="transect transecto",
            ),
            _kind(
                "kiln_spot",
                "Kiln spot",
                "Kiln spots",
                (POINT,),
                _FIRE,
                "The place of a kiln.",
                *KILN_SPOT,
                letters="K",
                words="kiln horno",
                roles="place",
            ),
            _kind(
                "control_line",
                "Control line",
                "Control lines",
                (LINE,),
                _FIRE,
                "A line cleared to mineral soil or wetted, at which a creeping fire stops.",
                STATUS,
                Attribute("width_m", "Width", unit="m", above=0),
            ),
            _kind(
                "char_pad",
                "Char pad",
                "Char pads",
                (POINT, AREA),
                _FIRE,
                "Where char is tipped out and raked.",
                roles="work",
            ),
            _kind(
                "machine_stand",
                "Machine stand",
                "Machine stands",
                (POINT, AREA),
                _FIRE,
                "Where the machine works.",
                roles="work",
            ),
            _kind(
                "water_source",
                "Water source",
                "Water sources",
                _ANY,
                _H2O,
                "Where quench water comes from.",
                *WATER,
                letters="W WS",
                words="water pond tank tap hydrant well tender agua estanque pozo",
                roles="place",
            ),
            _kind(
                "hose_lay",
                "Hose lay",
                "Hose lays",
                (LINE,),
                _H2O,
                "The way a hose takes, drawn by the crew.",
                Attribute("from_source", "From", "reference", refers_to="features"),
                Attribute("to_spot", "To", "reference", refers_to="features"),
                Attribute(
                    "profile",
                    "Heights along it",
                    "curve",
                    help="Pairs of distance and height above the water.",
                    main=False,
                ),
            ),
            _kind(
                "structure",
                "Structure",
                "Structures",
                _ANY,
                _CLEAR,
                "A building, shed or other thing that burns or melts.",
                *STRUCTURE,
                letters="B S",
                words="house shed barn cabin building structure casa galpón",
                roles="closed",
            ),
            _kind(
                "road",
                "Road",
                "Roads",
                (LINE, AREA),
                _CLEAR,
                "A road others use.",
                *ROAD,
                words="road highway street camino carretera",
                roles="way far",
            ),
            _kind("railway", "Railway", "Railways", (LINE, AREA), _CLEAR, "A railway.", *RAILWAY, roles="far"),
            _kind(
                "property_line",
                "Property line",
                "Property lines",
                (LINE, AREA),
                _CLEAR,
                "The edge of the holding.",
                words="property fence corner",
                roles="far",
            ),
            _kind(
                "power_line",
                "Power line",
                "Power lines",
                (LINE,),
                _CLEAR,
                "An electric line.",
                *POWER,
                words="power pole wires powerline",
                roles="far",
            ),
            _kind(
                "buried_line",
                "Buried line",
                "Buried lines",
                (LINE,),
                _CLEAR,
                "A pipeline or cable in the ground.",
                *BURIED,
                roles="far",
            ),
            _kind(
                "stream",
                "Stream",
                "Streams",
                (LINE, AREA),
                _CLEAR,
                "Running water.",
                *STREAM,
                words="stream creek brook river arroyo río",
                roles="soft far",
            ),
            _kind(
                "wetland",
                "Wetland",
                "Wetlands",
                (AREA,),
                _CLEAR,
                "Wet ground to keep ash and machines off.",
                words="wetland bog marsh",
                roles="soft",
            ),
            _kind(
                "standing_timber",
                "Standing timber",
                "Standing timber",
                (AREA, LINE),
                _CLEAR,
                "Trees that stay, or the edge of them.",
                Attribute("height_m", "Height of the trees", unit="m", above=0, high=120, blank="{25 m}"),
                words="timber stand trees",
                roles="fuel soft far",
            ),
            _kind(
                "hazard_tree",
                "Hazard tree",
                "Hazard trees",
                (POINT,),
                _CLEAR,
                "A tree that may fall on people.",
                Attribute("height_m", "Height", unit="m", above=0, high=120, blank="{25 m}"),
                words="snag hazard",
            ),
            _kind(
                "fuel_store",
                "Fuel store",
                "Fuel stores",
                (POINT, AREA),
                _CLEAR,
                "Fuel, oil, gas or saws.",
                words="fuel diesel petrol",
            ),
            _kind(
                "no_go",
                "No-go area",
                "No-go areas",
                (AREA,),
                _CLEAR,
                "Ground nobody works on, for any reason.",
                roles="closed",
            ),
            _kind(
                "smoke_place",
                "Place to keep smoke from",
                "Places to keep smoke from",
                (POINT, AREA),
                _CLEAR,
                "A home, school, road or livestock that smoke must not reach.",
                Attribute("what", "What is there", "text"),
                Attribute("phone", "Telephone", "text", main=False),
                words="school neighbour neighbor",
                roles="place far",
            ),
            _kind(
                "track",
                "Track",
                "Tracks",
                (LINE,),
                _CREW,
                "A way machines take on the site.",
                words="track trail skid huella",
                roles="way",
            ),
            _kind(
                "escape_route",
                "Way out",
                "Ways out",
                (LINE,),
                _CREW,
                "The way the crew leaves when it must.",
                words="escape exit",
            ),
            _kind(
                "refuge",
                "Refuge",
                "Refuges",
                (POINT, AREA),
                _CREW,
                "Bare ground large enough to sit out a fire.",
                letters="RE",
                words="refuge",
                roles="place",
            ),
            _kind(
                "meeting_point",
                "Meeting point",
                "Meeting points",
                (POINT,),
                _CREW,
                "Where heads are counted.",
                words="meeting muster",
                roles="place",
            ),
            _kind(
                "lookout",
                "Lookout",
                "Lookouts",
                (POINT,),
                _CREW,
                "Where somebody watches from.",
                words="lookout",
                roles="place",
            ),
            _kind(
                "gate",
                "Gate",
                "Gates",
                (POINT,),
                _CREW,
                "Where one comes in; who has the key.",
                letters="G",
                words="gate portón",
                roles="place",
            ),
            _kind(
                "turning_place",
                "Turning place",
                "Turning places",
                (POINT, AREA),
                _CREW,
                "Where a fire engine can turn round.",
                words="turning turnaround",
                roles="place",
            ),
            _kind(
                "landing_place",
                "Helicopter landing place",
                "Helicopter landing places",
                (POINT, AREA),
                _CREW,
                "Where a helicopter can land for the injured.",
                words="helicopter heli",
                roles="place",
            ),
            _kind(
                "parking",
                "Parking",
                "Parking",
                (POINT, AREA),
                _CREW,
                "Where vehicles stand, facing out.",
                words="parking cars",
                roles="place",
            ),
        )
    }
)


def with_role(role: str) -> tuple[str, ...]:
    """The kinds that have a role, a key of ROLES.

    >>> with_role("way")
    ('road', 'track')
    """
    return tuple(key for key, kind in KINDS.items() if role in kind.roles)
