"""An independent solution of a plant's balance: one sparse system of all machines and classes.

Assembled from the `Plant` itself with scipy.sparse and solved with scipy.sparse.linalg.spsolve
(SuperLU); where cut sizes depend on load, scipy.optimize.root (MINPACK's hybrid method) is put
around it. It shares the process models and the two points of a class with the balance, and nothing
else; `fine_reference` shares neither.
"""

from __future__ import annotations

from collections.abc import Mapping
from inspect import signature
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, sparse
from scipy.sparse.linalg import spsolve

from hoggin.balance.result import Balance
from hoggin.models import catalog
from hoggin.models.grading import class_fractions
from hoggin.models.points import at_points, in_halves, points
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.plant import Deck, Machine, Plant

Array = NDArray[np.float64]
Cuts = Mapping[tuple[str, str], float]


class Reference:
    """A plant of one bulk density, on a given grid.

    It solves the flows and the cut sizes. `given` is the balance of a plant in which more than
    these depends on flows: the moisture and clay of the feeds of decks, the filling of chambers
    and the F80 of what enters them are taken from it.
    """

    def __init__(self, plant: Plant, edges_mm: Array, given: Balance | None = None) -> None:
        self.plant = plant
        self.given = given
        self.edges = edges_mm
        self.n = len(edges_mm) - 1
        self.points = points(edges_mm[::2])
        self.number = {machine.tag: i for i, machine in enumerate(plant.machines)}
        self.decks = [(m, d) for m in plant.machines for d in m.decks]
        self.feeds = {
            feed.tag: feed.rate_t_h
            * at_points(class_fractions(edges_mm, *np.array(feed.grading).T))
            for feed in plant.feeds
        }
        self.operators = {
            m.tag: _call(
                m, "breakage", "operator", edges_mm, points_mm=self.points, **self.seen(m)
            )[0]
            for m in plant.machines
            if m.kind == "crusher"
        }
        (self.bulk_density,) = {m.bulk_density_t_m3 for m in plant.materials.values()}

    def outlets(self, machine: Machine, cuts: Cuts) -> dict[str, Any]:
        """Sparse (n, n) operator of each outlet."""
        if machine.kind == "crusher":
            return {"product": sparse.csr_array(self.operators[machine.tag])}
        if machine.kind == "splitter":
            return {
                name: share * sparse.eye_array(self.n) for name, share in machine.shares.items()
            }
        if machine.kind != "screen":
            return {"product": sparse.eye_array(self.n)}
        passing = np.ones(self.n)
        found = {}
        for deck in machine.decks:
            over = self.kept(machine, deck, cuts[machine.tag, deck.name])
            found[f"{deck.name}.over"] = sparse.diags_array(passing * over)
            passing = passing * (1.0 - over)
        found["under"] = sparse.diags_array(passing)
        return found

    def machine_feeds(self, cuts: Cuts) -> Array:
        """(M, n) for given cut sizes."""
        return in_halves(self.points_fed(cuts))

    def points_fed(self, cuts: Cuts) -> Array:
        """(M, n) at the points, from (I - A) x = b for given cut sizes."""
        count = len(self.plant.machines)
        operators = {m.tag: self.outlets(m, cuts) for m in self.plant.machines}
        rows = [[sparse.csr_array((self.n, self.n)) for _ in range(count)] for _ in range(count)]
        side = np.zeros((count, self.n))
        for stream in self.plant.streams:
            if stream.target not in self.number:
                continue
            target = self.number[stream.target]
            if stream.source in self.feeds:
                side[target] += self.feeds[stream.source]
            else:
                source = self.number[stream.source]
                rows[target][source] = (
                    rows[target][source] + operators[stream.source][stream.outlet]
                )
        system = sparse.eye_array(count * self.n) - sparse.block_array(rows)
        solved: Array = spsolve(sparse.csc_array(system), side.ravel()).reshape(count, self.n)
        return solved

    def streams(self, cuts: Cuts) -> Array:
        """(S, n) for given cut sizes."""
        fed = self.points_fed(cuts)
        flows = []
        for stream in self.plant.streams:
            if stream.source in self.feeds:
                flows.append(self.feeds[stream.source])
                continue
            source = self.number[stream.source]
            operator = self.outlets(self.plant.machines[source], cuts)[stream.outlet]
            flows.append(operator @ fed[source])
        return in_halves(np.array(flows))

    def loaded_cuts(self, fed: Array, cuts: Cuts) -> dict[tuple[str, str], float]:
        """Cut sizes that the decks have under machine feeds (M, n)."""
        found = {}
        for machine in self.plant.machines:
            feed = load = fed[self.number[machine.tag]]
            outlets = self.outlets(machine, cuts) if machine.decks else {}
            for number, deck in enumerate(machine.decks, 1):
                found[machine.tag, deck.name] = self.cut_size(machine, deck, number, load)
                load = load - outlets[f"{deck.name}.over"] @ feed
        return found

    def cut_size(self, machine: Machine, deck: Deck, number: int, load: Array) -> float:
        """Cut size of a deck, mm, under a load (n,)."""
        found = _call(
            machine,
            "partition",
            "cut_size",
            self.edges,
            in_halves(load[None]),
            aperture_mm=_square_mm(deck),
            area_m2=_area_m2(machine),
            deck_number=number,
            bulk_density_t_m3=self.bulk_density,
            open_area=deck.open_area,
            **self.damp(machine, deck),
        )
        return float(found[0])

    def kept(self, machine: Machine, deck: Deck, cut: float) -> Array:
        """Fraction of each class that a deck keeps, (n,)."""
        kept: Array = _call(
            machine,
            "partition",
            "oversize",
            self.edges,
            [cut],
            aperture_mm=_square_mm(deck),
            points_mm=self.points,
            **self.damp(machine, deck),
        )[0]
        return kept

    def damp(self, machine: Machine, deck: Deck) -> dict[str, Array]:
        """The moisture and the clay of a deck's feed, if they are given."""
        key = (machine.tag, deck.name)
        if self.given is None:
            return {}
        return {"moisture": self.given.deck_moistures[key], "clay": self.given.deck_clays[key]}

    def seen(self, crusher: Machine) -> dict[str, Any]:
        """What the breakage of a crusher follows, if it is given: of plants of one rock."""
        if self.given is None:
            return {}
        place = self.number[crusher.tag]
        (rock,) = self.plant.materials.values()
        return {
            "filling": self.given.filling[:, place],
            "f80_mm": [self.f80(self.given.machine_feeds_t_h[0, place])],
            "work_index_kwh_t": [rock.work_index_kwh_t],
        }

    def f80(self, mass: Array) -> float:
        """Of a feed (n,) in halves of classes; linear in the logarithm of size between edges, in
        the finest class in size."""
        finer = np.append(np.cumsum(mass[::-1])[::-1] / mass.sum(), 0.0)
        if finer[-2] > 0.8:
            return float(np.interp(0.8, [0.0, finer[-2]], [0.0, self.edges[-2]]))
        log_size = np.log(self.edges[-2::-1])
        return float(np.exp(np.interp(0.8, finer[-2::-1], log_size)))

    def settle(self) -> dict[tuple[str, str], float]:
        """Cut sizes at which every deck has the load that gives them."""
        keys = [(machine.tag, deck.name) for machine, deck in self.decks]

        def residual(z: Array) -> Array:
            cuts = dict(zip(keys, np.exp(z), strict=True))
            loaded = self.loaded_cuts(self.points_fed(cuts), cuts)
            return np.log([loaded[key] for key in keys]) - z

        start = np.log([deck.aperture_mm for _, deck in self.decks])
        found = optimize.root(residual, start, method="hybr", tol=1e-13)
        assert np.abs(residual(found.x)).max() < 1e-11
        return dict(zip(keys, np.exp(found.x), strict=True))


def _square_mm(deck: Deck) -> float:
    return equivalent_square_mm(deck.aperture_mm, deck.shape)


def _area_m2(machine: Machine) -> float:
    facts = machine.facts
    if "area_m2" in facts:
        return facts["area_m2"]
    return facts["width_mm"] * facts["length_mm"] / 1e6


def _call(machine: Machine, role: str, part: str, *given: Any, **known: Any) -> Any:
    """A part of a machine's model, with the arguments it names."""
    use = machine.models[role]
    model = catalog.find(role, use.model)
    assert model is not None
    function = model.load(part)
    wanted = signature(function).parameters
    arguments = {**known, **use.coefficients}
    return function(*given, **{k: v for k, v in arguments.items() if k in wanted})
