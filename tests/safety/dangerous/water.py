# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""Water and its gear: what a bucket does not prove, what is shared, what is short."""

from __future__ import annotations

from tests.safety.dangerous.rows import NOT_YET, row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import lonlat

TIMED = {"trips_by": "hand", "trips_litres": 500, "trips_seconds": 600}  # ten people: 50 L/min
SOURCE = (
    row("the pond dry on the day", lambda s: s.waters(usable_on_date=False), NOT_YET, "POND|[Ww]ater"),
    row("usable on the day is not said", lambda s: s.waters(usable_on_date=None), NOT_YET, "water on the burn date"),
    row("permission only asked for", lambda s: s.waters(permission="asked"), NOT_YET, "permission"),
    row("permission not said", lambda s: s.waters(permission=None), NOT_YET, "permission"),
    row("usable until the week before", lambda s: s.waters(usable_to="2026-05-12"), NOT_YET, "POND|[Ww]ater|usable"),
    row("usable from the week after", lambda s: s.waters(usable_from="2026-05-27"), NOT_YET, "POND|[Ww]ater|usable"),
    row("depth of the pond not said", lambda s: s.put("pond", depth_m=None).drop("tank").links_of("pond"), NOT_YET, "how much"),
    row("a puddle", lambda s: s.waters(volume_l=150), NOT_YET, "POND|L"),
    row("a pond of nothing", lambda s: s.waters(volume_l=0), NOT_YET, "POND|L"),
    row("water for one kiln, two alight", lambda s: s.put("pond", volume_l=900).drop("tank").links_of("pond"), NOT_YET, "short|share|L"),
    row("less than the reserve in the tank", lambda s: s.put("tank", volume_l=250), NOT_YET, "escape|reserve"),
    row("what the tank holds is not said", lambda s: s.put("tank", volume_l=None), NOT_YET, "TANK|escape"),
    row("the tank's volume may be a tenth", lambda s: s.put("tank", volume_l_low=100, volume_l_high=9000), NOT_YET, "escape|reserve|TANK"),
    row("no escape water of its own", lambda s: s.drop("tank").links_of("pond"), NOT_YET, "escape|quench"),
    row("kind of the source not said", lambda s: s.waters(source=None), NOT_YET, "POND|kind"),
    row("a hydrant nobody measured", lambda s: s.waters(source="hydrant"), NOT_YET, "pressure|POND|TANK"),
    row("a tap that yields nothing", lambda s: s.waters(source="tap", yield_l_min=0), NOT_YET, "yield|nothing|POND"),
    row("a tank with no water in it", lambda s: s.put("tank", volume_l=0), NOT_YET, "escape|TANK"),
    row("a tap, its yield not said", lambda s: s.waters(source="tap"), NOT_YET, "15 L|yield|faster"),
    row("no water at all", lambda s: s.drop("tank", "pond").top(links=[]), NOT_YET, "water"),
)  # fmt: skip
LINE = (
    row("no bucket test", lambda s: s.lines(bucket_litres=None, bucket_seconds=None), NOT_YET, "bucket"),
    row("litres without seconds", lambda s: s.lines(bucket_seconds=None), NOT_YET, "bucket"),
    row("no bucket test of the tank", lambda s: s.record("links", 2, bucket_litres=None, bucket_seconds=None), NOT_YET, "bucket"),
    row("20 L in 3.6: seconds or minutes?", lambda s: s.lines(bucket_seconds=3.6), NOT_YET, "seconds or minutes|333|asked again"),
    row("more than the plate", lambda s: s.lines(bucket_seconds=2), NOT_YET, "600|plate"),
    row("more than the tank's plate", lambda s: s.record("links", 2, bucket_seconds=2), NOT_YET, "600|plate"),
    row("a cup filled in a blink", lambda s: s.lines(bucket_litres=0.5, bucket_seconds=0.2), NOT_YET, "another unit"),
    row("a trickle", lambda s: s.lines(bucket_seconds=400), NOT_YET, "3 L/min|short"),
    row("the buckets of another kiln", lambda s: s.record("links", 0, spot="k2").record("links", 2, spot="k2"), NOT_YET, "above the water|bucket"),
    row("hose that bursts", lambda s: s.hoses(rated_kpa=200), NOT_YET, "burst|rated|kPa"),
    row("hose of unknown strength", lambda s: s.hoses(rated_kpa=None), NOT_YET, "rated|pressure|strength"),
    row("suction of 9 m", lambda s: s.waters(suction_lift_m=9), NOT_YET, "suction|lift|above the water"),
    row("suction of 6 m", lambda s: s.waters(suction_lift_m=6), NOT_YET, "suction|lift|above the water"),
    row("suction not said", lambda s: s.waters(source="pond", suction_lift_m=None), NOT_YET, "above the water"),
    row("a hump on the way", lambda s: s.lay_from("pond", [[0, 0], [20, 75], [40, 2]]).lay_from("tank", [[0, 0], [8, 75], [16, 2]]), NOT_YET, "hump|high|m"),
    row("no pump, and a rise on the way that breaks the siphon", lambda s: s.lay_from("pond", [[0, 0], [20, 12], [40, -20]]).lay_from("tank", [[0, 0], [8, 12], [16, -20]]).waters(pump=None).without_gear("pumps"), NOT_YET, "pump|rises|vacuum|pressure"),
    row("hose too short by half", lambda s: s.hoses(lengths_m=[8]), NOT_YET, "hose"),
    row("no hose on hand", lambda s: s.waters(hose=None).without_gear("hoses"), NOT_YET, "hose"),
    row("a tip of nothing known", lambda s: s.gear("nozzles", "tip", bore_mm=None), NOT_YET, "tip|nozzle"),
    row("no tip for the escape", lambda s: s.put("tank", nozzle=None), NOT_YET, "nozzle|throw"),
    row("a garden spray for the escape", lambda s: s.gear("nozzles", "tip", bore_mm=25), NOT_YET, "throw|kPa"),
    row("buckets carried, nobody timed them", lambda s: s.carried(), NOT_YET, "trips"),
    row("buckets carried, timed on no date", lambda s: s.carried(**TIMED).lines_seen(on=None), NOT_YET, "when it was seen"),
    row("buckets carried, timed at another place", lambda s: s.carried(**TIMED).lines_seen(spot_at=lonlat(0, -9)), NOT_YET, "9 m away"),
    row("buckets carried, timed by a machine", lambda s: s.carried(**{**TIMED, "trips_by": "machine"}), NOT_YET, "trips"),
    row("buckets carried, minutes typed as seconds", lambda s: s.carried(**{**TIMED, "trips_seconds": 10}), NOT_YET, "seconds or minutes"),
    row("the kiln 70 m above the pond", lambda s: s.lines(lift_m=70), NOT_YET, "short|L/min|high|lift"),
    row("height above the water not said", lambda s: s.lines(lift_m=None, lift_error_m=None), NOT_YET, "above the water|height|lift"),
    row("nothing on the pump's plate", lambda s: s.pumps(max_head_m=None, max_flow_l_min=None), NOT_YET, "pump|plate"),
    row("a pump that is not on the list", lambda s: s.waters(pump="borrowed"), NOT_YET, "pump"),
    row("height above the water good to 60 m, no bucket", lambda s: s.lines(lift_error_m=60, bucket_litres=None, bucket_seconds=None), NOT_YET, "bucket|± 60|height"),
)  # fmt: skip
SHARED = (
    row("one pump for pond and tank", lambda s: s.put("tank", pump="pump", volume_l=1500), NOT_YET, "escape|pump"),
    row("one tip for pond and tank", lambda s: s.put("tank", nozzle="fog").put("pond", nozzle="fog"), NOT_YET, "[Nn]ozzle|throw|tip"),
    row("one hose for pond and tank", lambda s: s.put("tank", hose=[{"hose": "hose", "length_m": 40}], volume_l=1500), NOT_YET, "escape|hose"),
    row("one tank and a small pump for the quench and the escape", lambda s: s.drop("pond").links_of("tank").gear("pumps", "pump-2", max_flow_l_min=160), NOT_YET, "no line is left for an escape"),
    row("ten kilns on one hose with two adults", lambda s: ten_kilns(s).say("crew", adults=2), NOT_YET, "adult|people"),
    row("ten kilns on one hose", lambda s: ten_kilns(s), NOT_YET, "hose|adult|people|daylight"),
)  # fmt: skip
QUENCH = (
    row("a ring cannot be flooded", lambda s: s.ring(), NOT_YET, "flood"),
    row("a kiln said to have no floor, flooded", lambda s: s.gear("kilns", "box", holds_water="no_floor", has_floor=False), NOT_YET, "flood"),
    row("a kiln whose floor is not said, flooded", lambda s: s.gear("kilns", "box", holds_water=None, has_floor=None), NOT_YET, "flood|holds"),
    row("how it is quenched is not said", lambda s: s.put("k1", quench_method=None), NOT_YET, "quench"),
    row("quenched in a way nobody knows", lambda s: s.put("k1", quench_method="smothered"), NOT_YET, "quench"),
)  # fmt: skip
ROWS = (*SOURCE, *LINE, *SHARED, *QUENCH)


def ten_kilns(s: SafeSite) -> SafeSite:
    """Eight more kilns like K1 in two rows, all on the pond's hose and the tank's."""
    s.gear("kilns", "box", count=10)
    for number in range(8):
        x, y = (number % 4) * 14 - 20.0, -16.0 - 12 * (number // 4) if number < 4 else 40.0
        s.kiln_like("k1", f"k{number + 3}", x, y)
    return s
