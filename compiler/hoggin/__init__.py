"""Hoggin: a plant-design language and compiler for aggregate crushing and screening plants.

From Python: `hoggin.load("plant.hog").balance()`; `docs/python.md` has the rest. What is named
here is loaded when it is first used, `__version__` too.
"""

import os

TYPE_CHECKING = False  # as `typing` has it, whose import takes as long as that of all below

# Matrices here are small. Threads of numpy's BLAS would wait for one another, many times longer
# than they work where the cores are busy; and sums that threads divide differ in a last digit.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from hoggin.api.comparison import Difference, compare
    from hoggin.api.findings import Findings, PlantError
    from hoggin.api.picture import Picture
    from hoggin.api.plant import Plant, load, loads
    from hoggin.api.result import Result
    from hoggin.api.states import States
    from hoggin.api.study import Study
    from hoggin.errors import HogginError

    __version__: str

__all__ = [
    "Difference",
    "Findings",
    "HogginError",
    "Picture",
    "Plant",
    "PlantError",
    "Result",
    "States",
    "Study",
    "compare",
    "load",
    "loads",
]
_HOMES = {
    "Difference": "hoggin.api.comparison",
    "Findings": "hoggin.api.findings",
    "HogginError": "hoggin.errors",
    "Picture": "hoggin.api.picture",
    "Plant": "hoggin.api.plant",
    "PlantError": "hoggin.api.findings",
    "Result": "hoggin.api.result",
    "States": "hoggin.api.states",
    "Study": "hoggin.api.study",
    "compare": "hoggin.api.comparison",
    "load": "hoggin.api.plant",
    "loads": "hoggin.api.plant",
}


def __getattr__(name: str) -> object:
    if name == "__version__":
        return _version()
    if name not in _HOMES:
        raise AttributeError(f"module 'hoggin' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(_HOMES[name]), name)


def _version() -> str:
    """Of the installed package, which has it from the tag that it was built from."""
    from importlib.metadata import PackageNotFoundError, version

    global __version__
    try:
        __version__ = version("hoggin")
    except PackageNotFoundError:  # run from a folder of sources that is not installed
        __version__ = "0+unknown"
    return __version__
