"""What to do about a water line that does not pass: by what was found of it, the most pressing first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sitemap.reasons import Reason, reason

_BRING_WATER = reason("water.do_bring_water")
_LESS_PUMP = reason("water.do_hose_that_bears")
_STRONGER = reason("water.do_stronger")
_ASK_LEAVE = reason("water.do_ask_leave")
_OTHER_SOURCE = reason("water.do_other_source")
_LEVEL = reason("water.do_measure_lift")
_BUCKET_AGAIN = reason("water.do_bucket_again")
_OWN_GEAR = reason("water.do_gear_of_its_own")
_MEASURE_WATER = reason("water.do_measure_water")

ACTIONS: Mapping[str, Reason] = {  # the first that is found in a line is said
    "water.not_usable": _OTHER_SOURCE,
    "water.refused_permission": _OTHER_SOURCE,
    "water.dry": _OTHER_SOURCE,
    "water.yields_nothing": _OTHER_SOURCE,
    "water.too_high_to_draw": reason("water.do_lower_pump"),
    "water.hose_ends": reason("water.do_more_hose"),
    "water.bursts": _LESS_PUMP,
    "hydraulics.draws_air": reason("water.do_round_the_rise"),
    "hydraulics.intake_collapses": reason("water.do_move_relay"),
    "water.bucket_again": _BUCKET_AGAIN,
    "water.bucket_other": reason("water.do_bucket_with_this"),
    "water.bucket_with_what": reason("water.do_say_gear"),
    "water.trips_again": reason("water.do_time_again"),
    "water.nozzle_on": _BUCKET_AGAIN,
    "water.lifts_disagree": _LEVEL,
    "water.not_primed": _STRONGER,
    "water.no_fall": _STRONGER,
    "water.only_keeps_pace": _STRONGER,
    "water.lacks": _BRING_WATER,
    "water.lacks_after": _BRING_WATER,
    "water.lacks_reserve": _BRING_WATER,
    "water.may_run_out": _BRING_WATER,
    "water.may_lack_reserve": _BRING_WATER,
    "water.open_end": reason("water.do_nozzle"),
    "water.no_attack_beside": _OWN_GEAR,
    "water.in_use": reason("water.do_one_after_the_other"),
    "water.shared_when": reason("water.do_one_after_the_other"),
    "water.no_plate": reason("water.do_read_plate"),
    "water.unrated": reason("water.do_read_rating"),
    "water.lift_unknown": _LEVEL,
    "water.suction_not_entered": reason("water.do_measure_suction"),
    "water.draws_high": reason("water.do_lower_pump"),
    "water.pressure_assumed": reason("water.do_measure_pressure"),
    "water.shut_strains": _LESS_PUMP,
    "hydraulics.misfit": reason("water.do_adapter"),
    "water.too_steep": reason("water.do_other_way"),
    "water.slope_unknown": reason("water.do_measure_slope"),
    "water.volume_unknown": _MEASURE_WATER,
    "water.flow_unknown": _MEASURE_WATER,
    "water.method_open": reason("action.choose_quench"),
    "water.still_to_be_had": _ASK_LEAVE,
}


def action_of(found: Reason) -> Reason | None:
    """What to do about a line by what was found of it; None where nothing in it says more than its verdict."""
    codes = set(_codes(found))
    return next((action for code, action in ACTIONS.items() if code in codes), None)


def _codes(found: Reason) -> Iterator[str]:
    yield found.code
    for _, fact in found.facts:
        for part in fact if isinstance(fact, tuple) else (fact,):
            if isinstance(part, Reason):
                yield from _codes(part)
