"""What the safety room knows of a site, read once: frozen records of numbers and words, no text left to parse."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sitemap.reasons import Reason, Term


@dataclass(frozen=True)
class Asked:
    """Somebody who was asked; None for what was not entered.

    whom : "authority", "land_owner", "line_owner", "neighbour"; answer : "yes", "conditions", "no"; about : id of a
    feature; conditions_met : somebody ticked that each of them is; met_by, met_on : who and when; distance_m : they
    asked for [m]; none_needed : they say that no distance is
    doubt : why its date does not stand for the burn date, or None where it does; a no stands all the same
    tick_doubt : the same of the tick
    """

    whom: str | None = None
    name: str | None = None
    date: dt.date | None = None
    answer: str | None = None
    said: str | None = None
    about: str | None = None
    conditions_met: bool = False
    met_by: str | None = None
    met_on: dt.date | None = None
    distance_m: float | None = None
    none_needed: bool = False
    doubt: Reason | None = None
    tick_doubt: Reason | None = None


@dataclass(frozen=True)
class Looked:
    """What somebody looked for and did not find but what is on the map. within_m : how far round [m]; None for what was
    not entered. around : longitude and latitude of the places it was made round, empty where nobody said.
    doubt : why its date does not stand for the burn date, or None where it does."""

    kind: str | None = None
    within_m: float | None = None
    who: str | None = None
    when: dt.date | None = None
    around: tuple[tuple[float, float], ...] = ()
    doubt: Reason | None = None


@dataclass(frozen=True)
class Machine:
    """A machine on site. reach_m : of its arm [m], None where not entered."""

    id: str
    name: str
    reach_m: float | None = None


@dataclass(frozen=True)
class Pad:
    """What was entered of the ground a kiln stands on.

    ground : key of table `ground_under_kiln`; branches : "none", "yes"; branch_height_m : lowest branch [m];
    slope_pct : [%], of the pad where one is cut; fuel_upslope : "yes", "no"; None for what was not entered
    """

    id: str
    name: str
    ground: str | None = None
    branches: str | None = None
    branch_height_m: float | None = None
    slope_pct: float | None = None
    fuel_upslope: str | None = None
    pad_cut: bool = False


@dataclass(frozen=True)
class Thing:
    """One feature as it was entered, as far as distances ask; None for what was not entered.

    label : what its kind is called
    use : of a structure; public : of a road; overhead : of a power line; source : of water
    position_error_m : [m]; under_trees : of a kiln spot
    status, staged, packing : of a heap; length_m, height_m : of a heap or tree [m]; width_m : of a heap, a road or line
    area_m2 : of water [m²]; voltage_kv : of a power line [kV]
    """

    id: str
    name: str
    kind: str
    label: Term
    use: str | None = None
    public: bool | None = None
    overhead: bool | None = None
    source: str | None = None
    position_error_m: float | None = None
    under_trees: bool | None = None
    status: str | None = None
    staged: bool | None = None
    packing: str | None = None
    length_m: float | None = None
    width_m: float | None = None
    height_m: float | None = None
    area_m2: float | None = None
    voltage_kv: float | None = None
