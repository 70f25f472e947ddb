"""What the catalog says of a process model."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache, wraps
from importlib import import_module
from inspect import signature
from typing import Any, Literal, TypeAlias

from hoggin.errors import Exit, HogginError

Function: TypeAlias = Callable[..., Any]


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One argument of a process model: its name, unit ("" for a pure number), and the range in
    which the model has a meaning.

    A coefficient without a default has to be given by the class.
    """

    name: str
    unit: str
    meaning: str
    low: float
    high: float
    default: float | None = None


@dataclass(frozen=True, slots=True)
class Above:
    """Two coefficients of one unit, of which the first has to be above the second."""

    upper: str
    lower: str
    reason: str


@dataclass(frozen=True, slots=True)
class Needs:
    """A coefficient that, where it is not 0, needs another to be above 0."""

    name: str
    other: str
    reason: str


class ModelError(HogginError):
    """A process model refuses its arguments, which the checker should have found."""

    def __init__(self, model: Model, arguments: Mapping[str, object], reason: str) -> None:
        super().__init__(
            f"the {model.role} model `{model.name}` can't be computed: {reason}", Exit.UNBALANCED
        )
        self.model = model
        self.arguments = arguments


@dataclass(frozen=True, slots=True)
class Model:
    """A process model by role and name.

    Attributes:
        role: what it is of a machine: `breakage`, as a class names it.
        name: which one it is: `matrix`.
        meaning: what it computes.
        source: who published it.
        functions: a `module:function` path for each part of the model.
        coefficients: what a class gives.
        kinds: the machines that it is for; where it is empty, all that can name its role.
        feed_coefficients: a breakage model with any of them not 0 depends on the F80 of its
            machine's own feed.
        load_coefficients: with any of them not 0 it depends on how full its chamber is, and is
            linear in that.
        rock_coefficients: those that a material may state in the class's place.
        size_coefficients: its product is coarser in proportion to them.
        above: pairs of coefficients of which one has to be above the other.
        needs: pairs of which one needs the other.
        fineness: the path of a function of some of its arguments: how fine it needs the size
            classes.
        table: the list that it takes beside its coefficients, by setting: `passing` of sizes or
            `rate`, a range.
        guard: stands around the functions of a model that is not the compiler's own, by part.
    """

    role: str
    name: str
    meaning: str
    source: str
    functions: dict[str, str]
    coefficients: tuple[Coefficient, ...]
    kinds: tuple[str, ...] = field(default=(), kw_only=True)
    feed_coefficients: tuple[str, ...] = field(default=(), kw_only=True)
    load_coefficients: tuple[str, ...] = field(default=(), kw_only=True)
    rock_coefficients: tuple[str, ...] = field(default=(), kw_only=True)
    size_coefficients: tuple[str, ...] = field(default=(), kw_only=True)
    above: tuple[Above, ...] = field(default=(), kw_only=True)
    needs: tuple[Needs, ...] = field(default=(), kw_only=True)
    fineness: str = field(default="", kw_only=True)
    table: Literal["", "passing", "rate"] = field(default="", kw_only=True)
    guard: Callable[[str, Function], Function] | None = field(default=None, kw_only=True)

    def load(self, part: str) -> Function:
        """Import and return one of the model's functions; it raises ModelError for ValueError. The
        compiler's own are the same each time: machines of one function are computed together."""
        path = self.functions[part]
        if self.guard is not None:
            return self._raising(self.guard(part, _found(path)))
        key = (self.role, self.name, path)
        if key not in _LOADED:
            _LOADED[key] = self._raising(_found(path))
        return _LOADED[key]

    def _raising(self, loaded: Function) -> Function:
        @wraps(loaded)
        def guarded(*given: object, **arguments: object) -> Any:
            try:
                return loaded(*given, **arguments)
            except ValueError as fault:
                raise ModelError(self, arguments, str(fault)) from fault

        return guarded

    def needed_fineness(self, known: Mapping[str, object]) -> Any:
        """`points.Fineness` with these arguments; None where the model does not say."""
        if not self.fineness:
            return None
        function, asked = _asking(self.fineness)
        return function(**{name: known[name] for name in asked if name in known})


_LOADED: dict[tuple[str, str, str], Function] = {}


@lru_cache(maxsize=256)
def _asking(path: str) -> tuple[Function, tuple[str, ...]]:
    """A function and the names of its arguments."""
    function = _found(path)
    return function, tuple(signature(function).parameters)


def _found(path: str) -> Function:
    module, _, name = path.partition(":")
    function: Function = getattr(import_module(module), name)
    return function
