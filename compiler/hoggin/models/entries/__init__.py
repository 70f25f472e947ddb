"""Every process model that a class may name, with its coefficients, their units and ranges."""

from __future__ import annotations

from hoggin.models.entries import breakage, capacity, power, separation, shape

MODELS = (
    *breakage.MODELS,
    *separation.MODELS,
    *capacity.MODELS,
    *power.MODELS,
    *shape.MODELS,
)
