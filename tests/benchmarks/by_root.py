"""The same equations given to scipy.optimize.root, as one would write them without a solver.

The process models are evaluated alike and the crushers' operators are prepared beforehand, so
what is compared is the solving.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from tests.balance.reference import Reference

Array = NDArray[np.float64]


class ByRoot:
    """Ways to balance a plant with a general root finder. Each gives machine feeds (M, n)."""

    def __init__(self, reference: Reference) -> None:
        self.reference = reference
        plant = reference.plant
        self.shape = (len(plant.machines), reference.n)
        self.inputs = np.zeros(self.shape)
        for stream in plant.streams:
            if stream.source in reference.feeds and stream.target in reference.number:
                self.inputs[reference.number[stream.target]] += reference.feeds[stream.source]

    def residual(self, flat: Array) -> Array:
        """Feeds that the given feeds lead to, less those."""
        reference = self.reference
        feeds = np.maximum(flat.reshape(self.shape), 0.0)
        outlets: dict[tuple[str, str], Array] = {}
        for machine, fed in zip(reference.plant.machines, feeds, strict=True):
            if machine.kind == "crusher":
                outlets[machine.tag, "product"] = reference.operators[machine.tag] @ fed
            elif machine.kind == "splitter":
                for name, share in machine.shares.items():
                    outlets[machine.tag, name] = share * fed
            elif machine.kind == "screen":
                load = fed
                for number, deck in enumerate(machine.decks, 1):
                    cut = reference.cut_size(machine, deck, number, load)
                    over = reference.kept(machine, deck, cut) * load
                    outlets[machine.tag, f"{deck.name}.over"] = over
                    load = load - over
                outlets[machine.tag, "under"] = load
            else:
                outlets[machine.tag, "product"] = fed
        arriving = self.inputs.copy()
        for stream in reference.plant.streams:
            if stream.source in reference.number and stream.target in reference.number:
                arriving[reference.number[stream.target]] += outlets[stream.source, stream.outlet]
        return arriving.ravel() - flat

    def all_flows(self, method: Literal["hybr", "krylov"]) -> Callable[[], Array]:
        """Root of the whole state, by MINPACK's hybrid method or Newton-Krylov."""

        def run() -> Array:
            start = np.tile(self.inputs.sum(axis=0) / len(self.inputs), (len(self.inputs), 1))
            flat: Array = start.ravel()
            if method == "hybr":
                feeds: Array = optimize.root(self.residual, flat, method="hybr", tol=1e-9).x
            else:
                feeds = optimize.root(self.residual, flat, method="krylov", tol=1e-9).x
            rows: Array = feeds.reshape(self.shape)
            return rows

        return run

    def cut_sizes(self) -> Array:
        """Root of the cut sizes only, with a sparse solve inside."""
        return self.reference.machine_feeds(self.reference.settle())
