"""What the catalog is to know of the package's process model. It imports no numpy: a plant is
checked without it."""

from __future__ import annotations

from hoggin.models.catalog import Coefficient, Model

HALVING = Model(
    role="breakage",
    name="halving",
    meaning="every piece above the gap is crushed to pieces evenly spread below it",
    source="invented for a test; no crusher works like this",
    functions={"operator": "hoggin_sample.halving:operator"},
    coefficients=(Coefficient("gap", "mm", "size that all rock is crushed to", 1.0, 500.0),),
)
