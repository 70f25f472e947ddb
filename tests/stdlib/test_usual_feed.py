"""`usual_f80` of the library's cones is that of the feed their setting rule is for.

That feed is scalped at the setting, up to 4.5 times it, on a Gaudin-Schuhmann line of 0.8 (a normal
choke feed; common practice, no source). Its F80 follows by hand: with a = (1 / 4.5)^0.8 below the
setting, (F80 / 4.5)^0.8 = a + 0.8 (1 - a), so F80 = 3.73 settings.
"""

from pathlib import Path

import pytest
from tests.stdlib.test_setting_rules import HEAD, SECONDARY, crusher, product_passing

from hoggin.schema.plant import ModelUse

SCALPED = (1.0 / 4.5) ** 0.8
F80 = 4.5 * (SCALPED + 0.8 * (1.0 - SCALPED)) ** (1.0 / 0.8)

CASES = [
    ("cones.low_speed_secondary" + HEAD, "css 25 mm", 25.0),
    ("cones.low_speed_tertiary" + HEAD, "css 10 mm", 10.0),
    ("cones.medium_speed" + HEAD, SECONDARY, 32.0),
    ("cones.high_speed" + HEAD, SECONDARY, 32.0),
    ("cones.high_speed" + HEAD, f"{SECONDARY}; model breakage: matrix_t10", 32.0),
    ("cones.supported_shaft" + HEAD, SECONDARY, 32.0),
    ("cones.bowl_and_shaft" + HEAD, SECONDARY, 32.0),
]


@pytest.mark.parametrize(("class_name", "settings", "css"), CASES)
def test_it_is_that_of_the_feed_of_the_setting_rule(
    tmp_path: Path, class_name: str, settings: str, css: float
) -> None:
    known = crusher(tmp_path, class_name, settings).models["breakage"].coefficients
    assert known["usual_f80"] == pytest.approx(F80 * css, rel=0.02)
    assert known["k1_feed"] == known["k2_feed"] == 0.0  # none was looked up


def test_on_that_feed_a_response_leaves_the_setting_rule_alone(tmp_path: Path) -> None:
    machine = crusher(tmp_path, "cones.medium_speed" + HEAD, SECONDARY)
    plain = product_passing(machine, 32.0, 4.5, 0.8)
    known = machine.models["breakage"].coefficients
    fed = {**known, "k1_feed": 0.05, "k2_feed": 0.2, "f80_mm": F80 * 32.0}
    follows = machine.model_copy(
        update={"models": {"breakage": ModelUse(model="matrix", coefficients=fed)}}
    )
    at_setting, at_twice = product_passing(follows, 32.0, 4.5, 0.8)
    assert at_setting == pytest.approx(plain[0], abs=0.005)
    assert at_setting == pytest.approx(0.70, abs=0.02)
    assert at_twice > 0.97
