"""Makes the machines of a plan larger or smaller until a balance loads them well."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache, cached_property
from itertools import zip_longest
from math import fsum
from pathlib import Path

import numpy as np

from hoggin.balance import CannotSettle, balance
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.schema.results import Check, DeckResult, MachineResult, Results
from hoggin.start.plan import SCREENS_M, Box, Cone, Plan, Primary, mesh, rounded_up
from hoggin.start.writing import drafted
from hoggin.world import World

# Common practice, no source: reserve for worse days, but a chamber that stays full.
_LOAD = 0.78
_CONE_LOAD = 0.82  # a cone wants a full chamber
_POWER = 0.85
_OPENING = 0.97
_AREA_USE = 0.82
_BED = 0.90
_CLEAN = 0.03  # room in what a product may hold of other sizes
_MESH_STEP = 0.03
_FEEDER_LOAD = 0.70
_ROUNDS = 8
_FEW_SIEVES = "{ 63 mm, 4 mm }"  # to report a candidate on: more of them take time only
_JAW_WIDTH = 1.25  # of the gape
_HEADS_MM = {"high_speed": (600.0, 2500.0), "supported_shaft": (600.0, 2200.0)}
_MANTLE = 1.4  # of the gape, at least
# As the classes have them.
_WIDEST_GAPE_MM, _WIDEST_MANTLE_MM = 1700.0, 3500.0
_WIDEST_APRON_MM = 2500.0
_MOST_LINES = 16
_LONGEST_BARS_M, _LONGEST_SCALPER_M = 6.0, 7.5  # as the classes have them


@dataclass(frozen=True)
class Sized:
    """A plan whose machines fit, and its results."""

    plan: Plan
    results: Results

    @property
    def checks(self) -> list[Check]:
        machines = self.results.machines
        own = [check for machine in machines for check in machine.checks]
        return own + [c for machine in machines for deck in machine.decks for c in deck.checks]

    @cached_property
    def faults(self) -> tuple[int, int, int]:
        """How many limits it is over, requirements it misses, and limits it is near; near-size
        stone aside, which no choice of machines takes away."""
        return (
            sum(check.verdict == "over" for check in self.checks),
            sum(not requirement.met for requirement in self.results.requirements),
            sum(check.verdict == "watch" and check.code != "W0509" for check in self.checks),
        )

    @property
    def primary_kw(self) -> float:
        """Installed, of the primary; 0 where there is none."""
        found = (m.installed_power_kw for m in self.results.machines if m.tag == "primary")
        return next(found, None) or 0.0

    @property
    def power_kw(self) -> float:
        return fsum(m.installed_power_kw or 0.0 for m in self.results.machines)


def sized(plan: Plan) -> Sized | None:
    """The plan with suitable machines; None if it can't be balanced."""
    best: Sized | None = None
    for _ in range(_ROUNDS):
        results = balanced(drafted(plan, _FEW_SIEVES))
        if results is None:
            return best
        found = Sized(plan, results)
        if best is None or found.faults <= best.faults:
            best = found
        resized = _resized(plan, results)
        if resized == plan:
            return found
        plan = resized
    return best


def balanced(text: str, name: str = "plant.hog") -> Results | None:
    """The results of a plant's text; None if it can't be balanced."""
    checked = check(_world(), Source(name, text))
    if checked.plant is None:
        return None
    try:
        return rate(checked.plant, balance(checked.plant), name)
    except CannotSettle:
        return None


@cache
def _world() -> World:
    """Reads each library once for all candidates."""
    return World(Path("plant.hog"))


def _resized(plan: Plan, results: Results) -> Plan:
    """A better size of every machine for its feed, and more lines if one is not enough."""
    # All lines are alike: the first one's machines stand for the others'.
    of = {machine.tag.removeprefix("line_1."): machine for machine in results.machines}
    primary, secondary, finishing = plan.primary, plan.secondary, plan.finishing
    return replace(
        plan,
        lines=_lines(plan, of),
        apertures=_meshes(plan, results),
        feeder_mm=_feeder(plan.feeder_mm, of["hopper_feeder"], _WIDEST_APRON_MM),
        primary=primary and _primary(primary, of["primary"]),
        bars=_screen(plan.bars, of.get("bars"), _LONGEST_BARS_M),
        tunnel_mm=_feeder(plan.tunnel_mm, of["tunnel_feeder"]) if primary else plan.tunnel_mm,
        secondary=secondary and _cone(secondary, of["secondary"]),
        scalp=_screen(plan.scalp, of.get("scalp"), _LONGEST_SCALPER_M),
        sizing=_screen(plan.sizing, of["sizing"]),
        fines=_screen(plan.fines, of.get("fines")),
        finishing=finishing and _cone(finishing, of["finishing"]),
    )


def _lines(plan: Plan, machines: dict[str, MachineResult]) -> int:
    """The least number of lines that the largest machines of the classes can handle."""
    shares = [0.0]
    for name, cone in (("secondary", plan.secondary), ("finishing", plan.finishing)):
        if cone is not None:
            shares.append((_head(cone, machines[name]) / _HEADS_MM[cone.class_name][1]) ** 2)
    widest, longest = SCREENS_M[-1]
    for name, box, long in (
        ("scalp", plan.scalp, _LONGEST_SCALPER_M),
        ("sizing", plan.sizing, longest),
        ("fines", plan.fines, longest),
    ):
        if name in machines:
            area, width = _box_wanted(box, machines[name])
            shares += [area / (widest * long), width / widest]
    return min(_MOST_LINES, max(1, math.ceil(plan.lines * max(shares) - 1e-9)))


