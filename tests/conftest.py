"""For all tests."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest

import hoggin as hoggin  # before numpy is loaded: it then keeps to one thread


@pytest.fixture(autouse=True)
def _memory_is_given_back() -> Iterator[None]:
    """The command line turns the garbage collector off, as a command ends soon; tests go on."""
    yield
    gc.enable()
