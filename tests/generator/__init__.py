"""Plants by their number: mostly valid `.hog` texts, drawn from a seed.

`plant(seed)` gives the files of one plant. It knows the language as docs/language.md states it, and
the standard library's classes as their own text states them; it knows nothing of the compiler.
`python -m tests.generator COUNT SEED` puts many plants through every command (`trial.py`).
"""

from tests.generator.drawing import Files, plant

__all__ = ["Files", "plant"]
