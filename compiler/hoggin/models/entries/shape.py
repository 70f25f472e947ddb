"""Flaky, and flat and elongated pieces."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from hoggin.models.entries.common import model
from hoggin.models.model import Coefficient, Model

_flakiness = partial(model, "flakiness", ("fresh",))

_USUAL_SPEED = Coefficient("speed_ratio", "", "speed over the usual speed", 0.2, 5.0, 1.0)

_SPEED_EXPONENT = Coefficient(
    "speed_exponent", "", "flaky share falls as speed to minus it", 0.0, 2.0, 0.5
)

_NEAR_SETTING = _flakiness(
    "near_setting",
    "shape:near_setting_share",
    "flaky share of freshly broken rock: best near the setting, worse finer and coarser",
    "trends of Bengtsson & Evertsson (2006), from memory; form and figures common practice",
    Coefficient("css", "mm", "closed side setting, or gap of an impactor", 1.0, 2000.0),
    Coefficient("best", "", "flaky share at the setting", 0.0, 0.6),
    Coefficient("rise_finer", "", "added by each halving of size below it", 0.0, 0.5, 0.04),
    Coefficient("rise_coarser", "", "added by each doubling above it", 0.0, 0.5, 0.10),
    Coefficient("most", "", "upper limit of the flaky share", 0.05, 1.0, 0.5),
    Coefficient("usual_ratio", "", "reduction ratio `best` belongs to", 1.0, 30.0, 3.0),
    Coefficient("ratio_exponent", "", "flaky share rises as ratio to this", 0.0, 2.0, 0.3),
    Coefficient("speed_ratio", "", "speed over the speed `best` belongs to", 0.2, 5.0, 1.0),
    _SPEED_EXPONENT,
    Coefficient("starved_rise", "", "flaky share added in a starved chamber", 0.0, 0.5, 0.0),
)

_EVEN = _flakiness(
    "even",
    "shape:even_share",
    "flaky share of freshly broken rock, the same in every size: rock broken by rock",
    "common practice, no source",
    Coefficient("share", "", "flaky share at the usual speed", 0.0, 0.6),
    _USUAL_SPEED,
    _SPEED_EXPONENT,
)


def _flat_elongated(flaky: Model, meaning: str) -> Model:
    """A model of flaky rock, for flat and elongated rock."""
    return replace(
        flaky,
        role="flat_elongated",
        meaning=meaning,
        source="common practice, no source",
        coefficients=tuple(
            replace(c, meaning=c.meaning.replace("flaky", "flat and elongated"))
            for c in flaky.coefficients
        ),
    )


MODELS = (
    _NEAR_SETTING,
    _EVEN,
    _flat_elongated(
        _NEAR_SETTING,
        "flat and elongated share of freshly broken rock, by the rule of the flaky share",
    ),
    _flat_elongated(
        _EVEN, "flat and elongated share of freshly broken rock, the same in every size"
    ),
)
