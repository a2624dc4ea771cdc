"""What a site means: `assess(site, terrain, on)`, one pure function that asks each room once, in order.

The rooms do not know each other: the tonnes of the slash room become the stock of the kiln room, its quench becomes the
need of the water room. Each remembers its own slice of the site, so that an edit costs only what it touches.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any, TypeAlias

from sitemap import __version__
from sitemap.between import around_of, feed_minutes, piece_limit_cm, slopes_of, spots_of, stock_of
from sitemap.burning import BUCKET_L, burning
from sitemap.day.as_if_moved import as_if_moved
from sitemap.day.crew_of_site import crew_checks, people_needed
from sitemap.day.decision import Decision
from sitemap.day.facts import water_doubted
from sitemap.day.of_site import SpotChecks, day_checks, decisions_of, heap_checks, own_checks
from sitemap.day.on_the_day import on_the_day
from sitemap.day.raster import raster_checks
from sitemap.day.sizes import size_checks
from sitemap.day.spot_checks import checks_of_spot
from sitemap.day.unsound import spots_checks, unsound_checks
from sitemap.geodesy.plane import Plane
from sitemap.kiln.reading import read_crew
from sitemap.kiln.values import Burns, Clock, KilnRun, Stock
from sitemap.notes import Note
from sitemap.reasons import Reason, reason
from sitemap.safety.effects import PASSES, RULED_OUT, spot_verdict, worst_effect
from sitemap.safety.of_site import Around, Safety, SpotSafety, safety_of
from sitemap.safety.own_rules import shorter_in_print
from sitemap.safety.permission import Check
from sitemap.safety.reading import LABELS, rules_of
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import LISTED_BEYOND_RULE_M, Setback
from sitemap.season.batches import of_no_kiln, to_come
from sitemap.season.calendar_of_site import Calendar, calendar_of
from sitemap.season.carbon_of_site import SiteCarbon, carbon_of
from sitemap.season.closing import Closing, closing_of
from sitemap.season.cold_of_site import Burned, burned_of, cold_checks
from sitemap.season.day_times import daylight_of, permit_hour_of
from sitemap.season.daylight import Daylight
from sitemap.season.drying_of_site import HeapDrying, drying_of, ready_days
from sitemap.season.log_ground import ground_of
from sitemap.season.log_of_site import Taught, taught_of, with_burned
from sitemap.season.smoke_of_site import KilnSmoke, smoke_of
from sitemap.season.smoke_together import Together, together_of
from sitemap.season.states import states_of
from sitemap.season.weather_of_site import told_of, weather_check, window_of_site
from sitemap.season.window import Window
from sitemap.site.check import check
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.references import by_ids
from sitemap.site.seen import Day, Doubt, doubts
from sitemap.slash.of_site import slash_of
from sitemap.slash.result import Slash
from sitemap.terrain.terrain import Terrain
from sitemap.water.records import Kit
from sitemap.water.routes import loose_lays
from sitemap.water.values import SourceBudget, Water, WaterLine
from sitemap.watered import Watered, watered

MADE_WITH = f"Pitstead {__version__}"
HEAPS = ("pile", "windrow")
_Checks: TypeAlias = Mapping[str, tuple[Check, ...]]  # by id of the kiln spot


@dataclass(frozen=True)
class SiteFacts:
    """The site as a whole."""

    name: str
    logged_area_ha: float | None


@dataclass(frozen=True)
class SpotReport:
    """One kiln spot: every check, and the one that decides."""

    id: str
    name: str
    verdict: str
    effect: str
    deciding: str | None
    checks: tuple[Check, ...]
    setbacks: tuple[Setback, ...]
    water: tuple[WaterLine, ...]


@dataclass(frozen=True)
class Assessment:
    """What a site means on a date. Field names are the keys of the JSON report, which shows part of it."""

    format: int
    made_with: str
    on: dt.date | None
    today: dt.date | None
    source: Site
    terrain: Terrain | None
    plane: Plane | None
    site: SiteFacts
    slash: Slash
    burn: Burns
    daylight: Daylight | None
    around: Around | None
    safety: Safety | None
    rules: tuple[Rule, ...]
    water: Water | None
    watered: Watered
    spots: tuple[SpotReport, ...]
    decisions: tuple[Decision, ...]
    doubts: tuple[Doubt, ...]
    weather: Window | None
    on_the_day: tuple[Reason, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]

    def decision(self, spot_id: str) -> Decision | None:
        """Whether the kiln at a spot may be lit: what every page, paper and file reads."""
        return next((each for each in self.decisions if each.spot == spot_id), None)

    def clock_of(self, spot_id: str) -> tuple[Clock, ...]:
        """The clock of the batches of a kiln; none for a kiln that may not be lit."""
        decision = self.decision(spot_id)
        if decision is None or not decision.may_be_lit:
            return ()
        return next((run.clocks for run in self.kilns if run.spot == spot_id), ())

    @property
    def kit(self) -> Kit:
        """Gear that moves water, its trips at the pace they are reckoned with."""
        return self.watered.kit

    @property
    def kilns(self) -> tuple[KilnRun, ...]:
        """Each kiln at each spot."""
        return self.burn.kilns

    @property
    def sources(self) -> tuple[SourceBudget, ...]:
        """Each water source over all kilns alight."""
        return self.water.sources if self.water else ()

    @cached_property
    def calendar(self) -> Calendar | None:
        """Its batches on real dates, from the burn date on; made at the first look."""
        carriers = read_crew(self.source.section("crew")).carriers or 0 if _by_hand(self.water) else 0
        people = partial(people_needed, carriers=carriers)
        ready = ready_days(self.drying, self.on)
        runs = tuple(each.run for each in self.taught)
        return calendar_of(self.source, self.plane, runs, people, self.on, ready)

    @cached_property
    def smoke(self) -> tuple[KilnSmoke, ...]:
        """From where the wind keeps each kiln's smoke off; made at the first look."""
        return smoke_of(self.source, self.plane, self.kilns, self.weather, stock_of_site(self), self.terrain)

    @cached_property
    def smoke_together(self) -> tuple[Together, ...]:
        """What the kilns that burn in the same hours bring to a place between them; made at the first look."""
        return together_of(self.smoke, self.kilns)

    @cached_property
    def taught(self) -> tuple[Taught, ...]:
        """Each kiln with what its log taught; without a log as it was."""
        site = self.source
        wet, bucket_l = self.watered, BUCKET_L[site.units]
        limit_cm, today = piece_limit_cm(site), self.today or self.on
        ground = ground_of(site, self.plane, (wet.before, wet.water), wet.paces, bucket_l, limit_cm, today)
        return taught_of(site, self.kilns, ground)

    @cached_property
    def burned(self) -> tuple[Burned, ...]:
        """Every place where something burned, and whether it is proved cold."""
        return burned_of(self.source, self.today or self.on)

    @cached_property
    def states(self) -> Mapping[str, str]:
        """Planned, built, drying, burned or cold: of each heap and kiln of which it is known."""
        return states_of(self.source, self.burned)

    @cached_property
    def closing(self) -> Closing:
        """How far the site is closed."""
        return closing_of(self.source, self.burned, BUCKET_L[self.source.units])

    @cached_property
    def carbon(self) -> SiteCarbon | None:
        """What its char stores, with methane against it; None unless the site asks for it."""
        return carbon_of(self.source, self.burn, self.closing.char_m3)

    @cached_property
    def wood(self) -> Mapping[str, Check]:
        """Whether the wood of each heap is proved dry on the burn date, by its id; made at the first look."""
        return heap_checks(self.source, self.slash.fuel, Day(self.on, self.today))

    @cached_property
    def drying(self) -> tuple[HeapDrying, ...]:
        """When each heap will be dry, where its months and its start are known; made at the first look."""
        return drying_of(self.source, self.today or self.on)

    def spot(self, id: str) -> SpotReport | None:  # noqa: A002
        """The report of one kiln spot."""
        return next((spot for spot in self.spots if spot.id == id), None)

    def notes_about(self, id: str) -> tuple[Note, ...]:  # noqa: A002
        """What was assumed and what is not known of one feature or piece of equipment."""
        return tuple(note for note in (*self.unknowns, *self.assumed) if note.about == id)


