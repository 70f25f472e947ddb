"""Numbers and words left open in a plant: free for the designer to choose, or uncertain.

`free(10 mm, 25 mm)` any value of a range, `free(10 mm, 25 mm, 14 mm)` with a value to start from;
`any(10 mm, 12 mm, 16 mm)` one of a list, `any(medium, fine)` one of some words;
`normal(mean, deviation)`, `uniform(low, high)`, `triangle(low, likely, high)` what chance gives.
A plant is balanced at the start: the middle of a range, the first of a list, the mean.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoggin.check.scope import Scope, Session
from hoggin.check.tracing import Alternatives, Traced, Variable
from hoggin.check.values import Quantity
from hoggin.syntax import tree

_FORMS = {
    "free": ("free(10 mm, 25 mm)", "free(10 mm, 25 mm, 14 mm)"),
    "any": ("any(10 mm, 12 mm, 16 mm)",),
    "normal": ("normal(450 t/h, 20 t/h)", "normal(450 t/h, 5 %)"),
    "uniform": ("uniform(1 %, 3 %)",),
    "triangle": ("triangle(400 t/h, 450 t/h, 480 t/h)",),
}
_COUNTS = {"free": (2, 3), "any": (2, 64), "normal": (2, 2), "uniform": (2, 2), "triangle": (3, 3)}
FREE = tuple(_FORMS)


def free_quantity(
    node: tree.Call, values: Sequence[Quantity], scope: Scope, session: Session
) -> Quantity | None:
    """The traced quantity that `free(...)` and its like stand for; None after a reported fault."""
    word = node.function.dotted
    least, most = _COUNTS[word]
    if not least <= len(values) <= most:
        _refuse(node, f"`{word}` takes {_count(least, most)}", session)
        return None
    first = values[0]
    scaled = [_relative(word, place, value, first) for place, value in enumerate(values)]
    if any(value.dimension != first.dimension for value in scaled):
        _refuse(node, "all of these must be of the same kind of unit", session)
        return None
    numbers = tuple(float(value.si) for value in scaled)
    fault = _fault(word, numbers)
    if fault:
        _refuse(node, fault, session)
        return None
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
    return node.arguments[pick]


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
    """A normal's deviation may be told in per cent of its mean."""
    if word == "normal" and place == 1 and value.written_in == "%" and first.written_in != "%":
        return Quantity(value.si * abs(first.si), first.dimension)
    return value


def _fault(word: str, numbers: tuple[float, ...]) -> str:
    if word == "normal":
        return "" if numbers[1] > 0 else "a standard deviation is above nothing"
    if word == "any":
        return "" if len(set(numbers)) == len(numbers) else "the same value stands here twice"
    low, *middle, high = numbers if word == "triangle" else (numbers[0], *numbers[2:], numbers[1])
    if not low < high or any(math.isnan(n) for n in numbers):
        return "a range runs from its lower end to its upper"
    return "" if all(low <= n <= high for n in middle) else "this starts outside its own range"


def _refuse(node: tree.Call, fault: str, session: Session) -> None:
    forms = " or ".join(f"`{form}`" for form in _FORMS[node.function.dotted])
    session.diagnostics.report("E0307", node.span, fault, f"write {forms}")


def _count(least: int, most: int) -> str:
    if least == most:
        return f"{least} values"
    return f"{least} or {most} values" if most - least == 1 else f"{least} values or more"
