"""Whole studies against plants worked by hand: a splitter's rates are products of two numbers."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import scipy.stats
from tests.check.reading import small_plant
from tests.studies.uncertainty.plants import output, splitter_plant, studied_text

from hoggin.errors import HogginError
from hoggin.studies.uncertainty.uncertainty import UncertaintyQuestion

BOTH = splitter_plant("normal(200 t/h, 10 t/h)", "uniform(20 % to 40 %)")

# By hand, of a = R s with R of mean 200 and variance 100, s of mean 0.3 and variance 0.2^2/12:
MEAN = 200 * 0.3
S_VARIANCE = 0.2**2 / 12
VARIANCE = (200**2 + 100) * (0.3**2 + S_VARIANCE) - MEAN**2
FIRST = {"rock.rate": 100 * 0.3**2 / VARIANCE, "s.cut": 200**2 * S_VARIANCE / VARIANCE}
TOTAL = {
    "rock.rate": 100 * (0.3**2 + S_VARIANCE) / VARIANCE,
    "s.cut": (200**2 + 100) * S_VARIANCE / VARIANCE,
}


@pytest.mark.parametrize("method", ["random", "latin"])
def test_mean_and_deviation_are_those_of_the_linear_circuit(tmp_path: Path, method: str) -> None:
    question = UncertaintyQuestion(samples=4000, method=method, ranked=False)  # type: ignore[arg-type]
    found, _ = studied_text(tmp_path, BOTH, question)
    a = output(found, "a.rate")
    assert a.mean is not None and a.deviation is not None
    error = math.sqrt(VARIANCE / 4000)  # of the mean; a Latin hypercube's is smaller
    assert a.mean == pytest.approx(MEAN, abs=4 * error)
    assert a.deviation == pytest.approx(math.sqrt(VARIANCE), rel=4 / math.sqrt(2 * 4000))
    assert a.at_start == pytest.approx(MEAN)


@pytest.mark.slow
def test_a_latin_hypercube_errs_less_in_the_mean_than_random_samples(tmp_path: Path) -> None:
    """McKay, Beckman & Conover (1979): for what is nearly a sum of its numbers, by far."""
    errors = {}
    for method in ("random", "latin"):
        means = []
        for seed in range(12):
            question = UncertaintyQuestion(200, method, seed, ranked=False)
            found, _ = studied_text(tmp_path, BOTH, question)
            means.append(output(found, "a.rate").mean or 0.0)
        errors[method] = float(np.std(np.array(means) - MEAN))
    assert errors["latin"] < 0.3 * errors["random"]


@pytest.mark.slow
def test_causes_are_those_of_a_product_of_two_numbers(tmp_path: Path) -> None:
    found, _ = studied_text(tmp_path, BOTH, UncertaintyQuestion(samples=3000))
    causes = {cause.number: cause for cause in output(found, "a.rate").causes}
    assert list(causes) == ["s.cut", "rock.rate"], "the one that causes more comes first"
    for name, cause in causes.items():
        assert cause.first == pytest.approx(FIRST[name], abs=1.5 * cause.first_error)
        assert cause.total == pytest.approx(TOTAL[name], abs=1.5 * cause.total_error)
        assert cause.total_error < 0.1


def test_the_chance_of_a_requirement_is_that_of_the_normal_distribution(tmp_path: Path) -> None:
    """a.rate = 0.3 R is normal of mean 60 and deviation 3."""
    text = splitter_plant(
        "normal(200 t/h, 10 t/h)",
        requires="  require a.rate >= 62 t/h\n  require b.rate <= 150 t/h",
    )
    found, samples = studied_text(tmp_path, text, UncertaintyQuestion(2000, "random", ranked=False))
    normal = scipy.stats.norm
    expected = [normal.sf(62, 60, 3), normal.cdf(150, 140, 7)]
    for chance, value in zip(found.chances, expected, strict=True):
        assert chance.samples == 2000
        assert chance.low < value < chance.high
        assert chance.high - chance.low < 0.05
    # a >= 62 is R >= 206.67, b <= 150 is R <= 214.29: both hold between.
    both = normal.cdf(150 / 0.7, 200, 10) - normal.cdf(62 / 0.3, 200, 10)
    assert found.all_together is not None
    assert found.all_together.low < both < found.all_together.high
    counted = (samples.verdicts == "met").sum(axis=0).tolist()
    assert counted == [chance.met for chance in found.chances]


def test_percentiles_of_a_rate_that_is_normal(tmp_path: Path) -> None:
    text = splitter_plant("normal(200 t/h, 5 %)")
    found, _ = studied_text(tmp_path, text, UncertaintyQuestion(2000, ranked=False))
    a = output(found, "a.rate")
    expected = scipy.stats.norm(60, 3).ppf([0.1, 0.5, 0.9])
    # One number in a Latin hypercube: its percentiles are exact but for a slice's width.
    assert (a.p10, a.p50, a.p90) == pytest.approx(expected, abs=0.02)


def test_a_rate_below_nothing_is_cut_off_and_told(tmp_path: Path) -> None:
    text = splitter_plant("normal(200 t/h, 100 t/h)")
    found, samples = studied_text(tmp_path, text, UncertaintyQuestion(500, ranked=False))
    (number,) = found.numbers
    assert number.low == 0.0 and number.high == 100_000.0
    assert number.left_out == pytest.approx(scipy.stats.norm.cdf(-2), rel=1e-9)
    assert samples.numbers.min() > 0
    theirs = scipy.stats.truncnorm(-2, np.inf, 200, 100)
    assert output(found, "a.rate").mean == pytest.approx(0.3 * theirs.mean(), rel=2e-3)


def test_a_sum_that_can_not_stand_is_left_out_and_counted(tmp_path: Path) -> None:
    """The share 85 % + x, x uniform from 0 to 20 %, is above the whole in a quarter of samples."""
    text = splitter_plant(share="85 % + x", above="let x = uniform(0 % to 20 %)")
    found, _ = studied_text(tmp_path, text, UncertaintyQuestion(400, ranked=False))
    assert found.left_out == 100
    assert output(found, "a.rate").count == 300
    assert output(found, "a.rate").p90 == pytest.approx(200 * (0.85 + 0.9 * 0.15), rel=1e-3)
    assert found.reasons[0].samples == 100
    assert "physical limit" in found.reasons[0].text


def test_free_numbers_stay_at_their_starts(tmp_path: Path) -> None:
    text = splitter_plant("normal(200 t/h, 10 t/h)", "free(20 % to 40 %, 25 %)")
    found, _ = studied_text(tmp_path, text, UncertaintyQuestion(200, ranked=False))
    assert [number.name for number in found.numbers] == ["rock.rate"]
    assert output(found, "a.rate").mean == pytest.approx(50, abs=0.05)


def test_a_plant_without_uncertain_numbers_says_how_to_write_one(tmp_path: Path) -> None:
    with pytest.raises(HogginError, match="the plant has no uncertain number"):
        studied_text(tmp_path, splitter_plant(), UncertaintyQuestion(50))


@pytest.mark.slow
def test_samples_without_a_balance_meet_nothing(tmp_path: Path) -> None:
    """A cone whose product is never finer than the screen's opening sends all of it round."""
    text = small_plant(
        "  crusher cone: cones.high_speed(head: 1300 mm)"
        " { duty secondary; chamber coarse; css uniform(12 mm to 50 mm) }\n"
        "  screen top: screens.inclined(width: 2.1 m, length: 6 m) { deck top 12 mm }\n"
        "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n"
        "  require rock.rate >= 1 t/h\n"
    )
    text = text.replace("uniform(12 mm to 50 mm)", "triangle(12 mm to 50 mm, 13 mm)")
    found, samples = studied_text(tmp_path, text, UncertaintyQuestion(60, ranked=False))
    assert 0 < found.unsettled < 60
    assert output(found, "fine.rate").count == 60 - found.unsettled == samples.settled.sum()
    assert found.chances[0].met == 60 - found.unsettled
    assert found.chances[0].samples == 60
    assert "can't settle" in found.reasons[0].text or "cone" in found.reasons[0].text


