"""The plant of docs/operation.md, and plants from text."""

from __future__ import annotations

import re
from pathlib import Path

from tests.check.reading import plant_of

from hoggin.balance import balance
from hoggin.rating.rate import rate
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

PAGE = Path(__file__).parents[3] / "docs" / "operation.md"
HEAD = """
use std.sieves
use std.jaws
use std.cones
use std.screens
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
"""
FEED = "rock rock; rate 100 t/h; passing { 250 mm: 100 %, 10 mm: 5 % }"


def documented() -> str:
    """The plant that stands on the page."""
    found = re.search(r"```hog\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    return found[1]


def rated(text: str) -> tuple[Plant, Results]:
    plant = plant_of(text)
    return plant, rate(plant, balance(plant), "plant.hog")


def small(body: str, feed: str = "") -> str:
    """A plant with a feed `f` of 100 t/h, and more lines."""
    return f'{HEAD}plant "small" {{ sieves sieves.quarry\nfeed f {{ {FEED}\n{feed} }}\n{body}\n}}\n'
