"""Numbers and words left open in a plant: free for the designer to choose, or uncertain.

`free(10 mm to 25 mm)` any value of a range, `free(10 mm to 25 mm, 14 mm)` with a value to start
from;
`any(10 mm, 12 mm, 16 mm)` one of a list, `any(medium, fine)` one of some words;
`normal(mean, deviation)`, `uniform(low to high)`, `triangle(low to high, likely)` what chance
gives.
A plant is balanced at the start: the middle of a range, the first of a list, the mean.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.values import E0307
from hoggin.diagnostics.fault import Fault
from hoggin.schema.tracing import Alternatives, Traced, Variable
from hoggin.syntax import tree

_FORMS = {
    "free": ("free(10 mm to 25 mm)", "free(10 mm to 25 mm, 14 mm)"),
    "any": ("any(10 mm, 12 mm, 16 mm)",),
    "normal": ("normal(450 t/h, 20 t/h)", "normal(450 t/h, 5 %)"),
    "uniform": ("uniform(1 % to 3 %)",),
    "triangle": ("triangle(400 t/h to 480 t/h, 450 t/h)",),
}
_COUNTS = {"free": (2, 3), "any": (2, 64), "normal": (2, 2), "uniform": (2, 2), "triangle": (3, 3)}
_RANGED = ("free", "uniform", "triangle")  # a range is first
FREE = tuple(_FORMS)
_RANGE = ("low to high", "the least and the most that it may be")
# What each takes, in order, with its meaning.
ARGUMENTS: Mapping[str, Mapping[str, str]] = {
    "free": dict([_RANGE, ("start", "where to begin; may be left out: the middle of the range")]),
    "any": {
        "one": "the value, or word, to begin with",
        "another": "another value of the same unit, or another word",
        "...": "as many as you like",
    },
    "normal": {
        "mean": "the value that is expected",
        "deviation": "the standard deviation, in the same unit or in % of the mean",
    },
    "uniform": dict([_RANGE]),
    "triangle": dict([_RANGE, ("likely", "the most likely value")]),
}


def free_quantity(
    node: tree.Call, values: Sequence[Quantity], scope: Scope, session: Session
) -> Quantity | None:
    """The traced quantity that `free(...)`, say, stands for; None after a reported fault."""
    word = node.function.dotted
    forms = " or ".join(f"`{form}`" for form in _FORMS[word])
    least, most = _COUNTS[word]
    ranges = [isinstance(argument, tree.Range) for argument in node.arguments]
    if not least <= len(values) <= most or ranges[0] is not (word in _RANGED) or any(ranges[1:]):
        return session.report(E0307.count(word, _count(least, most), forms), node.span)
    first = values[0]
    scaled = [_relative(word, place, value, first) for place, value in enumerate(values)]
    if any(value.dimension != first.dimension for value in scaled):
        return session.report(E0307.mixed_units(forms), node.span)
    numbers = tuple(float(value.si) for value in scaled)
    if word == "triangle":
        numbers = numbers[0], numbers[2], numbers[1]
    fault = _fault(word, numbers, forms)
    if fault is not None:
        return session.report(fault, node.span)
    key = (scope, node.span.source.name, node.span.start)
    variable = session.traces.variables.get(key)
    if variable is None:
        variable = session.traces.variables[key] = _variable(word, numbers, first, node)
    return Quantity(Traced(variable.start, variable), first.dimension, first.written_in)


def picked_word(node: tree.Call, name: str, session: Session) -> tree.Expression:
    """The word that is picked of `any(medium, fine)`; the call itself where it is none of words."""
    if node.function.dotted != "any" or not all(isinstance(a, tree.Path) for a in node.arguments):
        return node
    key = (node.span.source.name, node.span.start)
    pick = session.picks.get(key, 0)
    session.traces.alternatives[key] = Alternatives(
        name=name,
        options=tuple(argument.span.text for argument in node.arguments),
        picked=pick,
        source=node.span.source.name,
        place=(node.span.start, node.span.end),
    )
    picked: tree.Expression = node.arguments[pick]  # type: ignore[assignment]
    return picked


def _variable(word: str, numbers: tuple[float, ...], first: Quantity, node: tree.Call) -> Variable:
    start = {
        "free": lambda: numbers[2] if len(numbers) > 2 else (numbers[0] + numbers[1]) / 2,
        "any": lambda: numbers[0],
        "normal": lambda: numbers[0],
        "uniform": lambda: (numbers[0] + numbers[1]) / 2,
        "triangle": lambda: numbers[1],
    }[word]()
    kinds = {"free": "range", "any": "choice"}
    return Variable(
        kind=kinds.get(word, word),  # type: ignore[arg-type]
        numbers=numbers[:2] if word == "free" else numbers,
        start=start,
        dimension=first.dimension,
        unit=first.written_in,
        source=node.span.source.name,
        place=(node.span.start, node.span.end),
    )


def _relative(word: str, place: int, value: Quantity, first: Quantity) -> Quantity:
    """A normal's deviation may be given in per cent of its mean."""
    if word == "normal" and place == 1 and value.written_in == "%" and first.written_in != "%":
        return Quantity(value.si * abs(first.si), first.dimension)
    return value


def _fault(word: str, numbers: tuple[float, ...], forms: str) -> Fault | None:
    if word == "normal":
        return None if numbers[1] > 0 else E0307.deviation(forms)
    if word == "any":
        return None if len(set(numbers)) == len(numbers) else E0307.repeated(forms)
    low, *middle, high = numbers if word == "triangle" else (numbers[0], *numbers[2:], numbers[1])
    if not low < high or any(math.isnan(n) for n in numbers):
        return E0307.range_reversed(forms)
    return None if all(low <= n <= high for n in middle) else E0307.start_outside(forms)


def _count(least: int, most: int) -> str:
    if least == most:
        return str(least)
    return f"{least} or {most}" if most - least == 1 else f"{least} to {most}"
