"""Uncertainty: spread, chances and their causes."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from scipy.stats import norm, qmc

from hoggin.studies.uncertainty.document import Uncertainty
from hoggin.studies.uncertainty.statistics import indices, mixed, wilson
from hoggin.studies.uncertainty.uncertainty import UncertaintyQuestion
from tests.outside_numbers import OutsideNumber
from tests.studies.uncertainty.plants import output, splitter_plant, studied_text


@cache
def ishigami() -> tuple[list[float], list[float]]:
    """First and total indices by 2^14 points of scipy's Sobol sequence."""
    shares = qmc.Sobol(6, rng=np.random.default_rng(0)).random(2**14)

    def value(at: np.ndarray) -> np.ndarray:
        x = (2 * at - 1) * math.pi
        found: np.ndarray = np.sin(x[:, 0]) * (1 + 0.1 * x[:, 2] ** 4) + 7 * np.sin(x[:, 1]) ** 2
        return found

    a, b = shares[:, :3], shares[:, 3:]
    of_mixed = np.array([value(one) for one in mixed(a, b)])
    found = indices(value(a), value(b), of_mixed, np.random.default_rng(0))
    assert found is not None
    return found.first.tolist(), found.total.tolist()


@cache
def product() -> Uncertainty:
    """200 t/h, 10 t/h either way, of which a uniform 20 % to 40 % goes to `a`."""
    text = splitter_plant("normal(200 t/h, 10 t/h)", "uniform(20 % to 40 %)")
    with TemporaryDirectory() as folder:
        question = UncertaintyQuestion(samples=4000, ranked=False)
        return studied_text(Path(folder), text, question)[0]


@cache
def normal() -> Uncertainty:
    text = splitter_plant("normal(200 t/h, 10 t/h)", requires="  require a.rate >= 62 t/h")
    with TemporaryDirectory() as folder:
        question = UncertaintyQuestion(samples=4000, ranked=False)
        return studied_text(Path(folder), text, question)[0]


def _index(kind: str, x: int, value: float) -> OutsideNumber:
    return OutsideNumber(
        f"{kind.capitalize()} Sobol index of x{x} in the Ishigami function",
        "Ishigami & Homma (1990), a = 7, b = 0.1, as often quoted",
        "memory",
        value,
        "",
        0.005,
        lambda: ishigami()[kind == "total"][x - 1],
    )


NUMBERS = (
    *(_index("first", x, value) for x, value in enumerate((0.3139, 0.4424, 0.0), start=1)),
    *(_index("total", x, value) for x, value in enumerate((0.5576, 0.4424, 0.2437), start=1)),
    OutsideNumber(
        "Mean of a product's rate, of an uncertain feed (200 t/h) times an uncertain share (30 %)",
        "E[R s] = E[R] E[s] of independent numbers",
        "by hand",
        60.0,
        "t/h",
        0.1,
        lambda: output(product(), "a.rate").mean or math.nan,
    ),
    OutsideNumber(
        "Standard deviation of that rate, deviation 10 t/h and a share uniform from 20 % to 40 %",
        "Var[R s] = E[R^2] E[s^2] - E[R]^2 E[s]^2",
        "by hand",
        math.sqrt((200**2 + 100) * (0.3**2 + 0.2**2 / 12) - 60**2),
        "t/h",
        0.2,
        lambda: output(product(), "a.rate").deviation or math.nan,
    ),
    OutsideNumber(
        "Chance of 62 t/h or more of a rate that is normal, mean 60 t/h, deviation 3 t/h",
        "scipy.stats.norm, above two thirds of a deviation",
        "library",
        float(norm.sf(2 / 3)),
        "",
        0.001,
        lambda: normal().chances[0].chance,
    ),
    OutsideNumber(
        "Upper end of Wilson's interval (95 %) for 0 of 10",
        "Wilson (1927): z^2 / (n + z^2) with z = 1.96",
        "by hand",
        1.96**2 / (10 + 1.96**2),
        "",
        1e-5,
        lambda: wilson(0, 10)[1],
    ),
)