def _share(result: MachineResult | DeckResult, name: str) -> float:
    """A check's value over its limit; 0 if there is no check."""
    found = (c for c in result.checks if c.name == name and c.limit)
    return max((c.value / c.limit for c in found if c.limit), default=0.0)


def _cone(cone: Cone, result: MachineResult) -> Cone:
    least, most = _HEADS_MM[cone.class_name]
    opening = cone.head_mm * _share(result, "feed opening") / _OPENING
    wanted = max(_head(cone, result), opening, least)
    wanted = rounded_up(wanted, 25.0 if wanted < 1200 else 50.0)
    return replace(cone, head_mm=min(wanted, most))


def _head(cone: Cone, result: MachineResult) -> float:
    """The head for the load: capacity and motor are proportional to its square."""
    power = _share(result, "installed power") / _POWER
    return cone.head_mm * math.sqrt(max((result.load or 0.0) / _CONE_LOAD, power))


def _primary(primary: Primary, result: MachineResult) -> Primary:
    """A jaw's capacity is proportional to width and stroke, a gyratory's to the square of the
    mantle. If no jaw is large enough, a gyratory is used."""
    if primary.gyratory:
        return _gyratory(primary, result)
    gape = primary.gape_mm
    opening = gape * _share(result, "feed opening") / _OPENING
    wanted = max(
        gape * ((result.load or 0.0) / _LOAD) ** (1 / 1.85),
        gape * math.sqrt(_share(result, "installed power") / _POWER),
        opening,
        3.05 * primary.css_mm,
        300.0,
    )
    wanted = rounded_up(wanted, 50.0)
    if wanted > _WIDEST_GAPE_MM:
        return _as_gyratory(replace(primary, gape_mm=opening))
    return replace(primary, gape_mm=wanted, width_mm=rounded_up(_JAW_WIDTH * wanted, 50.0))


def _as_gyratory(jaw: Primary) -> Primary:
    css = max(jaw.css_mm, 80.0)
    gape = rounded_up(max(jaw.gape_mm, 4.1 * css, 600.0), 50.0)
    return Primary(css, gape, rounded_up(max(_MANTLE * gape, 1200.0), 50.0), gyratory=True)


def _gyratory(gyratory: Primary, result: MachineResult) -> Primary:
    opening = gyratory.gape_mm * _share(result, "feed opening") / _OPENING
    load = max((result.load or 0.0) / _LOAD, _share(result, "installed power") / _POWER)
    gape = rounded_up(max(opening, 4.1 * gyratory.css_mm, 600.0), 50.0)
    wanted = max(gyratory.width_mm * math.sqrt(load), _MANTLE * gape, 1200.0)
    mantle = min(rounded_up(wanted, 50.0), _WIDEST_MANTLE_MM)
    return replace(gyratory, gape_mm=min(gape, _WIDEST_GAPE_MM), width_mm=mantle)


def _screen(box: Box, result: MachineResult | None, longest_m: float = 9.0) -> Box:
    """The smallest common screen that is large and wide enough, or the largest one."""
    if result is None:
        return box  # the plant has none
    area, width = _box_wanted(box, result)
    usual = [size for size in SCREENS_M if size[1] <= longest_m]
    fitting = (size for size in usual if size[0] * size[1] >= area and size[0] >= width)
    return Box(*next(fitting, usual[-1]))


def _box_wanted(box: Box, result: MachineResult) -> tuple[float, float]:
    """Area in m2 for the worst deck, and width in m for the deepest bed."""
    use = max((deck.area_use or 0.0 for deck in result.decks), default=0.0)
    bed = max((_share(deck, "bed depth") for deck in result.decks), default=0.0)
    return box.width_m * box.length_m * use / _AREA_USE, box.width_m * bed / _BED


def _feeder(width: float, result: MachineResult, widest: float = 2400.0) -> float:
    """Width and depth of the bed grow together, and lumps fit into the width."""
    wanted = width * math.sqrt((result.load or 0.0) / _FEEDER_LOAD)
    lumps = width * _share(result, "feed opening") / _OPENING
    return min(max(rounded_up(max(wanted, lumps), 100.0), 600.0), widest)


def _meshes(plan: Plan, results: Results) -> dict[float, float]:
    """Open apertures if a coarse product has too many fines; close them if a fine one has too much
    oversize."""
    products = {product.tag: product for product in results.products}
    found = dict(plan.apertures)
    for finer, coarser in zip_longest(plan.answers.products, plan.answers.products[1:]):
        cut = finer.upper_mm
        if cut not in plan.cuts_mm:
            continue
        now = plan.aperture(cut)
        below = _passing(products[finer.tag].curve, cut) - finer.least_passing
        above = 1.0
        if coarser is not None:
            above = coarser.most_finer - _passing(products[coarser.tag].curve, cut)
        if above < _CLEAN and below > above + _MESH_STEP:
            found[cut] = mesh(now * (1 + _MESH_STEP))
        elif below < _CLEAN and above > below + _MESH_STEP:
            found[cut] = mesh(now * (1 - _MESH_STEP))
    return found


def _passing(curve: tuple[tuple[float, float], ...], size: float) -> float:
    """Fraction passing a size, between the points of a product's curve."""
    sizes, passing = zip(*sorted(curve), strict=True) if curve else ((0.0,), (0.0,))
    return float(np.interp(size, sizes, passing, left=0.0, right=float(bool(curve))))
