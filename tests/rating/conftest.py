"""Plants for the rating tests: small, invented, and simple enough to be worked by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.diagnostics.render import render_all
from hoggin.rating.rate import rate
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

Rate = Callable[[str], Results]

HEAD = """
use std.sieves
use std.jaws
use std.cones
use std.screens
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; moisture 2 % }
"""


@pytest.fixture
def check_plant(tmp_path: Path) -> Callable[[str], Plant]:
    def checked(text: str) -> Plant:
        path = tmp_path / "plant.hog"
        path.write_text(HEAD + text, encoding="utf-8")
        found = check_file(path)
        assert found.plant is not None, render_all(found.diagnostics)
        return found.plant

    return checked


@pytest.fixture
def rate_plant(check_plant: Callable[[str], Plant]) -> Rate:
    """Check, balance and rate a plant's text (its material and libraries are given)."""

    def rated(text: str) -> Results:
        plant = check_plant(text)
        return rate(plant, balance(plant), "plant.hog")

    return rated