def assess(
    site: Site, terrain: Terrain | None = None, *, on: dt.date | None, today: dt.date | None = None
) -> Assessment:
    """What a site means.

    Parameters
    ----------
    site : as entered, also unfinished or wrong: what cannot be used is named in `unknowns` and left out
    terrain : its elevation on the plane of the site (`terrain_of`), or None
    on : the burn date; None where none is set: nothing that belongs to a day is known then
    today : the day somebody looks at it: what is dated later has not been seen yet; left out: the burn date

    Returns
    -------
    Assessment; equal inputs give equal figures, there is no clock and no chance in it
    """
    told = today or on  # the last day the log may tell of
    site = with_burned(by_ids(site), told)
    found = check(site)
    plane = plane_of_site(site)
    heaps = site.of_kind(*HEAPS)
    lines, areas = site.of_kind("transect"), site.of_kind("logged_area")
    slash = slash_of(heaps, lines, areas, plane, piece_limit_cm=piece_limit_cm(site))
    light, light_notes = daylight_of(site, plane, on)
    spots, stock, day = site.of_kind("kiln_spot"), stock_of(slash, heaps, lines, plane), Day(on, today)
    rules = rules_of(site.records("rules"))
    burns = burning(site, spots, stock, light, plane, today=told)
    fed = () if plane is None else feed_minutes(site, plane, slash, burns)
    around = None if plane is None else around_of(site, plane, rules, day, fed, slash)
    safety = _safety(site, plane, terrain, burns, around)
    barred = _barred(safety.spots if safety else ())
    if barred:
        burns = burning(site, spots, stock, light, plane, barred, told)
    wet = watered(site, plane, terrain, burns, (on, told), barred)
    doubt = tuple(each for each in doubts(site, day) if not _told_by_terrain(each, terrain, site))
    water = water_doubted(wet.water, doubt)
    reports = tuple(_spot(spot, safety, water, doubt) for spot in spots)
    out = {spot.id: spot.name for spot in reports if spot.effect == RULED_OUT}
    moved, waiting = as_if_moved(out, burns.kilns, {heap.id: heap.name for heap in heaps})
    rooms = [room for room in (slash, burns, safety, water) if room is not None]
    ground = (*(_no_terrain(site) if terrain is None else terrain.notes), *(loose_lays(site, plane) if plane else ()))
    weather = window_of_site(site, burns.kilns, day)
    reserve = None if burns.reserve_l is None else burns.reserve_l.likely
    slopes = {} if plane is None else dict(slopes_of(spots, plane, terrain))
    unsound = unsound_checks((*found, *(loose_lays(site, plane) if plane else ()), *burns.unknowns))
    typed = (*raster_checks(site, plane, terrain, slopes), *size_checks(site), *unsound, *spots_checks(site))
    everyday = (*day_checks(site, day, doubt), *weather_check(site, weather, day), *typed)
    runs = {run.spot: run for run in burns.kilns}
    own = own_checks(site, runs, slash.fuel, day, doubt)
    return Assessment(
        format=1,
        made_with=MADE_WITH,
        on=on,
        today=today,
        source=site,
        terrain=terrain,
        plane=plane,
        site=SiteFacts(site.name, slash.logged_area_ha),
        slash=slash,
        burn=burns,
        daylight=light,
        around=around,
        safety=safety,
        rules=rules,
        water=water,
        watered=wet,
        spots=reports,
        decisions=decisions_of(
            [SpotChecks(spot.id, spot.name, spot.checks) for spot in reports],
            everyday,
            runs,
            light is not None and light.zone_fits,
            _of_the_day(site, reports, burns, own, day, water),
            permit_hour_of(site, light),
        ),
        doubts=doubt,
        weather=weather,
        on_the_day=on_the_day(site, water, reserve, told_of(site, weather), shorter_in_print(rules, LABELS)),
        assumed=_once((*(note for room in rooms for note in room.assumed), *moved)),
        unknowns=_once(
            (
                *found,
                *of_no_kiln(site),
                *to_come(site, told),
                *light_notes,
                *ground,
                *(note for room in rooms for note in room.unknowns),
                *waiting,
            )
        ),
    )


