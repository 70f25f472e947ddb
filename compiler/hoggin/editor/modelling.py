"""Proposals for models and their coefficients, from the catalog."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.editor.asking import Asking, Item
from hoggin.editor.values_at import number_in
from hoggin.models import catalog
from hoggin.schema.kinds import models_of


def of_line(asking: Asking) -> Iterator[Item]:
    """`model ROLE: NAME { ... }`, with the coefficients it needs."""
    cursor = asking.cursor
    line = cursor.line
    kind = cursor.head[1].text if len(cursor.head) > 1 else ""
    if len(line) == 1:
        yield from (Item(role, "property", "role") for role in models_of(kind))
    elif len(line) == 3 and line[2].kind == "COLON":
        for name in catalog.names(line[1].text, kind):
            found = catalog.find(line[1].text, name)
            if found is not None:
                text = name if "{" in cursor.after else _whole(found)
                yield Item(name, "class", found.meaning, insert=text)


def _whole(model: catalog.Model) -> str:
    needed = [
        coefficient(one, place).insert
        for place, one in enumerate(model.coefficients)
        if one.default is None
    ]
    return f"{model.name} {{ {'; '.join(needed)} }}"


def coefficient(one: catalog.Coefficient, place: int) -> Item:
    """A coefficient at its default, or else near the low end of its range: the later in the model,
    the higher, as k2 is over k1."""
    if one.default is not None:
        value = one.default
    else:
        value = one.low + (one.high - one.low) * (place + 1) / 1000
    sample = number_in(value, one.unit)
    limits = f", {one.low:g} to {one.high:g}"
    detail = f"{one.meaning}{limits} {one.unit}".rstrip()
    return Item(one.name, "property", detail, insert=f"{one.name} {sample}", hole=sample)