def test_wear_of_a_setting_moisture_and_a_screens_efficiency_can_be_uncertain(
    tmp_path: Path,
) -> None:
    text = small_plant(
        "  crusher cone: cones.high_speed(head: 1300 mm)"
        " { duty secondary; chamber coarse; css 20 mm + wear }\n"
        "  screen top: ours(width: 2.1 m, length: 6 m) { deck top 25 mm }\n"
        "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n"
        "  require fine.moisture <= 5 %\n  require top.top.cut_size >= 22 mm\n"
        "  require cone.p80 <= 40 mm\n",
        "let wear = uniform(0 mm to 6 mm)\n"
        "class screen ours(width: 1 m to 4 m, length: 2 m to 9 m) {\n"
        '  about "ours"\n  area width * length\n  width width\n  length length\n'
        "  inclination 20 deg\n"
        "  model partition: fixed { ratio uniform(85 % to 95 %); sharpness 5 }\n}\n",
    ).replace("work_index 15 kWh/t", "work_index 15 kWh/t; moisture uniform(2 % to 6 %)")
    found, samples = studied_text(tmp_path, text, UncertaintyQuestion(60))
    # The water of the feed leaves with the one product; `fixed` cuts at its ratio of the aperture.
    moisture, cut = output(found, "fine.moisture"), output(found, "top.top.cut_size")
    assert (moisture.p10, moisture.p90) == pytest.approx((2.4, 5.6), abs=0.1)
    assert (cut.p10, cut.p90) == pytest.approx((25 * 0.86, 25 * 0.94), abs=0.05)
    place = [number.name for number in found.numbers]
    column = [one.name for one in found.outputs].index("fine.moisture")
    drawn = samples.numbers[:, place.index("granite.moisture")]
    assert samples.outputs[:, column] == pytest.approx(drawn, rel=1e-6)
    # Liners that wear open the setting, and the product is coarser the wider it is. The screen's
    # ratio, by what it returns, moves the product much less than 6 mm of wear do.
    column = [one.name for one in found.outputs].index("cone.p80")
    worn = scipy.stats.spearmanr(
        samples.numbers[:, place.index("wear")], samples.outputs[:, column]
    )
    assert worn.statistic > 0.99
    assert output(found, "cone.p80").causes[0].number == "wear"
    assert moisture.causes[0].number == "granite.moisture"
    assert moisture.causes[0].total == pytest.approx(1.0, abs=2 * moisture.causes[0].total_error)


def test_the_same_seed_gives_the_same_study_and_another_a_different_one(tmp_path: Path) -> None:
    studies = [
        studied_text(tmp_path, BOTH, UncertaintyQuestion(100, seed=seed))[0] for seed in (1, 1, 2)
    ]
    assert studies[0] == studies[1]
    assert studies[0].outputs != studies[2].outputs
