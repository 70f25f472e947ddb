"""Cases of a plant whose tonnages, draws and gates are varied, each against itself alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.studies.runner.one_case import one_case

from hoggin.balance import balance, lower, solve
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.rating.rate import rate
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.schema.plant import Reading
from hoggin.studies.runner.cases import cases
from hoggin.studies.runner.solving import solve_cases
from hoggin.studies.simulate.operate import Question, operated
from hoggin.world import World

ORDERED = Path(__file__).parents[3] / "examples" / "cookbook" / "made_to_order.hog"
_READ = (
    *(("order_book", name) for name in ("asked", "delivered", "shortfall", "recirculating_load")),
    *(("cone_bin", name) for name in ("delivered", "shortfall", "surge_time", "rate")),
    *((tag, "rate") for tag in ("stone", "fines", "raw", "cone")),
    *(("stone", name) for name in ("p80", "share")),
    *(("sizing.bottom", name) for name in ("cut_size", "bed_depth")),
)


def checked(*edits: tuple[str, str]) -> Checked:
    text = ORDERED.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new)
    found = check(World(ORDERED), Source("made_to_order.hog", text))
    assert found.plant is not None, [d.message for d in found.diagnostics]
    return found


@pytest.mark.slow
def test_every_reading_of_every_case_is_that_of_the_case_alone() -> None:
    found = checked(
        ("sold 45 t/h", "sold free(0 t/h to 120 t/h)"),
        ("draw 110 t/h", "draw free(20 t/h to 200 t/h)"),
        ("160 t/h", "normal(160 t/h, 10 t/h)"),
    )
    assert found.plant is not None
    random = np.random.default_rng(20261128)
    values = {
        "order_book.sold": random.uniform(0.0, 120.0, 16) / 3.6,
        "cone_bin.draw": random.uniform(20.0, 200.0, 16) / 3.6,
        "scalped_rock.rate": random.normal(160.0, 10.0, 16) / 3.6,
    }
    made = cases(found.plant, found.freedom, values)
    solved = solve_cases(made)
    assert solved.settled.all()
    readings = [Reading(subject=tag, quantity=quantity) for tag, quantity in _READ]
    together = [solved.read(reading) for reading in readings]
    short = together[2] > 1e-6
    assert short.any() and not short.all()
    for case in range(16):
        plant = one_case(made, case)
        own = Readings(Rated(plant, solve(lower(plant, made.circuit.edges_mm))))
        alone = [own.value(reading)[0] for reading in readings]
        assert [v[case] for v in together] == pytest.approx(alone, rel=1e-6, abs=1e-7)


def test_a_plant_with_tonnages_is_not_run_through_hours() -> None:
    found = checked(
        (
            'revision "A"',
            'revision "A"\n  operation { shifts { day: 6 h to 14 h }; days_per_week 5 }',
        )
    )
    assert found.plant is not None
    results = rate(found.plant, balance(found.plant), "made_to_order.hog")
    with pytest.raises(HogginError, match="sends out tonnages"):
        operated(found.plant, results, Question("1 week"))


@pytest.mark.slow
def test_the_shares_that_are_offered_give_the_same_balance() -> None:
    """The message of the refusal names them; the bin's draw goes first, as it is reported first."""
    week = (
        'revision "A"',
        'revision "A"\n  operation { shifts { day: 6 h to 14 h }; days_per_week 5 }',
    )
    drawless = (
        ("live 60 t; draw 110 t/h", "live 60 t"),
        ("cone_bin.draw", "cone_bin"),
        ("  cone_bin.overflow  -> raw\n", ""),
    )
    before = checked(week, *drawless).plant
    assert before is not None
    results = rate(before, balance(before), "made_to_order.hog")
    with pytest.raises(HogginError, match="Write the shares") as refused:
        operated(before, results, Question("1 week"))
    shares = str(refused.value).split("`")[-2]
    after = checked(week, *drawless, ("out sold 45 t/h; out surplus rest", shares)).plant
    assert after is not None
    same = rate(after, balance(after), "made_to_order.hog")
    assert [p.rate_t_h for p in same.products] == pytest.approx(
        [p.rate_t_h for p in results.products], rel=1e-3
    )
