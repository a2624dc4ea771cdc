"""Every place proposed on sixty altered sites, put on the map with what is known of it: never "not here"."""

from __future__ import annotations

import math
from random import Random

import pytest

from sitemap.day.decision import NOT_HERE
from sitemap.siting.propose import place
from tests.properties import thorough
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import area, line, point, square

ALTERED, EVERY_DAY = 60, 10  # a search takes seconds: every day some of them, the same each time
HAZARDS = ("structure", "fuel_store", "smoke_place", "no_go", "wetland", "pile", "hazard_tree", "stream", "buried_line")


def altered(seed: int) -> SafeSite:
    """The safe site without its kilns, its heaps and dangers thrown about: seeded, so that a number names a site."""
    far = (
        "rail",
        "edge",
        "farm",
        "refuge",
        "out-1",
        "out-2",
        "gate",
        "turn",
        "park",
        "meet",
    )
    rng, site = Random(seed), SafeSite().drop("k1", "k2", *far)

    def somewhere(far_m: float) -> tuple[float, float]:
        away, turn = far_m * math.sqrt(rng.random()), rng.uniform(0, 2 * math.pi)
        return away * math.cos(turn), away * math.sin(turn)

    for heap in ("p1", "p2"):
        site.draw(heap, point(*somewhere(50)))
    x, y = somewhere(60)
    site.draw("pond", area((x - 20, y - 60), (x + 20, y - 60), (x + 20, y - 30), (x - 20, y - 30)))
    site.draw("tank", point(*somewhere(30))).draw("area", area((-50, -30), (50, -30), (50, 50), (-50, 50)))
    site.draw("pines", area((-40, 60), (40, 60), (40, 80), (-40, 80)))
    site.draw("wire", line((rng.uniform(-60, 60), -70), (rng.uniform(-60, 60), 70)))
    for number, kind in enumerate(rng.sample(HAZARDS, rng.randint(1, 4))):
        x, y = somewhere(45)
        form = {"structure": square(x, y, 8), "no_go": square(x, y, 25), "wetland": square(x, y, 18)}.get(kind)
        if kind in ("stream", "buried_line"):
            form = line((x - 60, y), (x + 60, y + rng.uniform(-40, 40)))
        if kind == "smoke_place" and rng.random() < 0.5:
            form = square(x, y, 40)
        site.add(kind, form or point(x, y), f"h{number}")
    return site


def put_down(site: SafeSite, places: list[tuple[float, float]]) -> list[str]:
    """Kiln spots at places (lon, lat), and nothing said of them but the kiln; their ids."""
    for number, (lon, lat) in enumerate(places):
        site.add("kiln_spot", {"type": "Point", "coordinates": [lon, lat]}, f"n{number}", kiln="box")
    return [f"n{number}" for number in range(len(places))]


@pytest.mark.parametrize("seed", range(ALTERED if thorough() else EVERY_DAY))
def test_law_a_proposed_place_is_never_not_here(seed: int) -> None:
    placing = place(altered(seed).assessed(), spots_most=2)
    assert placing.proposals or placing.why
    for proposal in placing.proposals[:1]:
        site = altered(seed)
        spots = put_down(site, [(spot.lon, spot.lat) for spot in proposal.spots])
        decisions = [site.assessed().decision(spot) for spot in spots]
        assert [d.because[0] for d in decisions if d is not None and d.word == NOT_HERE] == []
