"""Fifty plants of the generator through every command; more by hand: python -m tests.generator."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings

from hoggin.balance import CannotSettle, balance
from hoggin.check.checker import check_file
from hoggin.models.model import ModelError
from tests.generator import Files, plant
from tests.generator.drawing import MAIN, write
from tests.generator.strategies import plants
from tests.generator.trial import trial

_SEEDS = range(50)
_THOROUGH = 10  # every tenth with all documents and studies


@pytest.mark.slow
@pytest.mark.parametrize("seed", _SEEDS)
def test_no_command_fails_a_plant(seed: int, tmp_path: Path) -> None:
    found = trial(plant(seed), tmp_path, thorough=seed % _THOROUGH == 0)
    assert not found.faults, "\n\n".join(found.faults)


@pytest.mark.slow
def test_nine_plants_in_ten_balance(tmp_path: Path) -> None:
    balanced = 0
    for seed in range(1000, 1040):
        folder = tmp_path / str(seed)
        write(plant(seed), folder)
        checked = check_file(folder / MAIN)
        if checked.plant is not None:
            with suppress(CannotSettle, ModelError):
                balance(checked.plant)
                balanced += 1
    assert balanced >= 36


@given(plants())
@settings(max_examples=25)
def test_a_plant_is_the_same_whenever_it_is_drawn(files: Files) -> None:
    assert plant(files.seed) == files


def test_plants_hold_all_that_the_language_has() -> None:
    """So that the generator does not lose a kind of line unnoticed."""
    text = "\n".join(text for seed in range(150) for text in plant(seed).texts.values())
    for words in (
        *("crusher", "screen", "feeder", "conveyor", "classifier", "splitter", "blend", "bin"),
        *("stockpile", "product", "section", "template", "choose", "option", "require", "maximize"),
        *("meets", "within", "material", "series", "band", "grading", "class", "use", "let"),
        *("shifts", "availability", "maintenance", "start_level", "free(", "normal(", "tramp"),
        *("position left", "draw", "overflow", "magnet", "metal_detector", "instrument", "pump"),
        *("sump", "thickener", "grizzly_feeder", "conveyors.stacker", "nonmagnetic_tramp"),
        *("model breakage: matrix_t10", "model capacity: jaw", "rule", "slotted", "spray"),
        *(" in;", " in ", "stph", "kg/s", "flakiness", "wear", "by lining", "max("),
    ):
        assert words in text, words
