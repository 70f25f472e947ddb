"""Models at the two points of a class, and the classes that they ask for.

Reference: the same models as means over classes so fine that their width no longer counts; scipy's
brentq. `tests/balance/fine_reference` has the equations written out by themselves.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy import optimize

from hoggin.models.arrays import Array
from hoggin.models.breakage import (
    chamber_fineness,
    setting_curve_operator,
    whiten_fineness,
    whiten_operator,
)
from hoggin.models.chamber import size_scale, unbroken_size
from hoggin.models.entries import MODELS
from hoggin.models.impact import impact_operator
from hoggin.models.model import Model
from hoggin.models.points import at_points, halves, in_halves, points
from hoggin.models.pressing import pressed_fineness, pressed_operator
from hoggin.models.t10 import t10_energy, t10_operator

_MATRIX = {"k1": 18.0, "k2": 50.0}
_T10 = {**_MATRIX, "t10_limit": 0.5, "energy_scale": 1.25, "specific_energy": 0.18}
_PIECES = {"size_exponent": 0.3, "usual_f80": 80.0}
_ROTOR = {"tip_speed": 35.0, "d_min": 10.0, "d50": 20.0}
_ROLLS = {"diameter": 1500.0, "gap": 40.0, "flake_share": 0.85}
_OPERATORS: dict[str, tuple[Any, dict[str, float]]] = {
    "matrix": (whiten_operator, _MATRIX),
    "matrix by pieces": (whiten_operator, {**_MATRIX, **_PIECES}),
    "matrix on hard rock": (
        whiten_operator,
        {**_MATRIX, "rock_exponent": 0.2, "work_index_kwh_t": 22.0},
    ),
    "t10": (t10_operator, _T10),
    "t10 by pieces": (t10_operator, {**_T10, **_PIECES, "energy_response": 0.7}),
    "setting curve": (setting_curve_operator, {"css": 25.0, "passing_css": 0.6}),
    "impact": (impact_operator, _ROTOR),
    "impact with a cascade": (impact_operator, {**_ROTOR, "cascade": 0.3, "cascade_energy": 0.16}),
    "pressed bed": (pressed_operator, {**_ROLLS, "width": 900.0, "specific_force": 3.0}),
}


def classes(width: float) -> Array:
    """Limits from 200 mm to 0.063 mm of one width in log size; sizes at which the models bend are
    among them."""
    known = {200.0, 80.0, 50.0, 25.0, 18.0, 15.0, 10.0, 0.063}  # 25 is also 10 / 0.16^0.5
    bends = sorted(known | {*pressed_fineness(**_ROLLS).kinks_mm}, reverse=True)
    inner = [
        np.geomspace(a, b, int(np.ceil(np.log(a / b) / width)) + 1)[:-1] for a, b in pairwise(bends)
    ]
    return np.concatenate([*inner, [0.063, 0.0]])


def fed(edges: Array) -> Array:
    """A Gaudin-Schuhmann feed of slope 0.8 by class."""
    return np.asarray(-np.diff((edges / edges[0]) ** 0.8))


@pytest.mark.slow
@pytest.mark.parametrize("name", _OPERATORS)
def test_a_product_at_the_points_is_that_of_fine_classes(name: str) -> None:
    operator, arguments = _OPERATORS[name]
    limits, fine = classes(0.15), classes(0.01)
    cells = halves(limits)
    product = in_halves(
        operator(cells, points_mm=points(limits), **arguments)[0] @ at_points(fed(cells))
    )
    expected = operator(fine, **arguments)[0] @ fed(fine)
    below = np.append(np.cumsum(product[::-1])[::-1], 0.0)[::2]
    wanted = np.append(np.cumsum(expected[::-1])[::-1], 0.0)
    np.testing.assert_allclose(below, np.interp(limits, fine[::-1], wanted[::-1]), atol=2e-3)


@pytest.mark.parametrize("name", _OPERATORS)
def test_at_the_points_mass_is_kept_and_no_particle_grows(name: str) -> None:
    operator, arguments = _OPERATORS[name]
    limits = classes(0.3)
    found = operator(halves(limits), points_mm=points(limits), **arguments)[0]
    assert found.min() >= 0.0
    np.testing.assert_allclose(found.sum(axis=0), 1.0, rtol=1e-12)
    assert np.triu(found, 1).max() == 0.0


@pytest.mark.slow
@pytest.mark.parametrize("pieces", [False, True])
def test_energy_at_the_points_is_that_of_fine_classes(pieces: bool) -> None:
    arguments = {**_T10, **(_PIECES if pieces else {})}
    limits, fine = classes(0.15), classes(0.01)
    cells = halves(limits)
    found = t10_energy(cells, at_points(fed(cells)), points_mm=points(limits), **arguments)
    assert found == pytest.approx(t10_energy(fine, fed(fine), **arguments), rel=2e-3)


@pytest.mark.parametrize("k", [2.0, 18.0, 75.0, 400.0])
@pytest.mark.parametrize("exponent", [0.1, 0.3, 0.9])
def test_the_unbroken_size_is_the_root_of_its_own_scale(k: float, exponent: float) -> None:
    def beyond(d: float) -> float:
        scale = size_scale([d, 0.0], size_exponent=exponent, usual_f80=80.0, points_mm=[d])
        assert scale is not None
        return d - k * float(scale[0, 0])

    found = unbroken_size(k, size_exponent=exponent, usual_f80=80.0)
    assert found == pytest.approx(optimize.brentq(beyond, 0.01 * k, 10.0 * k), rel=1e-9)


def test_classes_are_fine_from_the_size_of_feed_that_is_not_broken() -> None:
    plain = chamber_fineness(k1=18.0, k2=50.0, size_exponent=0.0, usual_f80=0.0, width=0.1)
    assert plain.gathering_mm == (18.0,)
    by_piece = chamber_fineness(k1=18.0, k2=50.0, size_exponent=0.3, usual_f80=80.0, width=0.1)
    (size,) = by_piece.gathering_mm
    found = whiten_operator([size * 1.01, size * 0.99, 0.0], **_MATRIX, **_PIECES)
    assert size < 18.0
    assert 0.99 < found[0, 0, 0] <= 1.0
    assert by_piece.bands[0].low_mm == size


def test_hard_rock_moves_the_fine_classes() -> None:
    """By hand: (30 / 15)^0.2 = 1.1487."""
    rest = {"size_exponent": 0.0, "usual_f80": 0.0, "usual_work_index": 15.0}
    hard = whiten_fineness(k1=10.0, k2=30.0, rock_exponent=0.2, work_index_kwh_t=30.0, **rest)
    np.testing.assert_allclose(hard.kinks_mm, (11.487, 34.461), rtol=1e-4)


@pytest.mark.parametrize(
    "model",
    [m for m in MODELS if m.role in ("breakage", "partition")],
    ids=lambda model: f"{model.role}-{model.name}",
)
def test_every_model_by_size_says_how_fine_it_needs_the_classes(model: Model) -> None:
    known = {c.name: 0.5 * (c.low + c.high) for c in model.coefficients}
    known |= {c.name: c.default for c in model.coefficients if c.default is not None}
    rows = ((40.0, ((63.0, 1.0), (40.0, 0.85))),)
    found = model.needed_fineness({**known, "aperture_mm": 20.0, "open_area": 0.5, "rows": rows})
    assert found.bands
    assert all(0.0 < band.low_mm < band.high_mm and band.width > 0.0 for band in found.bands)
