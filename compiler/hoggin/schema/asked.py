"""The results that a plant can be asked for by name, as they are declared in `schema.results`."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import get_args, get_origin

from pydantic import BaseModel

from hoggin.schema.declared import Declared, fields_of
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Combination, Expression, Plant, Reading
from hoggin.schema.quantity import Quantity, dimension_of, in_trade_unit
from hoggin.schema.results import (
    DeckResult,
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
)
from hoggin.schema.units import Dimension

_OWNERS: Mapping[str, type[BaseModel]] = {
    "plant": Results,
    "feed": FeedResult,
    "product": ProductResult,
    "deck": DeckResult,
    "stream": StreamResult,  # all that leaves a machine by an outlet
    **dict.fromkeys(KINDS, MachineResult),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A result of a kind of thing. `path` leads to it from the thing's part of the document.

    complement: what is requested is 1 less the value.
    """

    name: str
    path: tuple[str, ...]
    quantity: Quantity
    unit: str
    meaning: str
    complement: bool = False

    @property
    def dimension(self) -> Dimension:
        return dimension_of(self.unit)

    @property
    def scale(self) -> float:
        """How many of the trade unit one of the field's unit is."""
        return in_trade_unit(self.unit)

    @property
    def sized(self) -> bool:
        """Whether it takes a size: `passing(5 mm)`."""
        return bool(self.quantity.sizes)

    @property
    def is_share(self) -> bool:
        return self.quantity.family.share

    @property
    def label(self) -> str:
        """In words, for headings."""
        return Declared(self.path[-1], self.quantity).label


@cache
def asked(kind: str) -> Mapping[str, Asked]:
    """What can be asked of a kind of thing, by name, in the order it is declared. Empty for a kind
    that is not known."""
    owner = _OWNERS.get(kind)
    found = {} if owner is None else {one.name: one for one in (*_of(owner, kind), *_lists(kind))}
    passing = found.get("passing")
    if passing is not None:
        found["retained"] = Asked(
            "retained",
            passing.path,
            passing.quantity,
            passing.unit,
            "share coarser than a size: `retained(16 mm)`",
            complement=True,
        )
    return found


def kinds() -> tuple[str, ...]:
    """Everything that has results to be asked for."""
    return tuple(_OWNERS)


@cache
def meanings() -> Mapping[str, str]:
    """What each name means, of the first thing that has it."""
    found: dict[str, str] = {}
    for kind in _OWNERS:
        for one in asked(kind).values():
            found.setdefault(one.name, one.meaning)
    return found


@cache
def sized_names() -> frozenset[str]:
    """The results that take a size."""
    return frozenset(one.name for kind in _OWNERS for one in asked(kind).values() if one.sized)


@cache
def _share_names() -> frozenset[str]:
    return frozenset(one.name for kind in _OWNERS for one in asked(kind).values() if one.is_share)


def is_share(expression: Expression) -> bool:
    """Whether a pure number over results is a share or a sum of them, to be shown in per cent. A
    product or quotient may be any number."""
    if isinstance(expression, Reading):
        return expression.quantity in _share_names()
    if isinstance(expression, Combination) and expression.operator in "+-":
        return all(reading.quantity in _share_names() for reading in readings(expression))
    return False


def kind_of(plant: Plant, subject: str) -> str:
    """What a result's subject is, as `require` knows it."""
    if subject in {feed.tag for feed in plant.feeds}:
        return "feed"
    if subject in {product.tag for product in plant.products}:
        return "product"
    machines = {machine.tag: machine for machine in plant.machines}
    if not subject or subject in machines:
        return machines[subject].kind if subject else "plant"
    tag = thing_of(subject, machines)
    return "stream" if subject.removeprefix(f"{tag}.") in machines[tag].outlets else "deck"


def asked_of(plant: Plant, reading: Reading) -> Asked:
    """What a reading of a plant asks for."""
    return asked(kind_of(plant, reading.subject))[reading.quantity]


def thing_of(subject: str, tags: Container[str]) -> str:
    """The feed, machine or product that a result's subject is, or is a part of: a deck or outlet
    follows its tag, behind a dot."""
    while subject and subject not in tags:
        subject = subject.rpartition(".")[0]
    return subject


def readings(expression: Expression) -> Iterator[Reading]:
    """Every result that an expression names."""
    match expression:
        case Reading():
            yield expression
        case Combination():
            yield from readings(expression.left)
            yield from readings(expression.right)


def _lists(kind: str) -> Iterator[Asked]:
    """Results that the plant's document lists by what they are of, as those of sources of dust."""
    for name, inner, declared in fields_of(Results):
        of_kinds = next((one for one in declared if isinstance(one, tuple)), ())
        if get_origin(inner) is tuple and kind in of_kinds:
            yield from _of(get_args(inner)[0], kind, (name,))


def _of(model: type[BaseModel], kind: str, path: tuple[str, ...] = ()) -> Iterator[Asked]:
    for name, inner, declared in fields_of(model):
        at = (*path, name)
        quantity = next((one for one in declared if isinstance(one, Quantity)), None)
        if quantity is None:
            of_kinds = next((one for one in declared if isinstance(one, tuple)), (kind,))
            if isinstance(inner, type) and issubclass(inner, BaseModel) and kind in of_kinds:
                yield from _of(inner, kind, at)
            continue
        one = Declared(name, quantity)
        word = one.stem if quantity.ask is None else quantity.ask
        if word and (not quantity.kinds or kind in quantity.kinds):
            yield Asked(word, at, quantity, one.unit, quantity.meaning)
