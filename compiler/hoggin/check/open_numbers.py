"""What a plant leaves open, as part of the plant: two plants that leave other things open differ,
though they are balanced alike at their starts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Open
from hoggin.schema.tracing import Alternatives, Freedom, Variable, variables
from hoggin.schema.units import in_unit, number_text, unit_named
from hoggin.syntax.tokens import tokens_of


def open_numbers(freedom: Freedom, sources: Mapping[str, Source]) -> tuple[Open, ...]:
    """Free and uncertain numbers and choices, by name."""
    found = [*_numbers(freedom), *(_choice(one, sources) for one in freedom.alternatives.values())]
    return tuple(sorted(found, key=lambda one: (one.name, one.text)))


def _numbers(freedom: Freedom) -> Iterator[Open]:
    for name, variable in freedom.variables.items():
        yield Open(name=_name(name, variable, freedom), text=_words(variable))


def _name(name: str, variable: Variable, freedom: Freedom) -> str:
    """A number that is given no name goes by the first place in the plant that depends on it."""
    if name != f"{variable.source}:{variable.place[0]}":
        return name
    places = (path for path, formula in freedom.formulas.items() if variable in variables(formula))
    return min((".".join(map(str, path[1:])) for path in places), default="a number")


def _words(variable: Variable) -> str:
    """`range 10 mm, 25 mm, from 14 mm`: its kind, its numbers and where it starts."""
    unit = unit_named(variable.unit)
    shown = [
        f"{number_text(in_unit(value, unit) if unit else value)} {variable.unit}".strip()
        for value in (*variable.numbers, variable.start)
    ]
    return f"{variable.kind} {', '.join(shown[:-1])}, starting at {shown[-1]}"


def _choice(choice: Alternatives, sources: Mapping[str, Source]) -> Open:
    source = sources.get(choice.source)
    bodies = choice.bodies if source is not None else ()
    texts = [_body(source, *body) for body in bodies if source is not None]
    options = dict(zip(choice.options, texts or [""] * len(choice.options), strict=True))
    return Open(name=choice.name, text=choice.options[choice.picked], options=options)


def _body(source: Source, start: int, end: int) -> str:
    """What is in an option, without comments and layout."""
    inside = Source(source.name, source.text[start:end])
    return " ".join(token.text.strip() or ";" for token in tokens_of(inside, Diagnostics()))
