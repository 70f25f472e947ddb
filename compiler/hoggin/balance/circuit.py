"""A plant as numbers: arrays with a leading batch axis, ready to be balanced many times.

`lower` makes one case of a plant. `stack` joins plants that differ in numbers only, `vary` makes a
batch of one circuit from arrays of rates and coefficients. Every array's leading axis is either B,
the number of cases, or 1 where all cases share the value.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoggin.balance.grid import common_edges
from hoggin.balance.result import Array
from hoggin.balance.topology import Flowsheet, read_flowsheet
from hoggin.models import catalog
from hoggin.models import grading as grading_model
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.plant import Deck, Machine, Material, ModelUse, Plant

Find = Callable[[str, str], catalog.Model | None]
Arguments = Mapping[str, Array]

_DEFAULT_DECK_AREA_M2 = 10.0  # where a class states no area; only load-dependent models read it


@dataclass(frozen=True, slots=True)
class Crusher:
    """`operator(edges_mm, **arguments) -> (B, n, n)`; `setting` as the schedule shows it.

    feed_coefficients: arguments that make the operator hang on the F80 of the crusher's own feed
    wherever they are not 0. rock_coefficients: arguments (1 or B, K), one for each material.
    """

    operator: Callable[..., Array]
    arguments: Arguments
    setting: str
    feed_coefficients: tuple[str, ...] = ()
    rock_coefficients: tuple[str, ...] = ()

    @property
    def follows_size(self) -> bool:
        """Whether the F80 of its feed matters, in any case."""
        return any(self.arguments[name].any() for name in self.feed_coefficients)

    @property
    def follows_rock(self) -> bool:
        """Whether it matters, in any case, which material it is fed."""
        values = (self.arguments[name] for name in self.rock_coefficients)
        return any(bool((v != v[:, :1]).any()) for v in values)

    @property
    def follows(self) -> bool:
        """Whether its operator hangs on what it is fed."""
        return self.follows_size or self.follows_rock

    @property
    def plain_arguments(self) -> Arguments:
        """Its arguments, each (1 or B,), where it does not matter which material it is fed."""
        return {name: v[:, 0] if v.ndim == 2 else v for name, v in self.arguments.items()}


@dataclass(frozen=True, slots=True)
class ScreenDeck:
    """Cut size and oversize functions of a deck, and the arguments each of them takes."""

    name: str
    cut_size: Callable[..., Array]
    cut_size_arguments: Arguments
    oversize: Callable[..., Array]
    oversize_arguments: Arguments
    needs_bulk_density: bool


@dataclass(frozen=True, slots=True)
class Screen:
    """Decks top to bottom; `outlets` orders their oversizes and, as the last, the undersize."""

    decks: tuple[ScreenDeck, ...]
    outlets: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Splitter:
    """Outlet shares (1 or B, outlets), the same for every size class. One share passes all."""

    shares: Array


Unit = Crusher | Screen | Splitter


@dataclass(frozen=True, slots=True)
class Circuit:
    """B cases of a flowsheet on one grid of n size classes.

    edges_mm: (n + 1,). rates_t_h: (1 or B, F). gradings: (1 or B, F, n) mass fraction by class.
    materials: K names, sorted. feed_materials: (F, K), 1 where a feed is of a material.
    bulk_densities_t_m3: (1 or B, K). units: one per machine.
    """

    flowsheet: Flowsheet
    edges_mm: Array
    cases: int
    rates_t_h: Array
    gradings: Array
    materials: tuple[str, ...]
    feed_materials: Array
    bulk_densities_t_m3: Array
    units: tuple[Unit, ...]


def lower(plant: Plant, edges_mm: Array | None = None, *, find: Find = catalog.find) -> Circuit:
    """One case of a checked plant.

    edges_mm: a grid from `common_edges`, when several plants are to be stacked.
    find: where process models are looked up, by role and name.
    Raises ValueError for a plant the check phase would have refused.
    """
    edges = common_edges([plant]) if edges_mm is None else edges_mm
    materials = tuple(sorted(plant.materials))
    owners = [[float(feed.material == name) for name in materials] for feed in plant.feeds]
    return Circuit(
        flowsheet=read_flowsheet(plant),
        edges_mm=edges,
        cases=1,
        rates_t_h=np.array([[feed.rate_t_h for feed in plant.feeds]]),
        gradings=np.stack([class_fractions(edges, feed.grading) for feed in plant.feeds])[None],
        materials=materials,
        feed_materials=np.array(owners),
        bulk_densities_t_m3=np.array(
            [[plant.materials[name].bulk_density_t_m3 for name in materials]]
        ),
        units=tuple(
            _unit(machine, [plant.materials[name] for name in materials], find)
            for machine in plant.machines
        ),
    )


def class_fractions(edges_mm: Array, grading: Sequence[tuple[float, float]]) -> Array:
    """Mass fraction by class (n,) of a grading of (size mm, fraction passing), coarse to fine."""
    sizes, passing = np.array(grading).T
    return grading_model.class_fractions(edges_mm, sizes, passing)


def _unit(machine: Machine, materials: Sequence[Material], find: Find) -> Unit:
    if machine.kind == "crusher":
        return _crusher(machine, materials, find)
    if machine.kind == "screen":
        use, model = _model(machine, "partition", find)
        decks = tuple(
            _deck(machine, deck, number, use, model) for number, deck in enumerate(machine.decks, 1)
        )
        names = [*(f"{deck.name}.over" for deck in machine.decks), "under"]
        return Screen(decks, tuple(names.index(outlet) for outlet in machine.outlets))
    if machine.kind == "classifier":
        return _classifier(machine, find)
    if machine.kind == "splitter":
        return Splitter(np.array([[machine.shares[outlet] for outlet in machine.outlets]]))
    return Splitter(np.ones((1, 1)))


def _crusher(machine: Machine, materials: Sequence[Material], find: Find) -> Crusher:
    use, model = _model(machine, "breakage", find)
    operator = model.load("operator")
    arguments = dict(_arguments(operator, use.coefficients))
    of_rock = tuple(name for name in model.rock_coefficients if name in arguments)
    for name in of_rock:
        own = [material.breakage.get(name, use.coefficients[name]) for material in materials]
        arguments[name] = np.array([own])
    return Crusher(
        operator,
        arguments,
        setting=next((f"{s.name} {s.text}" for s in machine.settings if s.name == "css"), ""),
        feed_coefficients=tuple(name for name in model.feed_coefficients if name in arguments),
        rock_coefficients=of_rock,
    )


def _classifier(machine: Machine, find: Find) -> Screen:
    """A classifier parts its feed as a screen of one deck does: the deck keeps the coarse."""
    use, model = _model(machine, "partition", find)
    cut_size, oversize = model.load("cut_size"), model.load("oversize")
    deck = ScreenDeck(
        name="coarse",
        cut_size=cut_size,
        cut_size_arguments=_arguments(cut_size, use.coefficients),
        oversize=oversize,
        oversize_arguments=_arguments(oversize, use.coefficients),
        needs_bulk_density=False,
    )
    return Screen((deck,), tuple(("coarse", "fine").index(outlet) for outlet in machine.outlets))


def _model(machine: Machine, role: str, find: Find) -> tuple[ModelUse, catalog.Model]:
    use = machine.models.get(role)
    model = None if use is None else find(role, use.model)
    if use is None or model is None:
        raise ValueError(f"{machine.tag} has no {role} model")
    return use, model


def _deck(
    machine: Machine, deck: Deck, number: int, use: ModelUse, model: catalog.Model
) -> ScreenDeck:
    aperture = equivalent_square_mm(deck.aperture_mm, deck.shape)
    stated = machine.deck_area_m2
    area = _DEFAULT_DECK_AREA_M2 if stated is None else stated
    known: dict[str, float] = {
        "area_m2": area,
        "aperture_mm": aperture,
        "open_area": deck.open_area,
        "deck_number": float(number),
        **use.coefficients,
    }
    cut_size, oversize = model.load("cut_size"), model.load("oversize")
    return ScreenDeck(
        name=deck.name,
        cut_size=cut_size,
        cut_size_arguments=_arguments(cut_size, known),
        oversize=oversize,
        oversize_arguments=_arguments(oversize, known),
        needs_bulk_density="bulk_density_t_m3" in _parameters(cut_size),
    )


def _arguments(function: Callable[..., Any], known: Mapping[str, float]) -> Arguments:
    """The facts that a model function asks for by name."""
    return {name: np.array([known[name]]) for name in _parameters(function) if name in known}


@lru_cache(maxsize=256)
def _parameters(function: Callable[..., Any]) -> tuple[str, ...]:
    return tuple(inspect.signature(function).parameters)


def stack(circuits: Sequence[Circuit]) -> Circuit:
    """Circuits of one flowsheet on one grid as the cases of a batch, in the order given.

    Raises ValueError when they differ in more than numbers.
    """
    first = circuits[0]
    for other in circuits:
        if other.flowsheet != first.flowsheet or other.materials != first.materials:
            raise ValueError("only plants with the same flowsheet and materials can be stacked")
        if not np.array_equal(other.edges_mm, first.edges_mm):
            raise ValueError("circuits are stacked on one size grid: lower them with common_edges")
        if not np.array_equal(other.feed_materials, first.feed_materials):
            raise ValueError("feeds of stacked plants must be of the same materials")
    cases = [circuit.cases for circuit in circuits]

    def join(arrays: Iterable[Array]) -> Array:
        return _join(tuple(arrays), cases)

    return replace(
        first,
        cases=sum(cases),
        rates_t_h=join(c.rates_t_h for c in circuits),
        gradings=join(c.gradings for c in circuits),
        bulk_densities_t_m3=join(c.bulk_densities_t_m3 for c in circuits),
        units=tuple(
            _zip_arrays(units, join) for units in zip(*(c.units for c in circuits), strict=True)
        ),
    )


def _join(arrays: Sequence[Array], cases: Sequence[int]) -> Array:
    head = arrays[0]
    if all(len(array) == 1 and np.array_equal(array, head) for array in arrays):
        return head
    return np.concatenate(
        [
            np.broadcast_to(array, (count, *array.shape[1:]))
            for array, count in zip(arrays, cases, strict=True)
        ]
    )


def take(circuit: Circuit, cases: slice | NDArray[np.intp]) -> Circuit:
    """Some of a circuit's cases: a run of them, or those of these numbers."""

    def cut(arrays: Iterable[Array]) -> Array:
        (array,) = arrays
        return array if len(array) == 1 else array[cases]

    return replace(
        circuit,
        cases=len(np.arange(circuit.cases)[cases]),
        rates_t_h=cut([circuit.rates_t_h]),
        gradings=cut([circuit.gradings]),
        bulk_densities_t_m3=cut([circuit.bulk_densities_t_m3]),
        units=tuple(_zip_arrays((unit,), cut) for unit in circuit.units),
    )


