"""What to do about a check that does not pass: an action somebody can carry out, not the name of the check."""

from __future__ import annotations

from sitemap.reasons import Reason, reason
from sitemap.safety.effects import RULED_OUT
from sitemap.safety.permission import Check


def action_of(check: Check) -> Reason:
    """What to do about a check: its own action where it has one, else the usual one for what was checked."""
    if check.action is not None:
        return check.action
    if check.reason.code in _OF_REASON:
        return _OF_REASON[check.reason.code]
    return _OF_VERDICT.get((check.check, check.verdict)) or _OF_CHECK.get(check.check) or _other(check)


def _other(check: Check) -> Reason:
    if check.effect == RULED_OUT:
        return reason("action.move")
    return reason("action.find_out") if check.verdict == "not known" else reason("action.mend")


_OF_REASON: dict[str, Reason] = {
    "day.no_heap": reason("action.choose_heaps"),
    "day.no_refuge": reason("action.draw_refuge"),
    "day.refuge_size_not_known": reason("action.outline_refuge"),
    "day.refuge_fuel_not_known": reason("action.enter_fuel_height"),
}
_OF_VERDICT: dict[tuple[str, str], Reason] = {
    ("ground", "duff or litter"): reason("action.scrape"),
    ("ground", "ground peat or roots"): reason("action.move_off_peat"),
    ("branches", "too close"): reason("action.move"),
    ("branches", "branches above"): reason("action.cut_branches"),
    ("branches", "measure on the ground"): reason("action.measure_branch"),
    ("slope", "steep"): reason("action.level_pad"),
    ("distance", "measure on the ground"): reason("action.tape"),
    ("distance", "no distance entered"): reason("action.ask_distance"),
    ("distance", "power line not agreed"): reason("action.line_owner"),
    ("looked", "not known"): reason("action.look_round"),
    ("authority", "refused by the authority"): reason("action.refused"),
    ("weather", "weather outside limits"): reason("action.other_weather"),
    ("wood", "wood wet"): reason("action.dry_wood"),
    ("permit", "conditions open"): reason("action.meet_conditions"),
    ("date", "date has passed"): reason("action.new_date"),
    ("date", "closed day"): reason("action.other_date"),
    ("hands", "not known"): reason("action.count_hands"),
    ("permit", "outside the permit"): reason("action.other_date"),
    ("permit", "not known"): reason("action.permit_dates"),
    ("water_quench", "short"): reason("action.more_water"),
    ("water_quench", "tight"): reason("action.bucket_test"),
    ("water_quench", "enough on paper"): reason("action.bucket_test"),
    ("water_quench", "not known"): reason("action.enter_water"),
    ("water_attack", "short"): reason("action.escape_water"),
    ("water_attack", "not known"): reason("action.escape_water"),
    ("water_attack", "tight"): reason("action.bucket_test"),
    ("water_attack", "enough on paper"): reason("action.bucket_test"),
}
_OF_CHECK: dict[str, Reason] = {
    "place": reason("action.place"),
    "kiln": reason("action.choose_kiln"),
    "authority": reason("action.ask_authority"),
    "ground": reason("action.look_at_ground"),
    "branches": reason("action.look_up"),
    "slope": reason("action.measure_slope"),
    "machine_stand": reason("action.move_machine"),
    "date": reason("action.set_date"),
    "ban": reason("action.ask_ban"),
    "surroundings": reason("action.wait_for_green"),
    "people": reason("action.more_people"),
    "daylight": reason("action.shorter_batch"),
    "leader": reason("action.choose_leader"),
    "ways_out": reason("action.clear_way_out"),
    "refuge": reason("action.widen_refuge"),
    "meeting_point": reason("action.agree_on_meeting"),
    "wood": reason("action.read_wood"),
    "hands": reason("action.fewer_kilns"),
    "raking": reason("action.more_rakers"),
    "quench_method": reason("action.choose_quench"),
}
