"""Parts of the results as columns: the document's own fields, and gradings by sieve."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from hoggin.api.frames import Column
from hoggin.errors import HogginError
from hoggin.schema.declared import fields_of
from hoggin.schema.results import (
    Check,
    DeckResult,
    DustResult,
    FeedResult,
    LoopResult,
    MachineResult,
    ProductResult,
    RequirementResult,
    Results,
    StreamResult,
    Warning,
    WaterStreamResult,
)

_SCALARS = (str, float, int, bool)
_MACHINE = "machine"
_DECK = "deck"


def table(results: Results, of: str) -> list[Column]:
    """The columns of a part of the results. Raises HogginError for a part that is not there."""
    if of not in _TABLES:
        known = ", ".join(f'"{name}"' for name in _TABLES)
        raise HogginError(f'there is no frame "{of}"; there are {known}')
    return _TABLES[of](results)


def _of(model: type[BaseModel], part: str) -> Callable[[Results], list[Column]]:
    """A part whose things are fields of the document."""
    return lambda results: list(_columns(model, getattr(results, part)))


def _columns(
    model: type[BaseModel], things: Sequence[Any], path: tuple[str, ...] = ()
) -> Iterator[Column]:
    """A column for each plain field, and for those of the parts that a thing has one of."""
    for name, kind, _ in fields_of(model):
        at = (*path, name)
        if kind in _SCALARS or getattr(kind, "__origin__", None) is not None:
            scalar = kind if kind in _SCALARS else _joined_kind(model, name)
            if scalar is not None:
                yield Column(".".join(at), scalar, tuple(_value(one, at) for one in things))
        elif isinstance(kind, type) and issubclass(kind, BaseModel):
            yield from _columns(kind, things, at)


def _joined_kind(model: type[BaseModel], name: str) -> type | None:
    """Words are joined; what else has many values has no column."""
    annotation = str(model.model_fields[name].annotation)
    return str if annotation == "tuple[str, ...]" or "Literal" in annotation else None


def _value(thing: Any, path: Iterable[str]) -> Any:
    for step in path:
        thing = getattr(thing, step)
        if thing is None:
            return None
    return ", ".join(thing) if isinstance(thing, tuple) else thing


def _decks(results: Results) -> list[Column]:
    found = [(machine, deck) for machine in results.machines for deck in machine.decks]
    tags = Column(_MACHINE, str, tuple(machine.tag for machine, _ in found))
    return [tags, *_columns(DeckResult, [deck for _, deck in found])]


def _checks(results: Results) -> list[Column]:
    found = [(m.tag, "", check) for m in results.machines for check in m.checks]
    found += [
        (m.tag, d.name, check) for m in results.machines for d in m.decks for check in d.checks
    ]
    return [
        Column(_MACHINE, str, tuple(tag for tag, _, _ in found)),
        Column(_DECK, str, tuple(deck for _, deck, _ in found)),
        *_columns(Check, [check for _, _, check in found]),
    ]


def _gradings(results: Results) -> list[Column]:
    return _by_sieve(results, ((one.tag, one.passing) for one in results.products))


def _stream_gradings(results: Results) -> list[Column]:
    return _by_sieve(results, ((one.name, one.passing) for one in results.streams))


def _by_sieve(results: Results, gradings: Iterable[tuple[str, tuple[float, ...]]]) -> list[Column]:
    sieves = Column("sieve_mm", float, results.sieves_mm)
    return [sieves, *(Column(name, float, passing) for name, passing in gradings)]


_TABLES: Mapping[str, Callable[[Results], list[Column]]] = MappingProxyType(
    {
        "feeds": _of(FeedResult, "feeds"),
        "streams": _of(StreamResult, "streams"),
        "water_streams": _of(WaterStreamResult, "water_streams"),
        "products": _of(ProductResult, "products"),
        "machines": _of(MachineResult, "machines"),
        "decks": _decks,
        "checks": _checks,
        "loops": _of(LoopResult, "loops"),
        "requirements": _of(RequirementResult, "requirements"),
        "warnings": _of(Warning, "warnings"),
        "dust": _of(DustResult, "dust"),
        "gradings": _gradings,
        "stream_gradings": _stream_gradings,
    }
)
