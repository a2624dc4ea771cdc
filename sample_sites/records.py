"""Short ways to write what the samples say of heaps, and of who looked and who was asked."""

from __future__ import annotations

from typing import Any

from sitemap.safety.rules import look_for


def size(shape: str, length_m: float, width_m: float, height_m: float, **more: Any) -> dict[str, Any]:
    """Shape and sizes of a heap."""
    return {"shape": shape, "length_m": length_m, "width_m": width_m, "height_m": height_m, **more}


def about(key: str, likely: float, low: float, high: float, basis: str) -> dict[str, Any]:
    """A number with its range and where it comes from."""
    return {key: likely, f"{key}_low": low, f"{key}_high": high, f"{key}_basis": basis}


def readings(date: str, thickness_cm: float, *moisture_pct: float) -> list[dict[str, Any]]:
    """Moisture readings of one day on freshly split pieces of one thickness at 21 °C [% of the dry weight]."""
    said = {"basis": "dry", "date": date, "where": "core", "thickness_cm": thickness_cm, "wood_c": 21}
    return [{"moisture_pct": pct, **said} for pct in moisture_pct]


def weather_read(by: str, on: str, *worst: float, quiet_h: float = 72) -> dict[str, Any]:
    """The worst of all hours of the burn, as read on its morning: wind and gust at 20 ft [m/s], humidity [%], warmth
    [°C]; and hours without a front."""
    named = zip(("wind_m_s", "gust_m_s", "humidity_pct", "temperature_c"), worst, strict=True)
    return {"on": on, "by": by, "height": "20 ft (6 m)", **dict(named), "quiet": quiet_h}


def looked(who: str, when: str, **within_m: float) -> list[dict[str, Any]]:
    """Kinds that were looked for and not found, each with how far [m]."""
    return [{"kind": kind, "within_m": metres, "who": who, "when": when} for kind, metres in within_m.items()]


def looked_for_all(looked_: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What was looked for, and as far as its rule each other kind that must be."""
    done = {each["kind"] for each in looked_}
    more = {kind: look_m for kind, look_m in look_for().items() if kind not in done}
    return [*looked_, *looked(looked_[0]["who"], looked_[0]["when"], **more)]


def asked(whom: str, name: str, date: str, answer: str, said: str, about: str | None = None) -> dict[str, Any]:
    """One who was asked, and what was said; about a feature, or the whole site."""
    record = {"whom": whom, "name": name, "date": date, "answer": answer, "said": said}
    return record if about is None else record | {"about": about}


def rule(key: str, kind: str, distance_m: float, condition: str) -> dict[str, Any]:
    """One distance of the site's own."""
    source = {"source": "invented for this sample", "evidence": "C"}
    return {"id": key, "kind": kind, "distance_m": distance_m, "condition": condition, **source}
