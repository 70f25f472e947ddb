"""Batches of one circuit with other numbers, for tests that need many cases at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoggin.balance import Circuit
from hoggin.balance.circuit import Crusher, Screen, Unit

Arguments = Mapping[str, NDArray[np.float64]]


def vary(
    circuit: Circuit,
    *,
    rates_t_h: Mapping[str, ArrayLike] | None = None,
    coefficients: Mapping[tuple[str, str], ArrayLike] | None = None,
) -> Circuit:
    """A batch of one circuit: B values each for some of its numbers, the rest shared.

    rates_t_h: feed tag -> (B,). coefficients: (machine tag, argument) -> (B,), the argument of
    the crusher's breakage model, or of the partition model of each of the screen's decks.
    """
    rates = {name: np.asarray(value, dtype=float) for name, value in (rates_t_h or {}).items()}
    changed = {key: np.asarray(v, dtype=float) for key, v in (coefficients or {}).items()}
    ((cases,),) = {array.shape for array in (*rates.values(), *changed.values())}
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


def _with_argument(unit: Unit, name: str, values: NDArray[np.float64]) -> Unit:
    if isinstance(unit, Crusher):
        if name in unit.rock_coefficients:  # of every material alike
            values = np.repeat(values[:, None], unit.arguments[name].shape[1], axis=1)
        return replace(unit, arguments=_replaced(unit.arguments, name, values))
    assert isinstance(unit, Screen)
    decks = tuple(
        replace(
            deck,
            cut_size_arguments=_replaced(deck.cut_size_arguments, name, values),
            oversize_arguments=_replaced(deck.oversize_arguments, name, values),
        )
        for deck in unit.decks
    )
    return replace(unit, decks=decks)


def _replaced(arguments: Arguments, name: str, values: NDArray[np.float64]) -> Arguments:
    return {**arguments, name: values} if name in arguments else arguments
