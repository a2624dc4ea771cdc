"""The matters of the day: burn date, permit, fire ban, state of the surroundings, people, daylight.

Numbers, words and dates in, checks out; `of_site` reads them from the site.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Quantity, Reason, Term, reason
from sitemap.safety.permission import Check, checked
from sitemap.site.seen import Day, why_not

LEAST_ADULTS = 2  # nobody lights alone; common practice, no source
SITE = "site"


@dataclass(frozen=True)
class Permit:
    """What the permit says of its time.

    starts, ends : first and last day, or None
    none_needed : the authority says that no permit is needed
    conditions, met : what it asks for, as typed, and whether somebody ticked each as met
    tick_doubt : why that tick does not count, or None where it does
    no_conditions : somebody said that it has none
    gust_below_wind : its limit of gusts is below its limit of wind
    hour_unread : what was typed for the hour of its end and is none; empty where it can be read
    """

    starts: dt.date | None = None
    ends: dt.date | None = None
    none_needed: bool = False
    conditions: str = ""
    met: bool = False
    tick_doubt: Reason | None = None
    no_conditions: bool = False
    gust_below_wind: bool = False
    hour_unread: str = ""


def date_check(on: dt.date | None, today: dt.date | None = None) -> Check:
    """Whether a burn date is set and still to come: without one nothing that belongs to a day is known.

    on : the burn date; today : the day somebody looks, None where that is the burn date itself
    """
    if on is None:
        return checked("date", "not known", SITE, reason("day.no_date"))
    if today is not None and on < today:
        return checked("date", "date has passed", SITE, reason("day.date_passed", on=on, today=today))
    return checked("date", "set", SITE, reason("day.date", on=on))


def closed_check(on: dt.date | None, closed: Iterable[tuple[dt.date, dt.date, str]]) -> Check:
    """Whether the burn date is a day on which nothing may burn. closed : first day, last day and why, of each time"""
    for first, last, why in closed:
        if on is not None and first <= on <= last:
            told = reason("day.closed_why", on=on, why=why) if why else reason("day.closed", on=on)
            return checked("date", "closed day", SITE, told)
    return checked("date", "set", SITE, reason("day.not_closed"))


def permit_check(permit: Permit, on: dt.date | None) -> Check:
    """Whether the burn date lies within the days of the permit, and its conditions are met; days not entered are not
    known."""
    if permit.none_needed and (permit.starts or permit.ends or permit.conditions or permit.hour_unread):
        return checked("permit", "not known", SITE, reason("day.permit_or_none"))
    if permit.none_needed:
        return checked("permit", "no permit needed", SITE, reason("day.no_permit_needed"))
    starts, ends = permit.starts, permit.ends
    if starts is not None and ends is not None and ends < starts:
        return checked("permit", "not known", SITE, reason("day.permit_backwards", starts=starts, ends=ends))
    if on is not None and ends is not None and on > ends:
        return checked("permit", "outside the permit", SITE, reason("day.permit_ended", on=on, ends=ends))
    if on is not None and starts is not None and on < starts:
        return checked("permit", "outside the permit", SITE, reason("day.permit_not_begun", on=on, starts=starts))
    if starts is None or ends is None or on is None:
        return checked("permit", "not known", SITE, reason("day.permit_not_known"))
    if permit.hour_unread:
        told = reason("day.permit_hour_unread", why=reason("kiln.time_of_day", typed=permit.hour_unread))
        return checked("permit", "not known", SITE, told, reason("action.permit_hour"))
    if permit.gust_below_wind:
        return checked("permit", "not known", SITE, reason("day.permit_gust_below"))
    open_ = _conditions(permit)
    if open_ is not None:
        return open_
    return checked("permit", "inside the permit", SITE, reason("day.permit_holds", starts=starts, ends=ends))


def overnight_check(permit: Permit, out: dt.date) -> Check:
    """Whether the permit still holds on a later day on which a kiln is alight. out : that day"""
    if permit.ends is not None and out > permit.ends:
        return checked("permit", "outside the permit", SITE, reason("day.permit_overnight", on=out, ends=permit.ends))
    return checked("permit", "inside the permit", SITE, reason("day.permit_overnight_holds", on=out))


def _conditions(permit: Permit) -> Check | None:
    """What of the conditions keeps the permit from holding; None where each is met, or it has none. A blank is no
    answer."""
    if not permit.conditions:
        if permit.no_conditions:
            return None
        return checked("permit", "not known", SITE, reason("day.permit_silent"), reason("action.read_permit"))
    if not permit.met:
        return checked("permit", "conditions open", SITE, reason("day.permit_conditions", conditions=permit.conditions))
    if permit.tick_doubt is None:
        return None
    why = reason("day.permit_tick", conditions=permit.conditions, why=permit.tick_doubt)
    return checked("permit", "not known", SITE, why, reason("action.sign_tick"))


def ban_check(ban: str | None) -> Check:
    """Whether a fire ban is in force: "none", "in_force" or None for not asked."""
    if ban == "none":
        return checked("ban", "no ban", SITE, reason("day.no_ban"))
    if ban == "in_force":
        return checked("ban", "ban in force", SITE, reason("day.ban"))
    return checked("ban", "not known", SITE, reason("day.ban_not_known"))


def surroundings_check(state: str | None, allowed_by: str | None = None) -> Check:
    """Whether the grass and brush around let a fire be lit: snow, wet, green and drying do, cured does not.

    allowed_by : the officer in charge who allows it among cured grass on the burn date, None where nobody does
    """
    if state is None:
        return checked("surroundings", "not known", SITE, reason("day.surroundings_not_known"))
    if state == "cured" and allowed_by:
        return checked(
            "surroundings", "allowed by the officer", SITE, reason("day.surroundings_allowed", name=allowed_by)
        )
    if state == "cured":
        return checked("surroundings", "cured", SITE, reason("day.cured"))
    return checked("surroundings", "not cured", SITE, reason("day.surroundings", state=Term(state)))


def people_check(adults: int | None) -> Check:
    """Whether there are two adults at least."""
    if adults is None:
        return checked("people", "not known", SITE, reason("day.people_not_known"))
    if adults < LEAST_ADULTS:
        return checked("people", "too few people", SITE, reason("day.alone", adults=adults, least=LEAST_ADULTS))
    return checked("people", "enough people", SITE, reason("day.people", adults=adults))


def carriers_check(adults: int | None, carriers: int | None) -> Check:
    """Whether no more are to carry water than are there."""
    if adults is not None and carriers is not None and carriers > adults:
        why = reason("day.more_carriers", carriers=carriers, adults=adults)
        return checked("carriers", "two figures disagree", SITE, why, reason("action.count_people"))
    return checked("carriers", "enough people", SITE, reason("day.carriers"))


def call_check(means: Iterable[str | None], emergency: str | None) -> Check:
    """Whether help can be called from the site, and by which number.

    means : telephone or radio on the day; emergency : the number to call
    """
    if any(means) and emergency:
        return checked("call", "help can be called", SITE, reason("day.call", number=emergency))
    return checked("call", "not known", SITE, reason("day.no_call"), reason("action.enter_call"))


def walked_check(walked: dt.date | None, day: Day) -> Check:
    """Whether somebody walked the site, and not too long ago."""
    if walked is None:
        return checked("walked", "not known", SITE, reason("day.not_walked"), reason("action.walk"))
    why = why_not(walked, "looked", day)
    if why is not None:
        return checked("walked", "not known", SITE, reason("day.walked_doubt", why=why), reason("action.walk"))
    return checked("walked", "walked", SITE, reason("day.walked", on=walked))


def daylight_check(
    spot: str,
    kiln: str | None,
    light_known: bool,
    fits: bool | None,
    needs: Quantity | None = None,
    until: dt.time | None = None,
) -> Check:
    """Whether a batch of one kiln fits the daylight of the day.

    spot : id of its kiln spot; kiln : its name, or None where no kiln is known there; light_known : whether sunrise and
    sunset are; fits : whether a batch was found to fit, None where that could not be worked out; needs : how long one
    takes from lighting to water [h]; until : the hour of the permit, where it ends the day
    """
    if not light_known:
        return checked("daylight", "not known", spot, reason("day.no_light"), reason("action.enter_clock"))
    if kiln is None or fits is None:
        return checked("daylight", "not known", spot, reason("day.no_clock"), reason("action.enter_clock"))
    if not fits and until is not None:
        told = reason("day.no_batch_before", kiln=kiln, needs=needs, until=until)
        return checked("daylight", "no batch fits", spot, told)
    if not fits:
        return checked("daylight", "no batch fits", spot, reason("day.no_batch_fits", kiln=kiln, needs=needs))
    return checked("daylight", "a batch fits", spot, reason("day.batch_fits", kiln=kiln))


def no_kiln_check(spot: str, name: str) -> Check:
    """Of a spot of which nobody knows which kiln stands there, how large it is, or what it burns: nothing follows."""
    return checked("kiln", "not known", spot, reason("day.no_kiln", name=name))


def leader_check(leader: str | None) -> Check:
    """Whether somebody is said to be in charge."""
    if not leader:
        return checked("leader", "not known", SITE, reason("day.no_leader"))
    return checked("leader", "somebody in charge", SITE, reason("day.leader", name=leader))
