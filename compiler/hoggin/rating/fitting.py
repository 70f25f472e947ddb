"""What would do where a limit is passed: the nearest size of the machine's class, or more machines.

The feed stays as it is balanced. A candidate is the class itself, read again at another size, so
its motor, opening and coefficients follow, and so do the rules and ranges that the class states.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from itertools import product
from typing import Protocol

import numpy as np

from hoggin.rating import each
from hoggin.rating.deck_limits import deck_checks
from hoggin.rating.limits import machine_checks
from hoggin.rating.machines import MachineView
from hoggin.rating.rated import Rated
from hoggin.schema.plant import Machine, Size
from hoggin.schema.results import Check, DeckResult, MachineResult, Verdict

# Of a size of one number, and twice as much of each of two, rounded up to 1, 2 or 5 times a power
# of ten: common practice, no source.
_STEP = 0.04
_MORE_TRIED = 4  # machines
# Set by the site, not by what the machine has to take.
_OF_THE_SITE: Mapping[str, tuple[str, ...]] = {"conveyor": ("length", "lift")}


class Sizes(Protocol):
    """The classes of a plant's machines: the ranges of their sizes, and a machine at others."""

    def of(self, tag: str) -> Mapping[str, Size]: ...
    def machine(self, tag: str, sizes: Mapping[str, float]) -> Machine | None: ...


def with_fits(result: MachineResult, rated: Rated, case: int, sizes: Sizes) -> MachineResult:
    """A machine's results, each limit that is passed with what would do."""
    search = _Search(result, rated, case, sizes)
    checks = tuple(search.fitted(check, "") for check in result.checks)
    decks = tuple(
        deck.model_copy(
            update={"checks": tuple(search.fitted(check, deck.name) for check in deck.checks)}
        )
        for deck in result.decks
    )
    return result.model_copy(update={"checks": checks, "decks": decks})


class _Search:
    """Larger sizes of one machine, the nearest of which is looked for."""

    def __init__(self, result: MachineResult, rated: Rated, case: int, sizes: Sizes) -> None:
        self._result, self._rated, self._case, self._sizes = result, rated, case, sizes
        self._tried: dict[tuple[float, ...], _Candidate | None] = {}

    def fitted(self, check: Check, deck: str) -> Check:
        if check.verdict != "over" or not check.limit or check.value <= check.limit:
            return check
        fits = [self._size(check, deck)]
        if check.name in each.SHARED and self._result.class_name:
            over = check.value / check.limit
            fits.append(self._count(check, deck, math.ceil(self._result.count * over - 1e-9)))
        return check.model_copy(update={"fit": " or ".join(filter(None, fits))})

    def _count(self, check: Check, deck: str, least: int) -> str:
        """`count 3`: as many as share it out, or a few more, for each idles too; "" where more do
        not help, as with boxes of screens, which each draw as much."""
        machine = next(m for m in self._rated.plant.machines if m.tag == self._result.tag)
        for count in range(least, least + _MORE_TRIED):
            more = machine.model_copy(update={"count": float(count)})
            if _Candidate(more, self._rated, self._case).verdict(check.name, deck) != "over":
                return f"`count {count}`"
        return ""

    def _size(self, check: Check, deck: str) -> str:
        """`head: 1150 mm`; "" where no size of the class does."""
        of_site = _OF_THE_SITE.get(self._result.kind, ())
        ranges = {n: s for n, s in self._sizes.of(self._result.tag).items() if n not in of_site}

        def does(values: tuple[float, ...]) -> bool | None:
            candidate = self._at(tuple(ranges), values)
            verdict = candidate and candidate.verdict(check.name, deck)
            return None if verdict is None else verdict != "over"

        found = nearest(tuple(ranges.values()), does) if ranges else None
        if found is None:
            return ""
        named = zip(ranges.items(), found, strict=True)
        return f"`{', '.join(f'{n}: {value:g} {s.unit}' for (n, s), value in named)}`"

    def _at(self, names: tuple[str, ...], values: tuple[float, ...]) -> _Candidate | None:
        """The machine at a size; None where the class refuses it."""
        if values not in self._tried:
            sizes = dict(zip(names, values, strict=True))
            machine = self._sizes.machine(self._result.tag, sizes)
            self._tried[values] = (
                None if machine is None else _Candidate(machine, self._rated, self._case)
            )
        return self._tried[values]


class _Candidate:
    """A machine in place of the one of its tag: its checks, computed when they are asked for."""

    def __init__(self, machine: Machine, rated: Rated, case: int) -> None:
        others = tuple(machine if m.tag == machine.tag else m for m in rated.plant.machines)
        plant = rated.plant.model_copy(update={"machines": others})
        self._view = MachineView(Rated(plant, rated.balance, rated.numbers, rated.circuit), machine)
        self._case, self._count = case, int(machine.count)
        self._checks: dict[str, tuple[Check, ...]] = {}  # by deck; "" of the machine itself

    def verdict(self, name: str, deck: str) -> Verdict | None:
        """Of one check; None where it is not made at this size."""
        if deck not in self._checks:
            self._checks[deck] = self._of_deck(deck) if deck else self._own()
        return next((one.verdict for one in self._checks[deck] if one.name == name), None)

    def _own(self) -> tuple[Check, ...]:
        one: MachineResult = self._view.one(self._case, checks=(), decks=(), void_by=())
        return machine_checks(self._view, each.machine(one), self._case)

    def _of_deck(self, name: str) -> tuple[Check, ...]:
        deck = next(deck for deck in self._view.decks if deck.name == name)
        one: DeckResult = deck.one(self._case, checks=())
        return deck_checks(deck, each.deck(one, self._count), self._case)


def nearest(
    sizes: tuple[Size, ...], does: Callable[[tuple[float, ...]], bool | None]
) -> tuple[float, ...] | None:
    """The nearest larger size that does: by the product of what each number grows.

    does: whether a size keeps the limit; None where the class refuses it. A size that is smaller
    in every number than one that does not do is taken not to do either, so the largest is tried
    first and then always the middle of those left.
    """
    values = np.array(list(product(*(ladder(size, _STEP * len(sizes)) for size in sizes))))
    grown = values / [size.value for size in sizes]
    values = values[np.lexsort((grown.max(axis=1), grown.prod(axis=1)))]
    left = np.arange(1, len(values))  # the present size, the first, does not do
    found: tuple[float, ...] | None = None
    tried = len(values) - 1
    while len(left):
        size = tuple(values[tried].tolist())
        answer = does(size)
        if answer:
            found, left = size, left[left < tried]
        elif answer is None:
            left = left[left != tried]
        else:
            left = left[np.any(values[left] > size, axis=1)]
        tried = left[len(left) // 2] if len(left) else tried
    return found


def ladder(size: Size, least: float) -> Iterator[float]:
    """The present size, then round larger ones, up to the largest of the class.
    least: the least step, as a share of the present size."""
    yield size.value
    power = 10.0 ** math.floor(math.log10(least * size.value))
    step = power * next(n for n in (1, 2, 5, 10) if n * power >= least * size.value * (1 - 1e-9))
    number = math.floor(size.value / step + 1e-9) + 1
    while number * step < size.high * (1 - 1e-9):
        yield number * step
        number += 1
    if size.high > size.value:
        yield size.high
