"""The tolerances that docs/regression.md shows are those of the schema."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from hoggin.schema.quantity import FAMILIES, SOLVER

PAGE = (Path(__file__).parents[2] / "docs" / "regression.md").read_text(encoding="utf-8")


def test_the_tolerances_shown_are_the_defaults() -> None:
    shown = re.search(r"```toml\n(\[tolerances\]\n.*?)```", PAGE, re.DOTALL)
    assert shown is not None
    assert tomllib.loads(shown.group(1))["tolerances"] == {
        family.name: family.tolerated for family in FAMILIES if family is not SOLVER
    }
