"""What was entered of water, read once: each source, piece of gear and link as its typed record."""

from __future__ import annotations

from sitemap.site.model import Entry, Feature, Item, Site
from sitemap.water.records import (
    Basin,
    Hose,
    Kit,
    Laid,
    LineGear,
    Link,
    Machine,
    Nozzle,
    Pressure,
    Pump,
    Relay,
    Source,
    Tank,
    Trips,
)


def source_of(feature: Feature) -> Source:
    """A water source."""
    return feature.once(read_source)


def machine_of(item: Item) -> Machine:
    """A machine of the equipment list."""
    return item.once(read_machine)


def link_record(entry: Entry) -> Link:
    """A record of the list `links`."""
    return entry.once(read_link)


def kit_of(site: Site) -> Kit:
    """All gear of a site that moves water, and who can carry."""
    crew = site.section("crew")
    return Kit(
        pumps=tuple(item.once(read_pump) for item in site.equipment("pumps")),
        hoses=tuple(item.once(read_hose) for item in site.equipment("hoses")),
        nozzles=tuple(item.once(read_nozzle) for item in site.equipment("nozzles")),
        machines=tuple(item.once(read_machine) for item in site.equipment("machines")),
        tanks=tuple(item.once(read_tank) for item in site.equipment("tanks")),
        carriers=crew.integer("carriers"),
        buckets_each=crew.integer("buckets_each"),
        bucket_l=crew.number("bucket_l"),
    )


def links_of(site: Site) -> tuple[Link, ...]:
    """Every record of a source and a kiln spot together."""
    return tuple(link_record(entry) for entry in site.records("links"))


def read_source(feature: Feature) -> Source:
    """A water source, read anew."""
    number = feature.number
    return Source(
        feature.id,
        feature.name,
        kind=feature.choice("source"),
        basin=_basin(feature),
        pressure=Pressure(
            number("static_pressure_kpa"), number("residual_pressure_kpa"), number("residual_flow_l_min")
        ),
        yield_l_min=number("yield_l_min"),
        refill_l_min=number("refill_l_min"),
        usable_fraction=number("usable_fraction"),
        suction_lift_m=number("suction_lift_m"),
        water_c=number("water_temperature_c"),
        elevation_m=number("elevation_m"),
        usable_on_date=feature.flag("usable_on_date"),
        usable_from=feature.date("usable_from"),
        usable_to=feature.date("usable_to"),
        permission=feature.choice("permission"),
        pump=feature.text("pump"),
        nozzle=feature.text("nozzle"),
        hoses=tuple(Laid(record.text("hose"), record.number("length_m")) for record in feature.records("hose")),
        relay=Relay(
            feature.choice("relay"), number("relay_after_m"), feature.text("relay_pump"), feature.text("relay_tank")
        ),
    )


def _basin(feature: Feature) -> Basin:
    volume, number = feature.measured("volume_l"), feature.number
    return Basin(
        volume_l=None if volume is None else volume.likely,
        volume_low_l=None if volume is None else volume.low,
        volume_high_l=None if volume is None else volume.high,
        area_m2=number("area_m2"),
        depth_m=number("depth_m"),
        shape=feature.choice("tank_shape"),
        diameter_m=number("diameter_m"),
        length_m=number("length_m"),
        width_m=number("width_m"),
        height_m=number("height_m"),
        water_m=number("depth_of_water_m"),
    )


def read_link(entry: Entry) -> Link:
    """A link, read anew; litres and seconds of the bucket as a pair or apart."""
    litres, seconds = entry.pair("bucket_test") or (None, None)
    return Link(
        entry.text("source"),
        entry.text("spot"),
        lift_m=entry.number("lift_m"),
        lift_error_m=entry.number("lift_error_m"),
        bucket_l=entry.number("bucket_litres") or litres,
        bucket_s=entry.number("bucket_seconds") or seconds,
        bucket_gear=LineGear(entry.names("bucket_pump"), entry.names("bucket_hose"), entry.text("bucket_tip")),
        hose_lay=entry.text("hose_lay"),
        trips=_trips(entry),
    )


def _trips(entry: Entry) -> Trips | None:
    """Trips by the watch; None where way, litres or seconds are not entered: half a test is none."""
    way, litres, seconds = entry.choice("trips_by"), entry.number("trips_litres"), entry.number("trips_seconds")
    if way is None or litres is None or seconds is None:
        return None
    return Trips("hand" if way == "hand" else "haul", entry.text("trips_machine"), litres, seconds)


def read_pump(item: Item) -> Pump:
    """A pump, read anew."""
    return Pump(
        item.id,
        item.name,
        max_head_m=item.number("max_head_m"),
        max_flow_l_min=item.number("max_flow_l_min"),
        rated_head_m=item.number("rated_head_m"),
        rated_flow_l_min=item.number("rated_flow_l_min"),
        curve=item.curve("curve") or (),
        state=item.choice("worn"),
        suction_bore_mm=item.number("suction_bore_mm"),
        suction_length_m=item.number("suction_length_m"),
        coupling_mm=item.number("coupling_mm"),
    )


def read_hose(item: Item) -> Hose:
    """Hose of one size, read anew."""
    return Hose(
        item.id,
        item.name,
        bore_mm=item.number("bore_mm"),
        lengths_m=item.numbers("lengths_m"),
        rated_kpa=item.number("rated_kpa"),
        roughness_c=item.number("roughness_c"),
        state=item.choice("wear"),
        coupling_mm=item.number("coupling_mm"),
    )


def read_nozzle(item: Item) -> Nozzle:
    """A nozzle, read anew."""
    return Nozzle(
        item.id,
        item.name,
        bore_mm=item.number("bore_mm"),
        rated_flow_l_min=item.number("rated_flow_l_min"),
        rated_pressure_kpa=item.number("rated_pressure_kpa"),
        open_end=bool(item.flag("open_end")),
        fog=item.flag("fog"),
        coupling_mm=item.number("coupling_mm"),
    )


def read_machine(item: Item) -> Machine:
    """A machine, read anew."""
    return Machine(
        item.id,
        item.name,
        bucket_l=item.number("bucket_l"),
        loaded_km_h=item.number("loaded_km_h"),
        empty_km_h=item.number("empty_km_h"),
        max_slope_pct=item.number("max_slope_pct"),
        side_slope_pct=item.number("side_slope_pct"),
        width_m=item.number("width_m"),
        tank=item.text("tank"),
    )


def read_tank(item: Item) -> Tank:
    """A tank, read anew."""
    return Tank(item.id, item.name, item.number("volume_l"))
