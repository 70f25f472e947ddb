"""What a crusher's breakage comes to under the feed it has, where that is not its class's alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from hoggin.balance.result import Array
from hoggin.models.following import blended_t10, classification_sizes, t10_of_feed
from hoggin.rating.flows import Flow, Flows
from hoggin.rating.model_use import model_in_use
from hoggin.schema.plant import Machine
from hoggin.schema.results import BreakageResult, MachineResult


def breakage_under_feed(machine: Machine, feed: Flow, flows: Flows) -> BreakageResult | None:
    """K1, K2 and t10 of the feed; None where neither its F80 nor its rock matters."""
    found = model_in_use(machine, "breakage")
    if found is None or machine.kind != "crusher":
        return None
    model, use = found
    f80, known = feed.size_at(0.8), use.coefficients
    by_size = any(known.get(name, 0.0) for name in model.feed_coefficients)
    shares = flows.material_shares(machine.tag)
    by_rock = bool(model.rock_coefficients) and any(
        flows.plant.materials[name].breakage for name, share in shares.items() if share > 0.0
    )
    if f80 is None or not (by_size or by_rock):
        return None
    sizes = {name: known.get(name, 0.0) for name in ("k1", "k2", "k1_feed", "k2_feed")}
    usual = known.get("usual_f80", 0.0)
    k1, k2 = classification_sizes(**sizes, usual_f80=usual, f80_mm=f80)
    t10 = None
    if model.rock_coefficients:
        t10 = _t10(flows, shares, known)
        slope = known.get("t10_feed", 0.0)
        t10 = t10_of_feed(t10, t10_feed=slope, usual_f80=usual, f80_mm=f80)
    return BreakageResult(
        follows_f80=by_size,
        follows_rock=by_rock,
        f80_mm=f80,
        k1_mm=float(k1[0]),
        k2_mm=float(k2[0]),
        t10=None if t10 is None else float(t10[0]),
    )


def assumptions(machines: Iterable[MachineResult]) -> tuple[str, ...]:
    """The assumption that goes with breakage that follows its feed, where any does."""
    tags = [machine.tag for machine in machines if machine.breakage is not None]
    if not tags:
        return ()
    return (
        f"Breakage in {', '.join(tags)} also follows its own feed, by the F80 or by the rock, as "
        "class and materials state; a blend of rocks has the mean of their t10 by mass (common "
        "practice, no source). Beyond the feeds the figures were measured at, don't believe it.",
    )


def _t10(flows: Flows, shares: Mapping[str, float], known: Mapping[str, float]) -> Array:
    rocks = [(flows.plant.materials[name].breakage, share) for name, share in shares.items()]
    own = {
        name: np.array([[rock.get(name, known[name]) for rock, _ in rocks]])
        for name in ("t10_limit", "energy_scale")
    }
    mass = np.array([[share for _, share in rocks]])
    return blended_t10(**own, specific_energy=known["specific_energy"], rock_shares=mass)
