"""The messages of a code as they are declared, with the names of their fields in capitals."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Self

from hoggin.diagnostics.fault import Fault, Unknown, Words


def messages(code: type[Fault]) -> Iterator[Fault]:
    for name, declared in vars(code).items():
        if isinstance(declared, Unknown):
            yield declared(*_samples(declared), ["..."])
        elif isinstance(declared, Words):
            yield declared.filled(_samples(declared))
        elif isinstance(declared, classmethod) and not name.startswith("_"):
            message = getattr(code, name)
            fields = inspect.signature(message).parameters.values()
            yield message(*(_sample(field.name, field.annotation != "str") for field in fields))


def _samples(declared: Words) -> list[str | list[str]]:
    return [_sample(name, listed) for name, listed in declared.fields.items()]


def _sample(name: str, listed: bool) -> str | list[str]:
    return ["..."] if listed else _Named(name)


class _Named(str):
    """A value that is shown by its field's name, whatever is done to it."""

    def __new__(cls, field: str) -> Self:
        return super().__new__(cls, field.upper())

    def __rmul__(self, _: object) -> Self:
        return self

    def __format__(self, _: str) -> str:
        return str(self)
