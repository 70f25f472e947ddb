"""Cones with breakage from t10 keep to the setting rule of their generation (common practice)."""

from pathlib import Path

import pytest
from tests.stdlib.test_setting_rules import (
    HEAD,
    NORMAL_FEEDS,
    SECONDARY,
    TERTIARY,
    crusher,
    product_passing,
)


@pytest.mark.parametrize(("top", "exponent"), NORMAL_FEEDS)
@pytest.mark.parametrize(
    ("name", "settings", "css", "rule"),
    [
        ("low_speed_secondary", "css 25 mm", 25.0, 0.60),
        ("low_speed_tertiary", "css 10 mm", 10.0, 0.60),
        ("medium_speed", SECONDARY, 32.0, 0.70),
        ("medium_speed", TERTIARY, 12.0, 0.70),
        ("high_speed", SECONDARY, 32.0, 0.76),  # this and those below from memory
        ("supported_shaft", SECONDARY, 32.0, 0.70),
        ("bowl_and_shaft", SECONDARY, 32.0, 0.73),
    ],
)
def test_the_product_passes_the_setting_by_the_rule(
    tmp_path: Path,
    name: str,
    settings: str,
    css: float,
    rule: float,
    top: float,
    exponent: float,
) -> None:
    machine = crusher(tmp_path, f"cones.{name}{HEAD}", f"{settings}; model breakage: matrix_t10")
    assert machine.models["breakage"].model == "matrix_t10"
    at_setting, at_twice = product_passing(machine, css, top, exponent)
    assert at_setting == pytest.approx(rule, abs=0.02)
    assert at_twice > 0.97
