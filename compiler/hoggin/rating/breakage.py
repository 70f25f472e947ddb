"""What a crusher's breakage comes to under the feed it has, where that is not its class's alone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.result import Array
from hoggin.models.following import blended_t10, classification_sizes, t10_of_feed
from hoggin.models.model import Model
from hoggin.rating.view import View
from hoggin.schema.results import BreakageResult, MachineResult

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView
    from hoggin.rating.rated import Rated


def breakage_under_feed(machine: MachineView) -> BreakageView | None:
    """K1, K2 and t10 of the feed; None where neither its F80 nor its rock matters."""
    model = machine.rated.model(machine.machine, "breakage")
    if model is None or not machine.crushes or np.isnan(machine.f80_mm).all():
        return None
    found = BreakageView(machine, model)
    return found if found.follows_f80 or found.follows_rock else None


class BreakageView(View):
    document = BreakageResult

    def __init__(self, machine: MachineView, model: Model) -> None:
        rated = machine.rated
        known = rated.numbers.coefficients(machine.machine, "breakage")
        shares = rated.feed_shares(machine.tag)
        rocks = [rated.plant.materials[feed.material].breakage for feed in rated.plant.feeds]
        reached = [rock for rock, share in zip(rocks, shares.T, strict=True) if share.any()]
        zero = np.zeros(1)
        self.f80_mm = machine.f80_mm
        self.follows_f80 = any(known.get(n, zero).any() for n in model.feed_coefficients)
        self.follows_rock = bool(model.rock_coefficients) and any(reached)
        sizes = {n: known.get(n, zero) for n in ("k1", "k2", "k1_feed", "k2_feed")}
        usual = known.get("usual_f80", zero)
        self.k1_mm, self.k2_mm = classification_sizes(**sizes, usual_f80=usual, f80_mm=self.f80_mm)
        self.t10: Array = machine.none
        if model.rock_coefficients and (self.follows_f80 or self.follows_rock):
            own = {n: _of_rocks(rated, n, known[n]) for n in ("t10_limit", "energy_scale")}
            with np.errstate(invalid="ignore"):  # of an empty feed
                blended = blended_t10(
                    **own, specific_energy=known["specific_energy"], rock_shares=shares
                )
            slope = known.get("t10_feed", zero)
            self.t10 = t10_of_feed(blended, t10_feed=slope, usual_f80=usual, f80_mm=self.f80_mm)


def _of_rocks(rated: Rated, name: str, of_class: Array) -> Array:
    """(1 or B, F) a coefficient of the rock of each feed: its own, or the class's."""
    numbers, materials = rated.numbers, rated.plant.materials
    columns = [
        numbers.of(("materials", rock, "breakage", name), materials[rock].breakage[name])
        if name in materials[rock].breakage
        else of_class
        for rock in (feed.material for feed in rated.plant.feeds)
    ]
    return np.stack(np.broadcast_arrays(*columns), axis=1)


def assumptions(machines: Iterable[MachineResult]) -> tuple[str, ...]:
    """The assumption that goes with breakage that follows its feed, where any does."""
    tags = [machine.tag for machine in machines if machine.breakage is not None]
    if not tags:
        return ()
    return (
        f"Breakage in {', '.join(tags)} also follows its own feed, by the F80 or by the rock, as "
        "its class and materials state. A blend of rocks has the mean of their t10 by mass (common "
        "practice, no source). Do not rely on it beyond the feeds it was measured at.",
    )
