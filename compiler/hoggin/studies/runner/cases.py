"""A plant's circuit for many values of its free numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoggin.balance import lower
from hoggin.balance.circuit import (
    Circuit,
    Crusher,
    Demand,
    Screen,
    ScreenDeck,
    Splitter,
    Unit,
    fractions,
)
from hoggin.balance.filling import full_from
from hoggin.balance.grid import Cells, common_edges
from hoggin.balance.numbers import Numbers, breaking_path
from hoggin.balance.result import Array
from hoggin.balance.wetting import brought, wetting
from hoggin.errors import HogginError
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.plant import Deck, Machine, Plant
from hoggin.schema.tracing import Freedom, Path, variables
from hoggin.studies.runner.formulas import numbers


@dataclass(frozen=True, slots=True)
class Cases:
    """B cases of a plant. `numbers` has the numbers that vary, (B,) in their own units."""

    plant: Plant
    numbers: Mapping[Path, Array]
    circuit: Circuit
    count: int


def cases(plant: Plant, freedom: Freedom, values: Mapping[str, Array]) -> Cases:
    """Cases of a plant for values (B,), in SI units, of its free numbers by name.

    Raises HogginError if a number is free that can't be, ValueError and KeyError as
    `formulas.numbers` does.
    """
    found = numbers(freedom, values)
    return numbered(plant, found, open_apertures(plant, freedom))


def numbered(plant: Plant, found: Mapping[Path, Array], apertures: Iterable[float] = ()) -> Cases:
    """Cases of a plant for numbers (B,) by their place. `apertures`: those that may be fitted."""
    count = max((len(value) for value in found.values()), default=1)
    lowered = lower(plant, common_edges([plant], apertures))
    machines = zip(plant.machines, lowered.units, strict=True)
    circuit = replace(
        lowered,
        cases=count,
        rates_t_h=_moved(
            lowered.rates_t_h, [("feeds", feed.tag, "rate_t_h") for feed in plant.feeds], found
        ),
        gradings=_gradings(plant, lowered, found),
        bulk_densities_t_m3=_moved(
            lowered.bulk_densities_t_m3,
            [("materials", name, "bulk_density_t_m3") for name in lowered.rocks],
            found,
        ),
        moistures=brought(plant, "moisture", Numbers(found)),
        clays=brought(plant, "clay", Numbers(found)),
        wettings=tuple(wetting(plant, machine, Numbers(found)) for machine in plant.machines),
        units=tuple(
            _unit(plant, machine, unit, lowered.rocks, found) for machine, unit in machines
        ),
    )
    return Cases(plant, found, circuit, count)


def open_apertures(plant: Plant, freedom: Freedom) -> Iterator[float]:
    """Every aperture that may be fitted, mm, with the square mesh it equals.

    Raises HogginError if an aperture is uncertain.
    """
    decks = {(m.tag, deck.name): deck for m in plant.machines for deck in m.decks}
    for path, formula in freedom.formulas.items():
        if path[-1] != "aperture_mm":
            continue
        shape = decks[str(path[1]), str(path[3])].shape
        free = set(variables(formula))
        if any(variable.kind not in ("choice", "range") for variable in free):
            raise HogginError("an aperture is a choice and can't be uncertain")
        for variable in free:
            name = next(n for n, v in freedom.variables.items() if v is variable)
            for size in numbers(freedom, {name: np.array(variable.numbers)})[path]:
                yield float(size)
                yield equivalent_square_mm(float(size), shape)


def _side_by_side(columns: Sequence[Array]) -> Array:
    """Columns of one number or of B as (B, columns)."""
    return np.stack(np.broadcast_arrays(*columns), axis=1)


# -- the circuit's arrays -----------------------------------------------------------------------


def _moved(columns: Array, paths: Sequence[Path], found: Mapping[Path, Array]) -> Array:
    """Columns (1, n) as (B, n), each with what was found at its path."""
    return _side_by_side([found.get(path, columns[:, n]) for n, path in enumerate(paths)])


def _gradings(plant: Plant, circuit: Circuit, found: Mapping[Path, Array]) -> Array:
    columns = [_grading(circuit.cells, feed.grading, feed.tag, found) for feed in plant.feeds]
    return _side_by_side(columns)


def _grading(
    cells: Cells, points: Sequence[tuple[float, float]], tag: str, found: Mapping[Path, Array]
) -> Array:
    """Mass fractions (1 or B, n). Values that would rise towards finer sizes are held level."""
    sizes = np.array([size for size, _ in points])
    moved = {i: found[key] for i in range(len(points)) if (key := _point(tag, i, 1)) in found}
    if any(_point(tag, i, 0) in found for i in range(len(points))):
        raise HogginError(
            f"feed `{tag}`: the share passing a sieve may be uncertain, but not the sieve's size"
        )
    if not moved:
        return fractions(cells, sizes, np.array([p for _, p in points]))[None]
    columns = [moved.get(i, np.array([passing])) for i, (_, passing) in enumerate(points)]
    passing = np.clip(_side_by_side(columns), 0.0, 1.0)
    passing[:, 0] = 1.0
    falling = np.minimum.accumulate(passing, axis=1)
    return np.stack([fractions(cells, sizes, row) for row in falling])


def _point(tag: str, place: int, side: int) -> Path:
    return ("feeds", tag, "grading", place, side)


def _unit(
    plant: Plant, machine: Machine, unit: Unit, rocks: Sequence[str], found: Mapping[Path, Array]
) -> Unit:
    base = ("machines", machine.tag)
    if isinstance(unit, Splitter):
        return _splitter(machine, unit, found)
    if isinstance(unit, Demand):
        paths = [(*base, "asked_t_h", outlet) for outlet in machine.outlets]
        asked = _moved(unit.asked_t_h, paths, found)
        return replace(unit, asked_t_h=np.maximum(asked, 0.0))
    if isinstance(unit, Crusher):
        full = full_from(plant, machine, Numbers(found))
        return replace(_crusher(base, unit, rocks, found), full_from_t_h=full)
    moved = _coefficients(base, "partition", found)
    if (area := _area(machine, found)) is not None:
        moved["area_m2"] = area
    decks = tuple(
        _deck(base, deck, machine.decks[place] if machine.decks else None, moved, found)
        for place, deck in enumerate(unit.decks)
    )
    return Screen(decks, unit.outlets)


def _coefficients(base: Path, role: str, found: Mapping[Path, Array]) -> dict[str, Array]:
    start = (*base, "models", role, "coefficients")
    return {str(p[-1]): value for p, value in found.items() if p[:-1] == start}


def _crusher(
    base: Path, unit: Crusher, rocks: Sequence[str], found: Mapping[Path, Array]
) -> Crusher:
    arguments = dict(unit.arguments)
    for name in unit.rock_coefficients:
        paths = [breaking_path(rock, name) for rock in rocks]
        if any(path in found for path in paths):
            arguments[name] = _moved(arguments[name], paths, found)
    for name, value in _coefficients(base, "breakage", found).items():
        if name in unit.rock_coefficients:
            raise HogginError(
                f"`{base[-1]}`: the rock has its own `{name}` here; state it in the material"
            )
        if name in arguments:
            arguments[name] = value
    # The text states the starting css, which is wrong where css differs from case to case.
    setting = "" if (*base, "settings", "css") in found else unit.setting
    return replace(unit, arguments=arguments, setting=setting)


def _deck(
    base: Path,
    deck: ScreenDeck,
    stated: Deck | None,
    moved: Mapping[str, Array],
    found: Mapping[Path, Array],
) -> ScreenDeck:
    own = dict(moved)
    if stated is not None:
        apertures = found.get((*base, "decks", stated.name, "aperture_mm"), ())
        square = [equivalent_square_mm(float(one), stated.shape) for one in apertures]
        own |= {"aperture_mm": np.array(square)} if square else {}
    cut, over = (
        {name: own.get(name, value) for name, value in arguments.items()}
        for arguments in (deck.cut_size_arguments, deck.oversize_arguments)
    )
    count = found.get((*base, "count"), deck.count)
    return replace(deck, cut_size_arguments=cut, oversize_arguments=over, count=count)


def _area(machine: Machine, found: Mapping[Path, Array]) -> Array | None:
    """Area of a deck, m2, if the geometry of its class depends on a free number."""

    def fact(name: str) -> Array | None:
        own = machine.facts.get(name)
        plain = None if own is None else np.array([own])
        return found.get(("machines", machine.tag, "facts", name), plain)

    area, width, length = fact("area_m2"), fact("width_mm"), fact("length_mm")
    if area is not None:
        return area
    return None if width is None or length is None else width * length / 1e6


def _splitter(machine: Machine, unit: Splitter, found: Mapping[Path, Array]) -> Splitter:
    if not machine.shares:
        return unit
    paths: list[Path] = [("machines", machine.tag, "shares", name) for name in machine.outlets]
    shares = np.clip(_moved(unit.shares, paths, found), 0.0, 1.0)
    return Splitter(shares / shares.sum(axis=1, keepdims=True))
