"""Circuits in balance."""

from collections.abc import Callable

from hoggin.balance import lower, solve
from tests.balance.builder import feed, matrix_crusher, plant, splitter
from tests.balance.test_analytic import closed, find
from tests.outside_numbers import OutsideNumber

SERIES = "sum of a geometric series"


def closed_circuit(share: float) -> Callable[[], float]:
    """Crusher feed over new feed where each pass takes out a share of the crusher's product."""
    return lambda: float(
        solve(lower(closed(share), find=find)).machine_feeds_t_h[0, 0].sum() / 100.0
    )


def returned(share: float) -> Callable[[], float]:
    """Crusher feed over new feed where a fixed share of the product goes back."""

    def ratio() -> float:
        circuit = plant(
            [feed("rock", 100.0)],
            [matrix_crusher("cone", 10.0, 30.0), splitter("divide", share, 1.0 - share)],
            ["rock -> cone -> divide", "divide.s1 -> cone", "divide.s2 -> pile"],
        )
        return float(solve(lower(circuit)).machine_feeds_t_h[0, 0].sum() / 100.0)

    return ratio


NUMBERS = (
    *(
        OutsideNumber(
            f"crusher feed over new feed, {100 * share:g} % taken out each pass",
            SERIES + ", 1 / a",
            "by hand",
            *(1.0 / share, "", 1e-10 / share),
            closed_circuit(share),
        )
        for share in (0.9, 0.5, 0.25, 0.01)
    ),
    *(
        OutsideNumber(
            f"crusher feed over new feed, {100 * share:g} % of its product sent back",
            SERIES + ", 1 / (1 - r)",
            "by hand",
            *(1.0 / (1.0 - share), "", 1e-10),
            returned(share),
        )
        for share in (0.2, 0.75)
    ),
)
