"""What bins and stockpiles hold, how much of it is live, and how long that lasts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.models import storage
from hoggin.rating.flows import Flows
from hoggin.schema.plant import Machine
from hoggin.schema.results import Check, StorageResult

# Crushed stone lies at 35 to 40 degrees; common practice, no source.
REPOSE_DEG = 37.0


def stored(machine: Machine, flows: Flows) -> StorageResult | None:
    """The storage of a bin or stockpile; None for other machines, or where nothing is stated.

    A stated live mass goes before one worked out, a stated live share before the cone's.
    """
    facts = machine.facts
    if machine.kind not in ("bin", "stockpile") or not facts:
        return None
    cone = _cone(facts)
    volume = cone.volume_m3 if cone else facts.get("volume_m3")
    density = flows.feed_mixture(machine.tag).bulk_density_t_m3
    held = volume * density if volume is not None else None
    live, share = facts.get("live_t"), facts.get("live_share")
    by_angles = cone is not None and live is None and share is None
    if live is not None:
        share = live / held if held else None
    elif held is not None:
        share = cone.live_share if cone and share is None else 1.0 if share is None else share
        live = held * share
    through = flows.into(machine.tag)
    return StorageResult(
        height_m=cone.height_m if cone else None,
        repose_deg=cone.repose_deg if cone else None,
        drawdown_deg=cone.drawdown_deg if cone and by_angles else None,
        base_diameter_m=cone.base_diameter_m if cone else None,
        volume_m3=volume,
        held_t=held,
        live_share=share,
        live_t=live,
        through_t_h=through.rate_t_h,
        surge_time_h=None if live is None or through.empty else live / through.rate_t_h,
    )


@dataclass(frozen=True, slots=True)
class _Cone:
    height_m: float
    repose_deg: float
    drawdown_deg: float
    base_diameter_m: float
    volume_m3: float
    live_share: float


def _cone(facts: Mapping[str, float]) -> _Cone | None:
    """The pile as a whole cone with one opening under its apex."""
    if "height_mm" not in facts:
        return None
    height = facts["height_mm"] / 1000
    repose = facts.get("repose_angle_deg", REPOSE_DEG)
    drawdown = facts.get("drawdown_angle_deg", repose)
    return _Cone(
        height_m=height,
        repose_deg=repose,
        drawdown_deg=drawdown,
        base_diameter_m=2 * float(storage.base_radius_m(height, repose)[0]),
        volume_m3=float(storage.cone_volume_m3(height, repose)[0]),
        live_share=float(storage.live_share(repose, drawdown)[0]),
    )


def storage_checks(found: StorageResult | None) -> list[Check]:
    """Whether the live mass that is stated fits into the pile or bin that is stated."""
    if found is None or found.held_t is None or found.live_t is None:
        return []
    fits = found.live_t <= found.held_t * (1 + 1e-9)
    text = f"{found.live_t:.0f} t live of {found.held_t:.0f} t held"
    return [
        Check(
            name="live storage",
            verdict="ok" if fits else "over",
            text=text,
            value=found.live_t,
            limit=found.held_t,
            unit="t",
            code=None if fits else "W0517",
        )
    ]
