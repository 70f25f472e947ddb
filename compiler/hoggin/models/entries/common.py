"""How an entry of the catalog is written, and what entries of several roles share."""

from __future__ import annotations

from typing import Literal, TypedDict, Unpack

from hoggin.models.model import Above, Coefficient, Model, Needs
from hoggin.schema.kinds import KINDS


class _Rules(TypedDict, total=False):
    kinds: tuple[str, ...]
    feed_coefficients: tuple[str, ...]
    load_coefficients: tuple[str, ...]
    rock_coefficients: tuple[str, ...]
    size_coefficients: tuple[str, ...]
    above: tuple[Above, ...]
    needs: tuple[Needs, ...]
    fineness: str
    table: Literal["", "passing", "rate"]


def model(
    role: str,
    parts: tuple[str, ...],
    name: str,
    functions: str,
    meaning: str,
    source: str,
    *coefficients: Coefficient,
    **rules: Unpack[_Rules],
) -> Model:
    """A model of a role. `functions`: for each of the role's parts `module:function`, with a space
    between them; the modules are those of this package."""
    paths = (f"hoggin.models.{function}" for function in functions.split())
    found = dict(zip(parts, paths, strict=True))
    if "fineness" in rules:
        rules["fineness"] = f"hoggin.models.{rules['fineness']}"
    return Model(role, name, meaning, source, found, coefficients, **rules)


DECKED = tuple(kind.name for kind in KINDS.values() if kind.decked)

BELT_RUN = (
    Coefficient("travel_speed", "m/s", "speed of the belt", 0.05, 8.0),
    Coefficient("length", "m", "along the belt, between pulley centres", 1.0, 5000.0),
    Coefficient("lift", "m", "height the rock is raised by", 0.0, 1000.0),
)

BELT_RISES = Above("length", "lift", "a belt can't rise by more than it is long")
