"""The process model that a machine's class chose for a role, ready to be called for one case."""

from __future__ import annotations

import numpy as np

from hoggin.balance.result import Array
from hoggin.models import catalog
from hoggin.schema.plant import Machine, ModelUse


def model_in_use(machine: Machine, role: str) -> tuple[catalog.Model, ModelUse] | None:
    """The model and its coefficients; None where the class names none for the role."""
    use = machine.models.get(role)
    model = catalog.find(role, use.model) if use else None
    return (model, use) if use and model else None


def arguments(use: ModelUse) -> dict[str, Array]:
    """The coefficients as a batch of one."""
    return {name: np.array([value]) for name, value in use.coefficients.items()}
