"""Whole sites from outside: may a kiln stand there.

No expected figure comes from the program: distances by geographiclib's geodesics, verdicts by the
project's own contract, which is cited. Evidence letters as elsewhere: P, S, D, M, C.
"""

from __future__ import annotations

from typing import Any

import pytest

from sitemap.safety.rules import look_for
from tests.whole import HERE, READY, line, off, point, polygon, report, thing

RING = [{"name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9}]
LOOKED = [{"kind": kind, "within_m": 200, "who": "A", "when": "2026-06-01"} for kind in look_for()]
ASKED = [{"whom": "authority", "name": "B", "date": "2026-06-01", "answer": "yes"}]
OWNER = {"whom": "line_owner", "name": "C", "date": "2026-06-01", "answer": "yes", "about": "Line"}
FILLED = {"bucket_pump": ["Pump"], "bucket_hose": ["Hose"], "bucket_tip": "Tip"}
SOUND = {
    "kiln": "Ring",
    "ground": "mineral soil",
    "branches_overhead": "none",
    "slope_pct": 2,
    "fuel_upslope": "no",
    "quench_method": "raked_and_sprayed",
    "position_error_m": 1,
}


def stand(
    *features: dict[str, Any], spot: dict[str, Any] | None = None, looked: Any = LOOKED, asked: Any = ASKED
) -> dict[str, Any]:
    """A kiln that passes everything, with a proved water line, among some features."""
    pump = {"name": "Pump", "max_head_m": 60, "max_flow_l_min": 400}
    found = report(
        thing("kiln_spot", "k", point(HERE), **{**SOUND, **(spot or {})}),
        thing("pile", "p", point(off(HERE, 225, 60)), shape="dome", length_m=4, width_m=3, height_m=1.5),
        thing(
            "water_source",
            "w",
            point(off(HERE, 270, 50)),
            source="tank",
            volume_l=5000,
            pump="Pump",
            nozzle="Tip",
            hose=[{"hose": "Hose", "length_m": 60}],
            **READY,
        ),
        *features,
        equipment={
            "kilns": RING,
            "pumps": [pump],
            "hoses": [{"name": "Hose", "bore_mm": 38, "lengths_m": [20] * 3, "rated_kpa": 1500}],
            "nozzles": [{"name": "Tip", "bore_mm": 9}],
        },
        links=[{"source": "w", "spot": "k", "lift_m": 2, "bucket_test": [20, 11], **FILLED}],
        looked=looked,
        asked=asked,
    )
    return dict(found["spots"][0])


def own(metres: float) -> dict[str, Any]:
    """An own structure with a wall so far from the middle of the kiln, known to 1 m."""
    near, far = off(HERE, 90, metres), off(HERE, 90, metres + 4)
    walls = polygon(*(off(end, bearing, 3) for end, bearing in ((near, 0), (far, 0), (far, 180), (near, 180))))
    return thing("structure", "s", walls, use="own", position_error_m=1)


def power(metres: float, **said: Any) -> dict[str, Any]:
    """A single wire passing so far north of the kiln, known to 1 m."""
    middle = off(HERE, 0, metres)
    ends = off(middle, 270, 300), off(middle, 90, 300)
    return thing("power_line", "line", line(*ends), name="Line", width_m=0.02, position_error_m=1, **said)


def test_law_an_honest_site_passes_and_every_blank_keeps_it_from_that() -> None:
    assert stand()["verdict"] == "passes the checks entered"
    assert stand(asked=[])["verdict"] == "conditional"
    assert stand(looked=LOOKED[1:])["verdict"] == "conditional"
    assert stand(looked=[{**entry, "within_m": 20} for entry in LOOKED])["verdict"] == "conditional"
    assert stand(looked=[{**entry, "who": None} for entry in LOOKED])["verdict"] == "conditional"
    for blank in ("ground", "branches_overhead", "slope_pct"):
        assert stand(spot={blank: None})["verdict"] == "conditional"
    refused = [{**ASKED[0], "answer": "no"}]
    assert stand(asked=refused)["verdict"] == "ruled out"


@pytest.mark.parametrize(
    ("metres", "verdict", "effect"),
    [
        (14.0, "too close", "ruled out"),  # 14 − 0.75 − 15 = −1.75
        (16.0, "measure on the ground", "conditional"),  # margin 0.25, errors 1 + 1
        (17.5, "measure on the ground", "conditional"),  # margin 1.75
        (18.0, "far enough", "passes"),  # margin 2.25
    ],
)
def test_law_the_margin_has_a_sign(metres: float, verdict: str, effect: str) -> None:
    """Own structure 15 m (C); margin < 0 too close, below both errors added measure, else far enough."""
    found = stand(own(metres))
    (row,) = [row for row in found["setbacks"] if row["feature"] == "s"]
    assert row["distance_m"] == pytest.approx(metres - 0.75, abs=1e-3)
    assert row["margin_m"] == pytest.approx(metres - 15.75, abs=1e-3)
    assert (row["error_m"], row["required_m"], row["verdict"]) == (2.0, 15.0, verdict)
    (check,) = [check for check in found["checks"] if check["about"] == "s"]
    assert check["effect"] == effect


@pytest.mark.parametrize(
    ("feature", "asked", "effect"),
    [
        (power(20), ASKED, "ruled out"),
        (power(0), [*ASKED, OWNER], "ruled out"),  # beneath it, whatever its owner says
        (power(20), [*ASKED, OWNER], "conditional"),
        (power(20), [*ASKED, {**OWNER, "date": None}], "ruled out"),  # an agreement without a date is none
        (power(31.5), ASKED, "conditional"),  # margin 0.75, errors 2
        (power(40), ASKED, "passes"),
        (power(20, overhead=False), ASKED, "conditional"),  # buried: no distance entered, ask
        (thing("power_line", "line", None), ASKED, "conditional"),  # somewhere: not known is never safe
    ],
)
def test_law_power_lines_rule_out_until_their_owner_has_agreed(
    feature: dict[str, Any], asked: list[Any], effect: str
) -> None:
    found = stand(feature, asked=asked)
    (check,) = [check for check in found["checks"] if check["about"] == "line"]
    assert check["effect"] == effect


@pytest.mark.parametrize(
    ("ground", "verdict"),
    [
        ("rock", "passes the checks entered"),
        ("litter or duff", "conditional"),
        ("peat", "ruled out"),
        ("roots_stump", "ruled out"),
    ],
)
def test_law_ground_under_the_kiln(ground: str, verdict: str) -> None:
    assert stand(spot={"ground": ground})["verdict"] == verdict
