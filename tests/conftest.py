"""For all tests."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator

import pytest

# As the command line does, before numpy is loaded: tests run side by side.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@pytest.fixture(autouse=True)
def _memory_is_given_back() -> Iterator[None]:
    """The command line turns the garbage collector off, as a command ends soon; tests go on."""
    yield
    gc.enable()
