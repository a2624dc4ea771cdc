"""The proposals as text and as JSON, for the command line."""

from __future__ import annotations

import json

from sitemap.geodesy.coordinates import decimal
from sitemap.reasons import KilnName, Reason, reason
from sitemap.siting.propose import Placing
from sitemap.telling import sentence, tell
from sitemap.units import reported


def said(findings: tuple[Reason, ...], system: str) -> str:
    """Findings one after the other, a sentence each, each once."""
    return " ".join(dict.fromkeys(sentence(each, system) for each in findings))


def place_text(placing: Placing, system: str) -> str:
    """The proposals as text, least work first; system : units shown."""
    lines = []
    if placing.kiln is not None and placing.proposals:
        lines.append(f"{sentence(reason('siting.for_kiln', kiln=KilnName(placing.kiln.name))).rstrip('.')}:")
    lines += [said(placing.why, system)] if placing.why else []
    for number, proposal in enumerate(placing.proposals, start=1):
        count = tell(reason("siting.spots", count=len(proposal.spots)))
        lines += [f"{number}. {count}: {said(proposal.findings, system)}"]
        lines += [f"   {decimal(spot.lon, spot.lat)}: {said(spot.findings, system)}" for spot in proposal.spots]
    lines.append(sentence(reason("siting.usable_means")))
    return "\n".join(lines) + "\n"


def place_json(placing: Placing, system: str) -> str:
    """The proposals as JSON text, least work first; system : units of its sentences."""
    proposals = [
        {
            "machine_hours": reported(one.machine_hours),
            "haul_h": reported(one.haul_h),
            "water_h": reported(one.water_h),
            "move_h": reported(one.move_h),
            "spots": [
                {
                    "lon": round(s.lon, 7),
                    "lat": round(s.lat, 7),
                    "dry_t": reported(s.dry_t),
                    "why": said(s.findings, system),
                }
                for s in one.spots
            ],
        }
        for one in placing.proposals
    ]
    kiln = None if placing.kiln is None else placing.kiln.name
    told = {"format": 1, "kiln": kiln, "proposals": proposals, "why_none": said(placing.why, system) or None}
    return json.dumps(told, ensure_ascii=False) + "\n"