def of_assessed(
    make: Callable[..., Any], site: Site, terrain: Terrain | None, days: tuple[dt.date | None, dt.date], *more: Any
) -> Any:
    """What `make` makes of an assessment and `more`, from the site itself: for a process that has no assessment yet.

    site, terrain : as `assess` takes them; days : the burn date and today
    """
    return make(assess(site, terrain, on=days[0], today=days[1]), *more)


def _barred(spots: Iterable[SpotSafety | SpotReport]) -> frozenset[str]:
    """Where no kiln may burn, so that it leaves people, gear and minutes to the others; none where all are barred."""
    found = tuple(spots)
    barred = frozenset(spot.id for spot in found if spot.effect == RULED_OUT)
    return barred if len(barred) < len(found) else frozenset()


def _told_by_terrain(doubt: Doubt, terrain: Terrain | None, site: Site) -> bool:
    """Slopes and heights are seen by the elevation raster too, wherever a thing is moved: the worse of both decides.
    A pad that was cut is not in it."""
    if terrain is None or terrain.coarse or doubt.attribute not in ("slope_pct", "elevation_m"):
        return False
    feature = site.get(doubt.about)
    return doubt.attribute != "slope_pct" or feature is None or feature.flag("pad_cut") is not True


def _of_the_day(
    site: Site, reports: tuple[SpotReport, ...], burns: Burns, own: _Checks, day: Day, water: Water | None
) -> Callable[[str], tuple[Check, ...]]:
    """What the day asks of each kiln, by the id of its spot: its wood and ways out, its people, what burned there."""
    names = {spot.id: spot.name for spot in reports}
    hands = crew_checks(burns, names, read_crew(site.section("crew")), _by_hand(water), _barred(reports))
    cold = cold_checks(site, plane_of_site(site), day.on, day.today)

    return lambda spot: (*own[spot], *hands.get(spot, ()), *cold.get(spot, ()))


