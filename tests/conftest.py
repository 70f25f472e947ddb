"""For all tests."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator

import pytest

import hoggin as hoggin  # before numpy is loaded: it then keeps to one thread

# Hundreds of tests start `python -m hoggin`. Without bytecode files each of them would compile the
# whole package anew, which takes longer than what is tested.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False


# What is loaded once is not looked through again and again for memory to give back.
_COLLECT_AFTER = 20_000  # objects


def pytest_collection_finish() -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(_COLLECT_AFTER)


@pytest.fixture(autouse=True)
def _memory_is_given_back() -> Iterator[None]:
    """The command line turns the garbage collector off, as a command ends soon; tests go on."""
    yield
    gc.enable()
