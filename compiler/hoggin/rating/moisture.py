"""What the moisture of its feed does to a crusher that squeezes: capacity lost, risk of packing."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.models import packing
from hoggin.rating.flows import Flow, Flows
from hoggin.schema.plant import Machine
from hoggin.schema.results import Check, MoistureResult

_SQUEEZING = ("matrix", "matrix_t10", "setting_curve")  # models of breakage between two faces


def moist_capacity(machine: Machine, flows: Flows, dry_t_h: float | None) -> float | None:
    """Capacity under the moisture of the machine's own feed; the dry one where its class states no
    loss."""
    return None if dry_t_h is None else dry_t_h * _kept(machine, flows)


def moisture_loss(machine: Machine, flows: Flows, dry_t_h: float | None) -> MoistureResult | None:
    """What moisture takes of the capacity; None where the class states no loss."""
    if dry_t_h is None or not machine.facts.get("moisture_capacity_loss"):
        return None
    return MoistureResult(
        moisture=flows.moisture_into(machine.tag),
        dry_capacity_t_h=dry_t_h,
        lost=1.0 - _kept(machine, flows),
    )


def with_moisture(checks: Iterable[Check], machine: Machine, flows: Flows) -> list[Check]:
    """Checks of the load, that say what moisture took of the capacity."""
    kept = _kept(machine, flows)
    if kept == 1.0:
        return list(checks)
    told = (
        f"; capacity is {100 * (1.0 - kept):.0f} % less for "
        f"{100 * flows.moisture_into(machine.tag):.1f} % moisture in the feed"
    )
    return [check.model_copy(update={"text": check.text + told}) for check in checks]


def packing_checks(machine: Machine, feed: Flow, flows: Flows) -> list[Check]:
    """Fines in a moist feed (the rule and its standing: `packing.packing_likely`)."""
    setting = _squeezes_to_mm(machine)
    if feed.empty or setting is None:
        return []
    moisture, limit = flows.moisture_into(machine.tag), _limit(machine)
    if moisture <= limit:
        return []
    size = packing.PACKING_SIZE * setting
    fines = feed.passing(size)
    likely = packing.packing_likely(moisture, fines, moisture_limit=limit)
    most = 100 * packing.PACKING_FINES
    text = f"feed holds {100 * moisture:.1f} % moisture and {100 * fines:.0f} % finer than "
    text += f"{size:.3g} mm, a quarter of the setting; over {100 * limit:g} % moisture, more than "
    text += f"{most:g} % of fines pack the chamber"
    return [
        Check(
            name="packing",
            verdict="watch" if likely else "ok",
            text=text,
            value=100 * fines,
            limit=most,
            unit="%",
            code="W0516" if likely else None,
        )
    ]


def _kept(machine: Machine, flows: Flows) -> float:
    loss = machine.facts.get("moisture_capacity_loss")
    if machine.kind != "crusher" or not loss:
        return 1.0
    moisture = flows.moisture_into(machine.tag)
    return float(packing.moist_capacity_share(moisture, limit=_limit(machine), loss=loss)[0])


def _limit(machine: Machine) -> float:
    return machine.facts.get("moisture_limit", packing.PACKING_MOISTURE)


def _squeezes_to_mm(machine: Machine) -> float | None:
    """Setting of a chamber that squeezes, mm; None for impactors and all else."""
    use = machine.models.get("breakage")
    if use is None or use.model not in _SQUEEZING:
        return None
    sizes = (s.value for s in machine.settings if s.name in ("css", "gap"))
    return next((size for size in sizes if size is not None), None)
