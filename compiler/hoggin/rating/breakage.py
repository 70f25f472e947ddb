"""What a crusher's breakage comes to under the feed it has, where that is not its class's alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.breaking import Fed, fed_arguments, passing_classes
from hoggin.balance.circuit import Crusher
from hoggin.balance.numbers import breaking_path
from hoggin.balance.result import Array
from hoggin.models.following import (
    blended_t10,
    classification_sizes,
    energy_of_rock,
    rock_scale,
    t10_of_feed,
)
from hoggin.models.model import Model
from hoggin.models.points import at_points
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
        known = machine.rated.numbers.coefficients(machine.machine, "breakage")
        zero = np.zeros(1)
        self.f80_mm = machine.f80_mm
        self.follows_f80 = any(known.get(n, zero).any() for n in model.feed_coefficients)
        self.follows_rock = False
        sizes = {n: known.get(n, zero) for n in ("k1", "k2", "k1_feed", "k2_feed")}
        usual = known.get("usual_f80", zero)
        self.k1_mm, self.k2_mm = classification_sizes(**sizes, usual_f80=usual, f80_mm=self.f80_mm)
        self.t10: Array = machine.none
        if "rock_exponent" in known:
            self._scale_by_rock(machine, known)
        elif "t10_limit" in known:
            self._find_t10(machine, known)

    def _scale_by_rock(self, machine: MachineView, known: Mapping[str, Array]) -> None:
        hardness = machine.rated.mixture(machine.tag).work_index_kwh_t / known["usual_work_index"]
        scale = rock_scale(hardness, rock_exponent=known["rock_exponent"])
        self.follows_rock = bool((scale != 1.0).any())
        self.k1_mm, self.k2_mm = self.k1_mm * scale, self.k2_mm * scale

    def _find_t10(self, machine: MachineView, known: Mapping[str, Array]) -> None:
        rated = machine.rated
        shares = rated.feed_shares(machine.tag)
        rocks = [rated.plant.materials[feed.material].breakage for feed in rated.plant.feeds]
        self.follows_rock = any(
            rock and share.any() for rock, share in zip(rocks, shares.T, strict=True)
        )
        if not (self.follows_f80 or self.follows_rock):
            return
        own = {n: _of_rocks(rated, n, known[n]) for n in ("t10_limit", "energy_scale")}
        energy = energy_of_rock(
            **own,
            **{n: known[n] for n in ("specific_energy", "energy_response", "usual_toughness")},
        )
        with np.errstate(invalid="ignore"):  # of an empty feed
            blended = blended_t10(**own, specific_energy=energy, rock_shares=shares)
        self.t10 = t10_of_feed(
            blended,
            t10_feed=known["t10_feed"],
            usual_f80=known["usual_f80"],
            f80_mm=self.f80_mm,
        )


def breaking_energy_kwh_t(machine: MachineView) -> Array | None:
    """Energy that a crusher spends on a tonne of its feed, without losses, by what it breaks; None
    where its breakage model does not know it."""
    rated = machine.rated
    model = rated.model(machine.machine, "breakage")
    if model is None or "energy" not in model.functions:
        return None
    unit = rated.circuit.units[rated.balance.machines.index(machine.tag)]
    assert isinstance(unit, Crusher)
    shares = rated.feed_shares(machine.tag)
    feed = at_points(machine.feed.mass_t_h)
    size = machine.feed.p80_or_finest_mm
    arguments = fed_arguments(unit, Fed(size, shares, passing_classes(feed), machine.filling))
    function, cells = model.load("energy"), rated.circuit.cells
    energy: Array = function(cells.edges_mm, feed, **cells.known_to(function), **arguments)
    return energy


def _of_rocks(rated: Rated, name: str, of_class: Array) -> Array:
    """(1 or B, F) a coefficient of the rock of each feed: its own, or the class's."""
    numbers, materials = rated.numbers, rated.plant.materials
    columns = [
        numbers.of(breaking_path(rock, name), materials[rock].breakage[name])
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
        "its class and materials state. A blend of rocks has the mean of their t10 or work index "
        "by mass (common practice, no source). Do not rely on it beyond the feeds it was measured "
        "at.",
    )
