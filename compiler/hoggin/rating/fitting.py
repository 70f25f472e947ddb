"""What would do where a limit is passed: the nearest size of the machine's class, or more machines.

The feed stays as it is balanced. A candidate is the class itself, read again at another size, so
its motor, opening and coefficients follow, and so do the rules and ranges that the class states.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Protocol

from hoggin.rating import each
from hoggin.rating.deck_limits import deck_checks
from hoggin.rating.limits import machine_checks
from hoggin.rating.machines import MachineView
from hoggin.rating.rated import Rated
from hoggin.schema.plant import Machine, Size
from hoggin.schema.results import Check, MachineResult

_STEP = 0.04  # of a size, rounded up to 1, 2 or 5 times a power of ten: common practice, no source
_MOST_TRIED = 120
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
    """Larger sizes of one machine, tried from the nearest on."""

    def __init__(self, result: MachineResult, rated: Rated, case: int, sizes: Sizes) -> None:
        self._result, self._rated, self._case, self._sizes = result, rated, case, sizes
        self._tried: dict[tuple[float, ...], dict[tuple[str, str], Check]] = {}

    def fitted(self, check: Check, deck: str) -> Check:
        if check.verdict != "over" or not check.limit or check.value <= check.limit:
            return check
        over = check.value / check.limit
        fits = [self._size(check, deck, over)]
        if check.name in each.SHARED and self._result.class_name:
            fits.append(self._count(check, deck, math.ceil(self._result.count * over - 1e-9)))
        return check.model_copy(update={"fit": " or ".join(filter(None, fits))})

    def _count(self, check: Check, deck: str, least: int) -> str:
        """`count 3`: as many as share it out, or a few more, for each idles too; "" where more do
        not help, as with boxes of screens, which each draw as much."""
        machine = next(m for m in self._rated.plant.machines if m.tag == self._result.tag)
        for count in range(least, least + _MORE_TRIED):
            found = self._checks(machine.model_copy(update={"count": float(count)}))
            if found[deck, check.name].verdict != "over":
                return f"`count {count}`"
        return ""

    def _size(self, check: Check, deck: str, over: float) -> str:
        """`head: 1150 mm`; "" where no size of the class does."""
        of_site = _OF_THE_SITE.get(self._result.kind, ())
        ranges = {n: s for n, s in self._sizes.of(self._result.tag).items() if n not in of_site}
        if not ranges:
            return ""
        largest = tuple(size.high for size in ranges.values())
        at_most = self._at(tuple(ranges), largest).get((deck, check.name))
        if at_most is not None and at_most.verdict == "over":
            return ""  # where the largest does not do, no search for a smaller one
        for values in _larger(tuple(ranges.values()), over):
            found = self._at(tuple(ranges), values).get((deck, check.name))
            if found is not None and found.verdict != "over":
                named = zip(ranges.items(), values, strict=True)
                return f"`{', '.join(f'{n}: {value:g} {s.unit}' for (n, s), value in named)}`"
        return ""

    def _at(
        self, names: tuple[str, ...], values: tuple[float, ...]
    ) -> dict[tuple[str, str], Check]:
        """The checks at a size, by deck and name; none where the class refuses it."""
        if values not in self._tried:
            sizes = dict(zip(names, values, strict=True))
            machine = self._sizes.machine(self._result.tag, sizes)
            self._tried[values] = {} if machine is None else self._checks(machine)
        return self._tried[values]

    def _checks(self, machine: Machine) -> dict[tuple[str, str], Check]:
        rated = self._rated
        others = tuple(machine if m.tag == machine.tag else m for m in rated.plant.machines)
        plant = rated.plant.model_copy(update={"machines": others})
        view = MachineView(Rated(plant, rated.balance, rated.numbers, rated.circuit), machine)
        case, count = self._case, int(machine.count)
        one: MachineResult = view.one(case, checks=(), decks=(), void_by=())
        found = {("", c.name): c for c in machine_checks(view, each.machine(one), case)}
        for deck in view.decks:
            numbers = each.deck(deck.one(case, checks=()), count)
            found |= {(deck.name, c.name): c for c in deck_checks(deck, numbers, case)}
        return found


def _larger(sizes: tuple[Size, ...], over: float) -> Iterator[tuple[float, ...]]:
    """Larger sizes than the present, the nearest first: by the product of what they grow. What is
    sure to be too small for a limit passed so many times over is left out."""
    ladders = [tuple(_ladder(size)) for size in sizes]
    least = over ** (0.6 if len(sizes) > 1 else 1 / 3)

    def grown(values: tuple[float, ...]) -> tuple[float, float]:
        shares = [value / size.value for value, size in zip(values, sizes, strict=True)]
        return math.prod(shares), max(shares)

    wanted = sorted((v for v in product(*ladders) if grown(v)[0] >= least), key=grown)
    yield from wanted[:_MOST_TRIED]


def _ladder(size: Size) -> Iterator[float]:
    """The present size, then round larger ones, up to the largest of the class."""
    yield size.value
    power = 10.0 ** math.floor(math.log10(_STEP * size.value))
    step = power * next(n for n in (1, 2, 5, 10) if n * power >= _STEP * size.value * (1 - 1e-9))
    number = math.floor(size.value / step + 1e-9) + 1
    while number * step < size.high * (1 - 1e-9):
        yield number * step
        number += 1
    if size.high > size.value:
        yield size.high
