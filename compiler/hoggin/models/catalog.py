"""The process models a machine class can name, and the coefficients each one takes.

A machine class in a `.hog` file says `model breakage: matrix { k1 ... }`; this catalog is how the
checker knows that a breakage model called `matrix` exists, which coefficients it needs, in which
unit the model wants them, and what range its source gives. The functions themselves are found by
name and loaded only when a plant is balanced, so that checking a file never imports numpy.

Calling convention: a coefficient is passed under its own name, in the unit stated here. What the
balance or the rating supplies itself (size grid, feed, densities, aperture, area) carries its unit
in the argument's name. A part takes the arguments its function names and no others.
"""

from __future__ import annotations

from hoggin.models.entries import MODELS
from hoggin.models.model import Above, Coefficient, Model, Needs


def find(role: str, name: str) -> Model | None:
    """The model of that role and name, or None. Raises PluginError for one that an installed
    package offers and that can't be used."""
    own = _CATALOG.get((role, name))
    if own is not None:
        return own
    from hoggin.plugins.models import model  # only then is it asked what else is installed

    return model(role, name)


def is_own(role: str, name: str) -> bool:
    """Whether a model is the compiler's own."""
    return (role, name) in _CATALOG


def names(role: str, kind: str = "") -> tuple[str, ...]:
    """The compiler's own models for a role, in the catalog's order; empty for an unknown role.
    kind: of the machines they have to be for."""
    return tuple(
        model.name
        for model in _CATALOG.values()
        if model.role == role and (not kind or not model.kinds or kind in model.kinds)
    )


def roles() -> tuple[str, ...]:
    """Every role in the catalog, in its order."""
    return tuple(dict.fromkeys(model.role for model in _CATALOG.values()))


_CATALOG = {(model.role, model.name): model for model in MODELS}

__all__ = ["Above", "Coefficient", "Model", "Needs", "find", "is_own", "names", "roles"]
