"""Process models of plug-in packages: held to the same calls as the catalog's own."""

from __future__ import annotations

import inspect
from dataclasses import replace
from functools import cache, partial, wraps
from typing import Any

from hoggin.models.entries import MODELS
from hoggin.models.model import Coefficient, Function, Model
from hoggin.plugins.offers import Offer, find, offers


@cache
def model(role: str, name: str) -> Model | None:
    """The model that a package offers as `role.name`. Raises PluginError for one that can't be
    used."""
    offer = find("models", f"{role}.{name}")
    return None if offer is None else checked(offer)


def model_names(role: str) -> tuple[str, ...]:
    """The models that packages offer for a role."""
    return tuple(n.partition(".")[2] for n in offers("models") if n.partition(".")[0] == role)


def checked(offer: Offer) -> Model:
    """The offered model, once all that can be known of it before it runs is as it must be.
    Raises PluginError."""
    found = offer.load()
    if not isinstance(found, Model):
        raise offer.fault(f"is a {type(found).__name__}, not a `hoggin.models.catalog.Model`")
    if f"{found.role}.{found.name}" != offer.name:
        raise offer.fault(f"calls itself `{found.role}.{found.name}`")
    alike = [one for one in MODELS if one.role == found.role]
    if not alike:
        known = ", ".join(dict.fromkeys(one.role for one in MODELS))
        raise offer.fault(f"is for the role `{found.role}`; the roles are {known}")
    if any(one.name == found.name for one in alike):
        raise offer.fault("has the name of a model of the compiler's own")
    if set(found.functions) != set(alike[0].functions):
        raise offer.fault(f"needs the functions {', '.join(alike[0].functions)}")
    with offer.running("is not described as a model is"):
        fitting = all(isinstance(one, Coefficient) for one in found.coefficients)
    if not fitting:
        raise offer.fault("has coefficients that are not `Coefficient`")
    taken: set[str] = set()
    for part in found.functions:
        taken |= _parameters(offer, found, part, alike)
    unused = [one.name for one in found.coefficients if one.name not in taken]
    if unused:
        raise offer.fault(f"does not take its coefficient `{unused[0]}`")
    return replace(found, guard=partial(_guard, offer))


def _parameters(offer: Offer, found: Model, part: str, alike: list[Model]) -> set[str]:
    """What a part takes. The compiler's own models of the role show what it can be given, and what
    it is given always."""
    with offer.running(f"can't load its function `{part}`"):
        parameters = inspect.signature(found.load(part)).parameters
    given = [_given(one, part) for one in alike]
    always = set.intersection(
        *({n for n, p in one.items() if p.default is p.empty} for one in given)
    )
    ever = set.union(*map(set, given))
    own = {one.name for one in found.coefficients}
    for name, one in parameters.items():
        if one.kind is one.VAR_KEYWORD or one.kind is one.VAR_POSITIONAL:
            raise offer.fault(f"function `{part}` must name its arguments; it has `{one}`")
        if one.default is one.empty and name not in own | ever:
            known = ", ".join(f"`{n}`" for n in sorted(ever)) or "none"
            raise offer.fault(
                f"function `{part}` takes `{name}`, which is neither a coefficient nor an argument "
                f"of a {found.role} model ({known})"
            )
    leads = [_leading(one.load(part)) for one in alike]
    if not any(list(parameters)[: len(lead)] == lead for lead in leads):
        wanted = ", ".join(leads[0]) or "arguments by name only"
        raise offer.fault(f"function `{part}` must begin with ({wanted})")
    missing = sorted(always - set(parameters))
    if missing:
        raise offer.fault(f"function `{part}` must take `{missing[0]}`")
    return set(parameters)


def _leading(function: Function) -> list[str]:
    """The arguments that a function is given by their place."""
    found = inspect.signature(function).parameters.values()
    return [one.name for one in found if one.kind is not one.KEYWORD_ONLY]


def _given(own: Model, part: str) -> dict[str, inspect.Parameter]:
    """The arguments that a part of one of the compiler's own models gets from its caller."""
    coefficients = {c.name for c in own.coefficients}
    found = inspect.signature(own.load(part)).parameters
    return {name: one for name, one in found.items() if name not in coefficients}


_ROUNDING = 1e-9
_BY_SIZE = {"operator": 2, "oversize": 1, "fresh": 1}
"""Parts that give numbers by size class, and along how many axes; all others give one a case."""


def _guard(offer: Offer, part: str, function: Function) -> Function:
    """The function, of which nothing can come but numbers of the shape that is asked for."""
    import numpy as np

    called = inspect.signature(function)

    @wraps(function)
    def guarded(*given: Any, **named: Any) -> Any:
        with offer.running(f"failed in `{part}`"):
            found = np.asarray(function(*given, **named), dtype=np.float64)
        bound = called.bind(*given, **named).arguments
        edges = bound.pop("edges_mm", (0.0,))
        bound.pop("points_mm", None)
        cases = max((len(one) for one in bound.values() if np.ndim(one)), default=1)
        _check(offer, part, found, cases, len(edges) - 1)
        return found

    return guarded


def _check(offer: Offer, part: str, found: Any, cases: int, classes: int) -> None:
    """Raises PluginError for what the balance and the rating can't go on with."""
    import numpy as np

    by_size = (classes,) * _BY_SIZE.get(part, 0)
    if found.ndim != 1 + len(by_size) or found.shape[1:] != by_size or len(found) not in (1, cases):
        raise offer.fault(
            f"gave numbers of shape {found.shape} in `{part}`; {(cases, *by_size)} is needed"
        )
    if not np.isfinite(found).all():
        raise offer.fault(f"gave what is not a number in `{part}`")
    if by_size and (found.min() < -_ROUNDING or found.max() > 1.0 + _ROUNDING):
        raise offer.fault(f"gave shares outside 0 % to 100 % in `{part}`")
    if part == "operator" and abs(found.sum(axis=1) - 1.0).max() > _ROUNDING:
        raise offer.fault("does not keep the mass in `operator`: its columns must add up to 1")
