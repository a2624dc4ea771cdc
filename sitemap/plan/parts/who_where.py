"""Where, who and when of a burn in few lines, and how far its embers reach."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import degrees_minutes, utm
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln, shortened, sign_of
from sitemap.reasons import KilnName, Term
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.safety.of_site import authority_of
from sitemap.site.model import Feature
from sitemap.site.on_plane import near_shape
from sitemap.site.seen import Day, tick_doubt

Pair = tuple[str, str]
_WAY_IN = 80  # letters
_SIGNED = 120  # letters of the permit's conditions that stand however little room there is: they are signed under
_EFFECTS = {"fits the dates": PASSES, "tight": CONDITIONAL, "not known": CONDITIONAL, "does not fit": RULED_OUT}


def who_and_when(a: Assessment, words: Words, letters: int, whole: bool = False) -> Iterator[Pair]:
    """Labels and what is known under each.

    letters : most of a typed text that is told; whole : the way in and the conditions stand to their last letter
    """
    yield from where(a, words, letters, whole)
    yield from who(a, words, letters)
    yield from _when(a, words, letters, whole)


def long_texts(a: Assessment, words: Words) -> tuple[str, ...]:
    """Labels of the way in and the conditions, where they are longer than what of them stands in little room."""
    way, conditions = a.source.section("crew").text("directions"), a.source.section("permit").text("conditions")
    long = {"way_in": len(way or "") > _WAY_IN, "conditions": len(conditions or "") > _SIGNED}
    return tuple(words(f"decision.{key}") for key, is_long in long.items() if is_long)


def where(a: Assessment, words: Words, letters: int, whole: bool = False) -> Iterator[Pair]:
    """The place of the first kiln, the gate and the way in."""
    yield words("decision.place"), _place(a, words, letters)
    yield words("decision.gate"), _gate(a, words, letters)
    way_in = a.source.section("crew").text("directions")
    yield words("decision.way_in"), _typed(way_in, words, len(way_in or "") if whole else _way_in(letters))


def _way_in(letters: int) -> int:
    """Who comes to help reads it: two lines of it stay as long as there is any room."""
    return max(letters, _WAY_IN) if letters >= _WAY_IN // 2 else letters


def who(a: Assessment, words: Words, letters: int) -> Iterator[Pair]:
    """Who is in charge, how many people, whom they call."""
    crew = a.source.section("crew")
    leader, phone = (_typed(crew.text(key), words, letters) for key in ("leader", "phone"))
    yield words("decision.in_charge"), words("decision.in_charge_is", leader=leader, phone=phone)
    number, hospital = (_typed(crew.text(key), words, letters) for key in ("emergency", "hospital"))
    emergency = words("decision.emergency", number=number, hospital=hospital)
    yield words("decision.people"), f"{words('decision.adults', n=crew.integer('adults'))}; {emergency}"


def _typed(text: str | None, words: Words, letters: int, key: str = "shared.not_known") -> str:
    return shortened(text, letters) if text and text.strip() else words(key)


def _when(a: Assessment, words: Words, letters: int, whole: bool) -> Iterator[Pair]:
    permit, season = a.source.section("permit"), a.source.section("season")
    walked = f"{words('decision.walked')}: {words.day(season.date('date_walked'))}"
    yield words("decision.burn_day"), f"{words('decision.light', day=words.day(a.on), kind=_light(a, words))}. {walked}"
    yield words("decision.last_day"), last_day(a, words)
    first, last = (None if date is None else words.day(date) for date in (permit.date("from"), permit.date("to")))
    number = _typed(permit.text("number"), words, letters)
    none = not permit.text("number") and first is None and last is None
    told = number if none else words("decision.permit_is", number=number, first=first, last=last)
    if none and permit.flag("none_needed") is True:
        told = words("decision.permit_none_needed")
    until = permit.text("to_time")
    if until:
        alone = permit.flag("to_time_last_day") is True
        told += words("decision.permit_out_by_last" if alone else "decision.permit_out_by", hour=shortened(until, 12))
    elif a.on is not None and permit.date("to") == a.on:
        told += words("decision.permit_no_hour")
    yield words("decision.permit"), told
    blank = "decision.has_no_conditions" if permit.flag("no_conditions") is True else "decision.no_conditions"
    conditions = permit.text("conditions")
    most = len(conditions or "") if whole else max(letters, _SIGNED)
    told, met = _typed(conditions, words, most, blank), _met(a, words, letters)
    yield words("decision.conditions"), f"{told.rstrip('.')}{met}" if met else told
    yield words("decision.asked"), shortened(asked(a, words), max(letters, 60))


def _met(a: Assessment, words: Words, letters: int) -> str:
    """Who saw that the conditions are met, and when, while that counts; else nothing."""
    permit = a.source.section("permit")
    by, on = permit.text("met_by"), permit.date("met_on")
    met = permit.text("conditions") and permit.flag("conditions_met") is True
    if not met or by is None or tick_doubt(by, on, None, Day(a.on, a.today)) is not None:
        return ""
    return words("decision.met", name=shortened(by, letters), day=words.day(on))


def asked(a: Assessment, words: Words) -> str:
    """What the authority answered, behind its sign."""
    answer = next((check for spot in a.spots[:1] for check in spot.checks if check.check == "authority"), None)
    if answer is None:  # no kiln is placed: what was said is said all the same
        answer = authority_of(a.source, Day(a.on, a.today))
    return f"{sign_of(answer.effect)} {words.tell(answer.reason)}"


def lon_lat(feature: Feature | None) -> tuple[float, float] | None:
    """Longitude and latitude of a feature [deg], or None where it has no usable place."""
    if feature is None or feature.shape is None:
        return None
    place = feature.shape if feature.shape.geom_type == "Point" else feature.shape.representative_point()
    return place.x, place.y


def grid_place(words: Words, lon: float, lat: float) -> str:
    """A UTM reference, its side of the equator in the language of the sheet."""
    *told, side = utm(lon, lat).split()
    return " ".join((*told, words.shown(Term(side))))


def _place(a: Assessment, words: Words, letters: int) -> str:
    first = next((f for f in a.source.of_kind("kiln_spot") if lon_lat(f) is not None), None)
    at = lon_lat(first) if first is not None else None
    if first is not None and at is not None:
        kiln = KilnName(short_kiln(a, first.id, letters // 3))
        return words("decision.place_of", kiln=kiln, degrees=degrees_minutes(*at), utm=grid_place(words, *at))
    if a.plane is None:
        return words("decision.no_place")
    at = a.plane.lon0, a.plane.lat0
    return words("decision.middle", degrees=degrees_minutes(*at), utm=grid_place(words, *at))


def _gate(a: Assessment, words: Words, letters: int) -> str:
    for gate in a.source.of_kind("gate"):
        at = lon_lat(gate)
        if at is not None:
            return words("decision.gate_at", name=shortened(gate.name, letters // 3), degrees=degrees_minutes(*at))
    return words("decision.no_gate")


def _light(a: Assessment, words: Words) -> str:
    light = a.daylight
    if light is None:
        return words("decision.no_light")
    if light.sunrise is None or light.sunset is None:
        return words(f"decision.{light.kind}")
    rise, set_ = f"{light.sunrise:%H:%M}", f"{light.sunset:%H:%M}"
    return words("decision.sun", rise=rise, set=set_, offset=light.utc_offset_text)


def last_day(a: Assessment, words: Words) -> str:
    """The last burn day, likely and at the slow end, against the end of the permit, behind its sign."""
    permit = a.source.section("permit")
    ends = permit.date("to")
    if a.on is not None and ends is not None and ends < a.on and permit.flag("none_needed") is not True:
        return f"{sign_of(RULED_OUT)} {words('decision.permit_ended', day=words.day(ends))}"
    if a.calendar is None:
        return words("shared.not_known")
    return f"{sign_of(_EFFECTS[a.calendar.word])} {words.tell(a.calendar.told)}"


def embers(a: Assessment, words: Words) -> tuple[str, str]:
    """The sentence on embers of the kiln that throws them furthest, and who is within their reach."""
    spots = a.safety.spots if a.safety else ()
    worst = max(spots, key=lambda spot: spot.patrol_m if spot.patrol_m is not None else float("inf"), default=None)
    if worst is None:
        return words("decision.embers"), ""
    names = reached(a)
    within = words("decision.embers_reach", names=", ".join(names)) if names else ""
    return words.told(worst.embers), within


def reached(a: Assessment) -> list[str]:
    """Places of others, places to keep smoke from and fuel stores within the reach of embers of any kiln."""
    if a.plane is None or a.safety is None:
        return []
    spots = {spot.id: spot.patrol_m for spot in a.safety.spots}
    kilns = [(shape, spots.get(f.id)) for f in a.source.of_kind("kiln_spot") if (shape := near_shape(f, a.plane))]
    found = []
    for feature in a.source.of_kind("structure", "smoke_place", "fuel_store"):
        shape = near_shape(feature, a.plane)
        if shape is None or (feature.kind == "structure" and feature.choice("use") == "own"):
            continue
        if any(far_m is None or kiln.distance(shape) <= far_m for kiln, far_m in kilns):
            found.append(feature.name)
    return list(dict.fromkeys(found))
