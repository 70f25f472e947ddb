"""A plant as numbers: arrays with a leading batch axis, ready to be balanced many times.

`lower` makes one case of a plant, `stack` joins plants that differ in numbers only. Every array's
leading axis is either B, the number of cases, or 1 where all cases share the value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.filling import full_from
from hoggin.balance.grid import Cells, Find, common_edges, parameters, square_mm
from hoggin.balance.result import Array
from hoggin.balance.topology import Flowsheet, read_flowsheet
from hoggin.balance.wetting import Wetting, brought, wetting
from hoggin.models import catalog
from hoggin.models.grading import class_fractions
from hoggin.models.points import at_points
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Deck, Machine, Material, ModelUse, Plant

Arguments = Mapping[str, Array]

SUPPLIED = ("bulk_density_t_m3", "clay", "moisture")
"""What the balance knows of a deck's feed, for cut sizes that ask for it by name. Moisture is 0
where the deck is washed."""

TOGETHER = 64  # rows a model is given at once; more only spill the processor's cache
_DEFAULT_DECK_AREA_M2 = 10.0  # where a class states no area; only load-dependent models read it


def rows_of(arguments: Arguments) -> int:
    """B, or 1 where all cases share all arguments."""
    return max((len(values) for values in arguments.values()), default=1)


def some_at_a_time(rows: int, arguments: Arguments) -> Iterator[tuple[slice, Arguments]]:
    """Arguments of length 1 or `rows`, as many rows at a time as a model is given at once."""
    for first in range(0, rows, TOGETHER):
        some = slice(first, first + TOGETHER)
        yield some, {name: v if len(v) == 1 else v[some] for name, v in arguments.items()}


@dataclass(frozen=True, slots=True)
class Crusher:
    """`operator(edges_mm, **arguments) -> (B, n, n)`; `setting` as the schedule shows it.

    feed_coefficients: arguments that make the operator depend on the F80 of the crusher's own
    feed wherever they are not 0. rock_coefficients: arguments (1 or B, F), one for the
        rock of each of the plant's feeds. load_coefficients: arguments that make it depend on
        how full the chamber is wherever they are not 0. full_from_t_h: (1 or B, F) as in
        `filling.full_from`.
    """

    operator: Callable[..., Array]
    arguments: Arguments
    setting: str
    feed_coefficients: tuple[str, ...] = ()
    rock_coefficients: tuple[str, ...] = ()
    load_coefficients: tuple[str, ...] = ()
    full_from_t_h: Array | None = None

    @property
    def follows_size(self) -> bool:
        """Whether the F80 of its feed matters, in any case."""
        return any(self.arguments[name].any() for name in self.feed_coefficients)

    @property
    def follows_rock(self) -> bool:
        """Whether it matters, in any case, from which feed its rock is."""
        values = (self.arguments[name] for name in self.rock_coefficients)
        return any(bool((v != v[:, :1]).any()) for v in values)

    @property
    def follows_grading(self) -> bool:
        """Whether the whole grading of its feed matters."""
        return "feed_passing" in parameters(self.operator)

    @property
    def follows(self) -> bool:
        """Whether its operator depends on what it is fed, beside how much."""
        return self.follows_size or self.follows_rock or self.follows_grading

    @property
    def follows_load(self) -> bool:
        """Whether it matters how full its chamber is, in any case."""
        moved = any(self.arguments[name].any() for name in self.load_coefficients)
        return moved and self.full_from_t_h is not None

    @property
    def plain_arguments(self) -> Arguments:
        """Its arguments, each (1 or B,), where it does not matter from which feed its rock is."""
        return {name: v[:, 0] if v.ndim == 2 else v for name, v in self.arguments.items()}


@dataclass(frozen=True, slots=True)
class ScreenDeck:
    """Cut size and oversize functions of a deck, and the arguments each of them takes.

    cut_size_reads: what of the deck's feed it asks for besides, of `SUPPLIED`. reads_moisture:
        whether `oversize` asks for the moisture of that. count: (1 or B,) equal screens in
        parallel, each of which has such a deck.
    """

    name: str
    cut_size: Callable[..., Array]
    cut_size_arguments: Arguments
    oversize: Callable[..., Array]
    oversize_arguments: Arguments
    cut_size_reads: frozenset[str]
    reads_moisture: bool
    count: Array


@dataclass(frozen=True, slots=True)
class Screen:
    """Decks top to bottom; `outlets` orders their oversizes and, as the last, the undersize."""

    decks: tuple[ScreenDeck, ...]
    outlets: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Splitter:
    """Outlet shares (1 or B, outlets), the same for every size class. One share passes all."""

    shares: Array


@dataclass(frozen=True, slots=True)
class Demand:
    """Tonnages asked of outlets (1 or B, outlets), t/h; `rest` is the number of the outlet that
    takes what is left, of which nothing is asked."""

    asked_t_h: Array
    rest: int


Unit = Crusher | Screen | Splitter | Demand


@dataclass(frozen=True, slots=True)
class Circuit:
    """B cases of a flowsheet on one grid of n size classes, each of two cells.

    rates_t_h: (1 or B, F). gradings: (1 or B, F, 2 n) mass fraction by cell. rocks: (F,) the name
    of each feed's material. bulk_densities_t_m3, moistures, clays: (1 or B, F). units, wettings:
    one per machine.
    """

    flowsheet: Flowsheet
    cells: Cells
    cases: int
    rates_t_h: Array
    gradings: Array
    rocks: tuple[str, ...]
    bulk_densities_t_m3: Array
    moistures: Array
    clays: Array
    units: tuple[Unit, ...]
    wettings: tuple[Wetting, ...]

    @property
    def edges_mm(self) -> Array:
        """(2 n + 1,) limits of the cells."""
        return self.cells.edges_mm


def lower(plant: Plant, edges_mm: Array | None = None, *, find: Find = catalog.find) -> Circuit:
    """One case of a checked plant.

    edges_mm: a grid from `common_edges`, when several plants are to be stacked.
    find: where process models are looked up, by role and name.
    Raises ValueError for a plant the check phase would have refused.
    """
    cells = Cells.of(common_edges([plant], find=find) if edges_mm is None else edges_mm)
    rocks = tuple(feed.material for feed in plant.feeds)
    return Circuit(
        flowsheet=read_flowsheet(plant),
        cells=cells,
        cases=1,
        rates_t_h=np.array([[feed.rate_t_h for feed in plant.feeds]]),
        gradings=np.stack([fractions(cells, *np.array(feed.grading).T) for feed in plant.feeds])[
            None
        ],
        rocks=rocks,
        bulk_densities_t_m3=np.array([[plant.materials[name].bulk_density_t_m3 for name in rocks]]),
        moistures=brought(plant, "moisture"),
        clays=brought(plant, "clay"),
        units=tuple(
            _unit(machine, plant, [plant.materials[name] for name in rocks], find)
            for machine in plant.machines
        ),
        wettings=tuple(wetting(plant, machine) for machine in plant.machines),
    )


def fractions(cells: Cells, sizes_mm: Array, passing: Array) -> Array:
    """Mass fraction by cell (2 n,) of a grading, coarse to fine."""
    return at_points(class_fractions(cells.edges_mm, sizes_mm, passing))


def _unit(machine: Machine, plant: Plant, rocks: Sequence[Material], find: Find) -> Unit:
    if machine.asked_t_h:
        return _demand(machine)
    kind = KINDS[machine.kind]
    if kind.breaks:
        return _crusher(machine, plant, rocks, find)
    if kind.separates:
        return _screen(plant, machine, find)
    return Splitter(np.array([[machine.shares.get(outlet, 1.0) for outlet in machine.outlets]]))


def _demand(machine: Machine) -> Demand:
    (rest,) = (n for n, outlet in enumerate(machine.outlets) if outlet not in machine.asked_t_h)
    return Demand(np.array([[machine.asked_t_h.get(o, 0.0) for o in machine.outlets]]), rest)


def _crusher(machine: Machine, plant: Plant, rocks: Sequence[Material], find: Find) -> Crusher:
    use, model = model_of(machine, "breakage", find)
    operator = model.load("operator")
    if use.table:
        operator = partial(operator, **use.tables)
    arguments = dict(_arguments(operator, use.coefficients))
    # Without an exponent no rock is harder than another to `matrix`: it need not follow its feed.
    blind = "rock_exponent" in parameters(operator) and not use.coefficients.get("rock_exponent")
    of_rock = () if blind else model.rock_coefficients
    for name in of_rock:
        own = [rock.breaking.get(name, use.coefficients.get(name)) for rock in rocks]
        arguments[name] = np.array([own])
    return Crusher(
        operator,
        arguments,
        setting=next((f"{s.name} {s.text}" for s in machine.settings if s.name == "css"), ""),
        feed_coefficients=tuple(name for name in model.feed_coefficients if name in arguments),
        rock_coefficients=of_rock,
        load_coefficients=tuple(name for name in model.load_coefficients if name in arguments),
        full_from_t_h=full_from(plant, machine, find=find) if model.load_coefficients else None,
    )


def _screen(plant: Plant, machine: Machine, find: Find) -> Screen:
    """What has no decks separates its feed as a screen of one does: it keeps the first outlet's."""
    use, model = model_of(machine, "partition", find)
    if machine.decks:
        decks = [
            _deck(
                *(deck.name, model),
                {
                    **_deck_facts(machine, deck, number),
                    **use.coefficients,
                    **_dry(plant, machine, number),
                },
                machine,
            )
            for number, deck in enumerate(machine.decks, 1)
        ]
        outlets = [*(f"{deck.name}.over" for deck in machine.decks), "under"]
    else:
        decks = [_deck(machine.outlets[0], model, use.coefficients, machine)]
        outlets = list(machine.outlets)
    return Screen(tuple(decks), tuple(outlets.index(outlet) for outlet in machine.outlets))


