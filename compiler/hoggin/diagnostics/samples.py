"""The messages of a code as they are declared, with the names of their fields in capitals."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Self

from hoggin.diagnostics.fault import Fault


def messages(code: type[Fault]) -> Iterator[Fault]:
    for name, declared in vars(code).items():
        if isinstance(declared, classmethod) and not name.startswith("_"):
            message = getattr(code, name)
            fields = inspect.signature(message).parameters.values()
            yield message(*(_sample(field.name.upper(), field.annotation) for field in fields))


def _sample(name: str, kind: str) -> str | float | list[str]:
    if kind == "str":
        return name
    return _Figure.named(name) if kind in ("int", "float") else ["..."]


class _Figure(float):
    """A number that is shown by its name, whatever is done to it."""

    name = ""

    @classmethod
    def named(cls, name: str) -> Self:
        figure = cls(1.0)
        figure.name = name
        return figure

    def __rmul__(self, _: float) -> Self:
        return self

    def __format__(self, _: str) -> str:
        return self.name