def _zip_arrays(units: Sequence[Any], join: Callable[[Iterable[Array]], Array]) -> Any:
    """One unit from several of a kind, each of its arrays joined from theirs."""
    first = units[0]
    if isinstance(first, Splitter):
        return Splitter(join(unit.shares for unit in units))
    if isinstance(first, Crusher):
        return replace(first, arguments=_zip_arguments([u.arguments for u in units], join))
    return replace(
        first,
        decks=tuple(
            replace(
                decks[0],
                cut_size_arguments=_zip_arguments([d.cut_size_arguments for d in decks], join),
                oversize_arguments=_zip_arguments([d.oversize_arguments for d in decks], join),
            )
            for decks in zip(*(unit.decks for unit in units), strict=True)
        ),
    )


def _zip_arguments(
    arguments: Sequence[Arguments], join: Callable[[Iterable[Array]], Array]
) -> Arguments:
    return {name: join(given[name] for given in arguments) for name in arguments[0]}


def vary(
    circuit: Circuit,
    *,
    rates_t_h: Mapping[str, ArrayLike] | None = None,
    coefficients: Mapping[tuple[str, str], ArrayLike] | None = None,
) -> Circuit:
    """A batch of one circuit: B values each for some of its numbers, the rest shared.

    rates_t_h: feed tag -> (B,). coefficients: (machine tag, argument) -> (B,), the argument of
    the crusher's breakage model, or of the partition model of each of the screen's decks (an
    aperture is not varied so: it is an edge of the grid; lower and stack those).
    Raises ValueError for a batch circuit, arrays of unlike length, KeyError for an unknown name.
    """
    rates = {name: np.asarray(value, dtype=float) for name, value in (rates_t_h or {}).items()}
    changed = {key: np.asarray(v, dtype=float) for key, v in (coefficients or {}).items()}
    lengths = {array.shape for array in (*rates.values(), *changed.values())}
    if circuit.cases != 1 or len(lengths) != 1:
        raise ValueError("vary takes a single case and arrays of one length")
    ((cases,),) = lengths
    feeds = circuit.rates_t_h
    if rates:
        feeds = np.repeat(circuit.rates_t_h, cases, axis=0)
        for tag, values in rates.items():
            feeds[:, circuit.flowsheet.feeds.index(tag)] = values
    units = list(circuit.units)
    for (tag, argument), values in changed.items():
        index = circuit.flowsheet.machines.index(tag)
        units[index] = _with_argument(units[index], argument, values)
    return replace(circuit, cases=cases, rates_t_h=feeds, units=tuple(units))


def _with_argument(unit: Unit, name: str, values: Array) -> Unit:
    if isinstance(unit, Crusher) and name in unit.arguments:
        if name in unit.rock_coefficients:  # of every material alike
            values = np.repeat(values[:, None], unit.arguments[name].shape[1], axis=1)
        return replace(unit, arguments={**unit.arguments, name: values})
    if isinstance(unit, Screen) and name != "aperture_mm":
        decks = tuple(
            replace(
                deck,
                cut_size_arguments=_replaced(deck.cut_size_arguments, name, values),
                oversize_arguments=_replaced(deck.oversize_arguments, name, values),
            )
            for deck in unit.decks
        )
        if any(
            name in deck.cut_size_arguments or name in deck.oversize_arguments for deck in decks
        ):
            return replace(unit, decks=decks)
    raise KeyError(name)


def _replaced(arguments: Arguments, name: str, values: Array) -> Arguments:
    return {**arguments, name: values} if name in arguments else arguments