def _dry(plant: Plant, machine: Machine, number: int) -> dict[str, float]:
    """What a deck that no water reaches is to a partition model, whatever its screen is set to."""
    return {} if wetting(plant, machine).reached[0, number - 1] else {"wet": 0.0}


def model_of(machine: Machine, role: str, find: Find) -> tuple[ModelUse, catalog.Model]:
    use = machine.models.get(role)
    model = None if use is None else find(role, use.model)
    if use is None or model is None:
        raise ValueError(f"{machine.tag} has no {role} model")
    return use, model


def _deck_facts(machine: Machine, deck: Deck, number: int) -> dict[str, float]:
    area = machine.deck_area_m2
    by_deck = {} if deck.open_area is None else {"open_area": deck.open_area}
    return {
        "area_m2": _DEFAULT_DECK_AREA_M2 if area is None else area,
        "aperture_mm": square_mm(deck),
        "deck_number": float(number),
        **by_deck,
    }


def _deck(
    name: str, model: catalog.Model, known: Mapping[str, float], machine: Machine
) -> ScreenDeck:
    cut_size, oversize = model.load("cut_size"), model.load("oversize")
    return ScreenDeck(
        name=name,
        cut_size=cut_size,
        cut_size_arguments=_arguments(cut_size, known),
        oversize=oversize,
        oversize_arguments=_arguments(oversize, known),
        cut_size_reads=frozenset(SUPPLIED).intersection(parameters(cut_size)),
        reads_moisture="moisture" in parameters(oversize),
        count=np.array([machine.count]),
    )


