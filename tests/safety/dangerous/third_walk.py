# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""A third walk: marks without a size, tests of another line, a fire that its spot left behind."""

from __future__ import annotations

from tests.safety.dangerous.afterwards import burned
from tests.safety.dangerous.rows import NOT_YET, row
from tests.safety.dangerous.safe_values import Values, lonlat, point


def where(x: float, y: float) -> Values:
    """The stamp of a row of the log: where it burned."""
    return {"*": {"at": lonlat(x, y)}}


MARKS = (
    row("a house of others at 100 m, drawn as a mark", lambda s: s.add("structure", point(-101.2, 0), use="occupied_by_others", position_error_m=1), NOT_YET, "measure"),
    row("the own shed at 20 m, drawn as a mark", lambda s: s.draw("shed", point(-21.2, 0)), NOT_YET, "measure"),
    row("a farm drawn as a mark beside the kiln", lambda s: s.draw("farm", point(-7, 0)).put("farm", position_error_m=1), NOT_YET, "may stand in it"),
    row("a fuel tank at 16 m, drawn as a mark", lambda s: s.add("fuel_store", point(-17.2, 0), position_error_m=0.5), NOT_YET, "measure"),
    row("a pond drawn as a mark at 25 m", lambda s: s.add("water_source", point(-26, 0), source="pond", position_error_m=0.5), NOT_YET, "NEW"),
    row("a helicopter lands on a mark 14 m away", lambda s: s.add("landing_place", point(-14, 0)), NOT_YET, "NEW"),
    row("lorries parked on a mark 11 m away", lambda s: s.draw("park", point(-11, 0)), NOT_YET, "PARK"),
)  # fmt: skip
TESTED = (
    row("buckets filled with another pump", lambda s: s.lines(bucket_pump=["borrowed"]), NOT_YET, "another line.*borrowed"),
    row("buckets filled through another hose", lambda s: s.lines(bucket_hose=["hose", "hose-2"]), NOT_YET, "another line"),
    row("buckets filled through another tip", lambda s: s.lines(bucket_tip="open end"), NOT_YET, "another line"),
    row("with which pump the buckets were filled is not said", lambda s: s.lines(bucket_pump=None), NOT_YET, "does not say what"),
    row("through which hose is not said", lambda s: s.lines(bucket_hose=None), NOT_YET, "does not say what"),
    row("through which tip is not said", lambda s: s.lines(bucket_tip=None), NOT_YET, "does not say what"),
    row("the pumps changed round since", lambda s: s.put("pond", pump="pump-2").put("tank", pump="pump"), NOT_YET, "another line"),
    row("the escape line's tip changed since", lambda s: s.put("tank", nozzle="fog"), NOT_YET, "another line"),
)  # fmt: skip
BURNED = (
    row("beside a place that burned, whose spot moved on", lambda s: burned(s, kiln="K2", seen=where(10, 0)).move("k2", 60, 0), NOT_YET, "not proved cold"),
    row("the same, and where it burned was not written down", lambda s: burned(s, kiln="K2").move("k2", 60, 0), NOT_YET, "not proved cold"),
    row("beside it, written down where nobody can read", lambda s: burned(s, kiln="K2", seen={"*": {"at": "there"}}), NOT_YET, "not proved cold"),
)  # fmt: skip
ROWS = (*MARKS, *TESTED, *BURNED)
