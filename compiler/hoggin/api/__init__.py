"""Hoggin from Python: for notebooks and scripts.

`load` a plant, `check` and `balance` it with its settings changed, look at the result as objects,
frames and drawings, `compare` two results, `study` many cases. Everything is read-only: a change
gives a new result.
"""

from hoggin.api.comparison import Difference, compare
from hoggin.api.findings import Findings, PlantError
from hoggin.api.picture import Picture
from hoggin.api.plant import Plant, load, loads
from hoggin.api.result import Result
from hoggin.api.study import Study
from hoggin.errors import HogginError

__all__ = [
    "Difference",
    "Findings",
    "HogginError",
    "Picture",
    "Plant",
    "PlantError",
    "Result",
    "Study",
    "compare",
    "load",
    "loads",
]
