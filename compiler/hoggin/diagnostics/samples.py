"""The messages of a code as they are declared, with the names of their fields in capitals."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Self

from hoggin.diagnostics.fault import Fault, Unknown, Words


def messages(code: type[Fault]) -> Iterator[Fault]:
    for name, declared in vars(code).items():
        if isinstance(declared, Unknown):
            yield declared(*map(_Named, declared.fields), ["..."])
        elif isinstance(declared, Words):
            yield declared.filled([_Named(field) for field in declared.fields])
        elif isinstance(declared, classmethod) and not name.startswith("_"):
            message = getattr(code, name)
            fields = inspect.signature(message).parameters.values()
            yield message(*(_sample(field.name, field.annotation) for field in fields))


def _sample(name: str, kind: str) -> str | float | list[str]:
    return ["..."] if kind not in ("str", "int", "float") else _Named(name)


class _Named(str):
    """A value that is shown by its field's name, whatever is done to it."""

    def __new__(cls, field: str) -> Self:
        return super().__new__(cls, field.upper())

    def __rmul__(self, _: object) -> Self:
        return self

    def __format__(self, _: str) -> str:
        return str(self)