def _by_hand(water: Water | None) -> bool:
    return water is not None and any(spot.quench.way == "hand" for spot in water.spots)


def stock_of_site(assessment: Assessment) -> tuple[Stock, ...]:
    """The char stock of every heap of an assessed site."""
    site = assessment.source
    return stock_of(assessment.slash, site.of_kind(*HEAPS), site.of_kind("transect"), assessment.plane)


def every_setback(assessment: Assessment) -> dict[str, tuple[Setback, ...]]:
    """Every feature with a rule against every kiln spot, in file order; the page and the plan show the near ones."""
    a = assessment
    safety = _safety(a.source, a.plane, a.terrain, a.burn, a.around, math.inf)
    place = {feature.id: number for number, feature in enumerate(a.source.features)}
    return {
        spot.id: tuple(sorted(spot.setbacks, key=lambda setback: place[setback.feature]))
        for spot in (safety.spots if safety else ())
    }


def _no_terrain(site: Site) -> tuple[Note, ...]:
    if "terrain" not in site.files:
        return ()
    return (Note("site", "no_terrain", reason("terrain.not_at_hand")),)


def _safety(
    site: Site,
    plane: Plane | None,
    terrain: Terrain | None,
    burns: Burns,
    around: Around | None,
    beyond_m: float = LISTED_BEYOND_RULE_M,
) -> Safety | None:
    if plane is None or around is None:
        return None
    return safety_of(spots_of(site, plane, terrain, burns), around, beyond_m)


def _spot(spot: Feature, safety: Safety | None, water: Water | None, doubt: tuple[Doubt, ...]) -> SpotReport:
    found = next((each for each in safety.spots if each.id == spot.id), None) if safety else None
    wet = water.of_spot(spot.id) if water else None
    checks = checks_of_spot(spot, found, wet, doubt)
    effect = worst_effect(each.effect for each in checks)
    deciding = next((each.check for each in checks if each.effect == effect), None) if effect != PASSES else None
    verdict = spot_verdict(each.effect for each in checks)
    setbacks = found.setbacks if found else ()
    return SpotReport(spot.id, spot.name, verdict, effect, deciding, checks, setbacks, wet.entries if wet else ())


def _once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Each note once, in the order met."""
    return tuple(dict.fromkeys(notes))