def _arguments(function: Callable[..., Any], known: Mapping[str, float]) -> Arguments:
    """The facts that a model function asks for by name."""
    return {name: np.array([known[name]]) for name in parameters(function) if name in known}


def stack(circuits: Sequence[Circuit]) -> Circuit:
    """Circuits of one flowsheet on one grid as the cases of a batch, in the order given.

    Raises ValueError when they differ in more than numbers.
    """
    first = circuits[0]
    for other in circuits:
        if other.flowsheet != first.flowsheet or other.rocks != first.rocks:
            raise ValueError("only plants with the same flowsheet and rocks can be stacked")
        if not np.array_equal(other.cells.edges_mm, first.cells.edges_mm):
            raise ValueError("circuits are stacked on one size grid: lower them with common_edges")
    cases = [circuit.cases for circuit in circuits]

    def join(arrays: Sequence[Array]) -> Array:
        if all(len(array) == 1 and np.array_equal(array, arrays[0]) for array in arrays):
            return arrays[0]
        full = zip(arrays, cases, strict=True)
        return np.concatenate([np.broadcast_to(a, (count, *a.shape[1:])) for a, count in full])

    return _joined(circuits, sum(cases), join)


def take(circuit: Circuit, cases: slice | NDArray[np.intp]) -> Circuit:
    """Some of a circuit's cases: a run of them, or those of these numbers."""

    def cut(arrays: Sequence[Array]) -> Array:
        (array,) = arrays
        return array if len(array) == 1 else array[cases]

    return _joined([circuit], len(np.arange(circuit.cases)[cases]), cut)


def _joined(
    circuits: Sequence[Circuit], cases: int, join: Callable[[Sequence[Array]], Array]
) -> Circuit:
    """The first circuit with so many cases, each of its arrays joined from those of all."""
    return replace(
        circuits[0],
        cases=cases,
        rates_t_h=join([c.rates_t_h for c in circuits]),
        gradings=join([c.gradings for c in circuits]),
        bulk_densities_t_m3=join([c.bulk_densities_t_m3 for c in circuits]),
        moistures=join([c.moistures for c in circuits]),
        clays=join([c.clays for c in circuits]),
        units=_zipped([c.units for c in circuits], join),
        wettings=_zipped([c.wettings for c in circuits], join),
    )


def _zipped(alike: Sequence[Any], join: Callable[[Sequence[Array]], Array]) -> Any:
    """One of several values that differ in their arrays alone, each array joined from theirs."""
    match first := alike[0]:
        case np.ndarray():
            return join(alike)
        case tuple():
            return tuple(_zipped(items, join) for items in zip(*alike, strict=True))
        case Mapping():
            return {name: _zipped([one[name] for one in alike], join) for name in first}
        case Crusher() | Screen() | ScreenDeck() | Splitter() | Demand() | Wetting():
            own = {
                f.name: _zipped([getattr(u, f.name) for u in alike], join) for f in fields(first)
            }
            return replace(first, **own)
        case _:
            return first
