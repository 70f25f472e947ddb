"""What is declared of the fields of the results document: their words, units and meanings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel

from hoggin.schema.quantity import Quantity, stem_and_unit


@dataclass(frozen=True, slots=True)
class Declared:
    """A result by its field. `unit` is "%" for a share, which is stored as a fraction."""

    field: str
    quantity: Quantity

    @property
    def stem(self) -> str:
        """The field's name without its unit."""
        return stem_and_unit(self.field, self.quantity.family)[0]

    @property
    def unit(self) -> str:
        return stem_and_unit(self.field, self.quantity.family)[1]

    @property
    def label(self) -> str:
        """In words, for headings: the declared label, or that of the field's name."""
        return self.quantity.label or self.stem.replace("_", " ")

    def json_schema(self) -> dict[str, str]:
        """What the JSON schema of the results document says of it."""
        family = self.quantity.family
        found = {
            "description": self.quantity.meaning,
            "x-label": self.label,
            "x-unit": "fraction" if family.share else self.unit or "number",
            "x-family": family.name,
            "x-weighed": family.weigh.value,
            "x-tolerance": family.tolerated,
        }
        return {key: text for key, text in found.items() if text}


@cache
def results_of(model: type[BaseModel]) -> tuple[Declared, ...]:
    """The results that a part of the document holds itself, as they are declared."""
    return tuple(
        Declared(name, one)
        for name, _, told in fields_of(model)
        for one in told
        if isinstance(one, Quantity)
    )


@cache
def declared(model: type[BaseModel], path: str) -> Declared:
    """A result by its field, or by the way to it: `wear.life_h`."""
    *way, last = path.split(".")
    inner: Any = model
    for step in way:
        inner = next(kind for name, kind, _ in fields_of(inner) if name == step)
    return next(one for one in results_of(inner) if one.field == last)


def fields_of(model: type[BaseModel]) -> Iterator[tuple[str, Any, tuple[Any, ...]]]:
    """A model's fields: name, type without None, and what was declared of it."""
    for name, field in model.model_fields.items():
        kind = field.annotation
        if get_origin(kind) in (Union, UnionType):
            kind = next(part for part in get_args(kind) if part is not type(None))
        yield name, kind, tuple(field.metadata)
