"""In a study too, what is downstream of an overloaded machine is not judged: every case is told as
`hoggin balance` tells it alone."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from tests.check.reading import small_plant
from tests.studies.uncertainty.plants import studied_text

from hoggin.balance import balance
from hoggin.check.checker import check, check_file
from hoggin.rating.rate import rate
from hoggin.report import sweep as sweep_report
from hoggin.report import uncertainty as uncertainty_report
from hoggin.schema.results import Results
from hoggin.studies.paired.document import Paired
from hoggin.studies.paired.paired import PairedQuestion
from hoggin.studies.paired.paired import prepared as prepared_rows
from hoggin.studies.paired.paired import studied as studied_rows
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Here
from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept
from hoggin.studies.uncertainty.uncertainty import UncertaintyQuestion
from hoggin.world import World

RATES = (40.0, 100.0, 400.0)  # t/h; the last is more than the cone takes
ASKED = (
    "  require cone.load <= 100 %\n  require fine.rate >= 50 t/h\n  require rock.rate >= 50 t/h\n"
)
LINES = (
    "  crusher cone: cones.high_speed(head: 900 mm) { duty tertiary; chamber medium; css 18 mm }\n"
    "  rock -> cone -> product fine\n"
)


def plant(rate: str = "100 t/h", asked: str = ASKED) -> str:
    text = small_plant(LINES + asked)
    stated, coarse = "rate 200 t/h", "passing { 200 mm:"  # more than enters the cone
    assert stated in text and coarse in text
    return text.replace(stated, f"rate {rate}").replace(coarse, "passing { 80 mm:")


def written(folder: Path, text: str) -> Path:
    file = folder / "plant.hog"
    file.write_text(text)
    return file


def alone(folder: Path, rate_t_h: float, asked: str = ASKED) -> Results:
    found = check_file(written(folder, plant(f"{rate_t_h:g} t/h", asked)))
    assert found.plant is not None
    return rate(found.plant, balance(found.plant), "plant.hog")


def swept_rates(folder: Path, asked: str = ASKED) -> Sweep:
    world = World(written(folder, plant(asked=asked)))
    over = f"rock.rate {', '.join(f'{one:g} t/h' for one in RATES)}"
    question = SweepQuestion(world, check(world, world.open_main()), (over,))
    ready = prepared(question)
    return swept(question, ready, Here(1), Progress(ready.cases, sys.stderr, terminal=False))


def rows_of_rates(folder: Path) -> Paired:
    world = World(written(folder, plant()))
    question = PairedQuestion(world, check(world, world.open_main()))
    study = prepared_rows(question, {"rock.rate": list(RATES)})
    return studied_rows(question, study, Here(1), Progress(study.rows, sys.stderr, terminal=False))


@pytest.mark.slow
@pytest.mark.parametrize("study", [swept_rates, rows_of_rates])
def test_every_case_has_the_verdicts_of_its_own_balance(tmp_path: Path, study: object) -> None:
    assert callable(study)
    found = study(tmp_path)
    singles = [alone(tmp_path, one) for one in RATES]
    for place, single in enumerate(singles):
        judged = [one.verdict for one in single.requirements]
        assert [one.verdicts[place] for one in found.requirements] == judged
        assert found.overloaded[place] == single.overloaded
        assert found.all_met[place] == single.met
    verdicts = {one.verdicts for one in found.requirements}
    assert ("not met", "met", "not judged") in verdicts  # what the cone makes
    assert ("met", "met", "not met") in verdicts  # its own load is the proof
    assert ("not met", "met", "met") in verdicts  # what is stated


def test_a_sweep_says_which_requirement_is_not_judged_and_what_is_overloaded(
    tmp_path: Path,
) -> None:
    found = swept_rates(tmp_path)
    said = [sweep_report.met_words(found, step) for step in range(len(RATES))]
    number = {one.text.partition(" ")[0]: n for n, one in enumerate(found.requirements, start=1)}
    made, load, fed = (number[one] for one in ("fine.rate", "cone.load", "rock.rate"))
    first, second = sorted((made, fed))
    assert said == [
        f"NOT MET: {first}, {second}",
        "all met",
        f"NOT MET: {load}; NOT JUDGED: {made}; OVERLOADED: cone",
    ]


def test_a_sweep_without_requirements_is_not_clear_where_a_machine_is_overloaded(
    tmp_path: Path,
) -> None:
    found = swept_rates(tmp_path, asked="")
    assert found.all_met == (True, True, False)
    assert "At 1 of 3 steps a machine is OVERLOADED (cone)" in sweep_report.feasible_words(found)


@pytest.mark.slow
def test_no_stretch_in_which_a_machine_is_overloaded_is_feasible(tmp_path: Path) -> None:
    """A requirement that the overload does not reach is met, but the plant can't run."""
    asked = "  require rock.rate >= 50 t/h\n"
    world = World(written(tmp_path, plant(asked=asked)))
    over = "rock.rate 100 t/h to 400 t/h in 4"
    question = SweepQuestion(world, check(world, world.open_main()), (over,))
    ready = prepared(question)
    found = swept(question, ready, Here(1), Progress(ready.cases, sys.stderr, terminal=False))
    assert found.requirements[0].feasible == ((100.0, 400.0),)
    fits = [v for v in found.settings[0].values if not alone(tmp_path, v, asked).overloaded]
    assert fits and found.feasible == ((fits[0], fits[-1]),)


def test_samples_that_overload_a_machine_are_counted_as_not_judged(tmp_path: Path) -> None:
    """By hand: of rates spread evenly, the share above the cone's capacity."""
    single = alone(tmp_path, 100.0).machines[0]
    assert single.capacity_t_h is not None
    share = (400 - single.capacity_t_h) / 300
    text = plant("uniform(100 t/h to 400 t/h)")
    found, samples = studied_text(tmp_path, text, UncertaintyQuestion(200, "latin", ranked=False))
    made = next(one for one in found.chances if one.text.startswith("fine.rate"))
    assert made.not_judged == pytest.approx(200 * share, abs=2)
    assert made.met == 200 - made.not_judged
    assert [(one.tag, one.samples) for one in found.overloaded] == [("cone", made.not_judged)]
    assert found.all_together is not None
    assert found.all_together.met == made.met
    table = uncertainty_report.samples(found, samples)
    assert sum("not judged" in row for row in table.rows) == made.not_judged
