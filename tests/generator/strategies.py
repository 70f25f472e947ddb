"""The generator as a strategy of hypothesis: a plant, and the number it is known by."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.generator.drawing import Files, plant

LARGEST_SEED = 2**31


def plants(*, largest_seed: int = LARGEST_SEED) -> st.SearchStrategy[Files]:
    """Plants, shrinking to small numbers; `Files.seed` says which plant failed."""
    return st.integers(min_value=0, max_value=largest_seed).map(plant)
