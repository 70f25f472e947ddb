"""What the feed does to K1 and K2 is fitted where the data hold several feeds, and only there.

The truth is what the synthetic data were made with: invented settings, feeds and coefficients. The
regression is worked out here, k + slope (F80 - usual), with F80 by numpy.interp.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.errors import HogginError
from hoggin.fit.base import BaseClass, apply_base, find_class
from hoggin.fit.calibrate import Calibration, calibrate
from hoggin.fit.measured import Sample
from hoggin.fit.parameters import free_parameters
from hoggin.models.breakage import whiten_operator
from hoggin.models.grading import class_fractions, passing
from hoggin.models.t10 import t10_operator
from tests.fit.synthetic import HEADING, HELD, SIZES, USUAL, samples_of
from tests.fit.test_calibrate import base_of, values

GRID = np.array([*sorted({*np.geomspace(160.0, 0.063, 90)[1:], *SIZES}, reverse=True), 0.0])
TRUTH = {"k1": 0.70, "k2": 2.2, "k1_feed": 0.03, "k2_feed": 0.20}
TOPS = (160.0, 125.0, 80.0)


def feed_passing(top: float) -> np.ndarray:
    finer = np.minimum(np.array(SIZES) / top, 1.0) ** 0.9
    return np.round(finer, 4)


def table(tops: tuple[float, ...] = TOPS, settings: tuple[float, ...] = (20.0, 28.0)) -> str:
    lines = [HEADING]
    for top in tops:
        fed = feed_passing(top)
        f80 = float(np.exp(np.interp(0.8, fed[::-1], np.log(SIZES[::-1]))))
        for css in settings:
            beyond = f80 - USUAL * css
            operator = whiten_operator(
                GRID,
                k1=TRUTH["k1"] * css + TRUTH["k1_feed"] * beyond,
                k2=TRUTH["k2"] * css + TRUTH["k2_feed"] * beyond,
                fines_share=0.28,  # as the class has it
                usual_f80=USUAL * css,
                **HELD,
            )
            curve = passing(GRID, operator @ class_fractions(GRID, SIZES, fed))[0]
            made = [curve[np.flatnonzero(size == GRID)[0]] for size in SIZES]
            name = f"top {top:g} css {css:g}"
            for size, feed, product in zip(SIZES, fed, made, strict=True):
                if size > top:
                    continue
                lines.append(f"{name},{css:g},{size:g},{100 * feed:.2f},{100 * product:.6f}")
    return "\n".join(lines) + "\n"


def fitted(text: str, *free: str) -> Calibration:
    samples = samples_of(text)
    base = base_of(samples)
    return calibrate(base, samples, free_parameters(base, free))


@pytest.mark.slow
def test_the_truth_is_found_where_feeds_differ() -> None:
    found = fitted(table(), *TRUTH)
    assert values(found) == pytest.approx(TRUTH, rel=0.03)
    assert {e.verdict for e in found.estimates} == {"determined"}
    assert found.deviation < 2e-3 < found.before


@pytest.mark.slow
def test_holding_the_feeds_effect_leaves_more_unexplained() -> None:
    held = fitted(table(), "k1", "k2")
    assert held.deviation > 2.0 * fitted(table(), *TRUTH).deviation


@pytest.mark.parametrize("name", ["k1_feed", "k2_feed"])
def test_one_feed_is_refused_with_what_to_do(name: str) -> None:
    with pytest.raises(
        HogginError, match=f"`{name}` can't be separated .* different feeds, or fix it"
    ):
        fitted(table(tops=(160.0,)), "k1", "k2", name)


def test_a_class_without_a_usual_feed_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "own.hog"
    file.write_text(
        "class crusher own() { setting css: 5 mm to 50 mm\n"
        "model breakage: matrix { k1 0.7 * css; k2 2.2 * css }\n"
        "model capacity: rated { rated 200 t/h }\nmodel power: bond }\n"
    )
    samples = samples_of(table())
    with pytest.raises(HogginError, match="state `usual_f80`"):
        free_parameters(base_of(samples, f"{file}:own"), ["k2_feed"])


@pytest.mark.slow
def test_the_library_written_follows_the_feed(tmp_path: Path) -> None:
    data, library = tmp_path / "cuts.csv", tmp_path / "ours.hog"
    data.write_text(table())
    code = main(
        [
            *("fit", str(data), "--class", "std.cones.high_speed"),
            *("--into", str(library), "--free", ",".join(TRUTH)),
        ]
    )
    assert code == 0
    plant = tmp_path / "plant.hog"
    plant.write_text(
        'use "ours.hog" as ours\n'
        "material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }\n"
        'plant "a scenario of our own" { sieves { 63 mm, 20 mm, 5 mm }\n'
        "feed f { rock rock; rate 90 t/h; passing { 120 mm: 100 %, 60 mm: 50 %, 5 mm: 4 % } }\n"
        "crusher c: ours.high_speed_fitted(head: 1300 mm) "
        "{ duty tertiary; chamber medium; css 20 mm }\n"
        "f -> c -> product p }\n"
    )
    checked = check_file(plant)
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    known = checked.plant.machines[0].models["breakage"].coefficients
    assert known["k1_feed"] == pytest.approx(TRUTH["k1_feed"], rel=0.05)
    assert known["k2_feed"] == pytest.approx(TRUTH["k2_feed"], rel=0.05)
    assert known["usual_f80"] == pytest.approx(USUAL * 20.0)


@pytest.mark.slow
def test_t10_is_fitted_to_the_feed_as_well() -> None:
    """Truth: t10 falls by 1 % of all mass for a feed of twice the usual F80."""
    lines = [HEADING]
    css, limit, scale, energy = 24.0, 0.5, 1.25, 0.12
    samples = samples_of(table(settings=(css,)))
    base = t10_base(samples)
    held = {name: column[0] for name, column in base.coefficients.items()}
    for top in TOPS:
        fed = feed_passing(top)
        f80 = float(np.exp(np.interp(0.8, fed[::-1], np.log(SIZES[::-1]))))
        usual = USUAL * css
        t10 = limit * (1.0 - np.exp(-energy / scale)) - 0.01 * (f80 / usual - 1.0)
        # The energy that gives this t10, so that the model is called without a feed.
        alike = -scale * np.log(1.0 - t10 / limit)
        operator = t10_operator(
            GRID,
            k1=held["k1"],
            k2=held["k2"],
            t10_limit=limit,
            energy_scale=scale,
            specific_energy=alike,
            **{name: held[name] for name in ("k3", "size_exponent", "usual_f80")},
        )
        curve = passing(GRID, operator @ class_fractions(GRID, SIZES, fed))[0]
        made = [curve[np.flatnonzero(size == GRID)[0]] for size in SIZES]
        for size, feed, product in zip(SIZES, fed, made, strict=True):
            if size <= top:
                lines.append(f"top {top:g},{css:g},{size:g},{100 * feed:.2f},{100 * product:.6f}")
    samples = samples_of("\n".join(lines) + "\n")
    base = t10_base(samples)
    found = calibrate(base, samples, free_parameters(base, ["specific_energy", "t10_feed"]))
    fitted_to = values(found)
    by_energy = held["t10_limit"] * (
        1.0 - np.exp(-fitted_to["specific_energy"] / held["energy_scale"])
    )
    assert by_energy == pytest.approx(limit * (1.0 - np.exp(-energy / scale)), rel=0.02)
    assert fitted_to["t10_feed"] == pytest.approx(-0.01, rel=0.1)


def t10_base(samples: tuple[Sample, ...]) -> BaseClass:
    diagnostics = Diagnostics()
    name = "std.cones.high_speed"
    base = apply_base(name, find_class(name), "matrix_t10", samples, {}, diagnostics)
    assert not diagnostics.has_errors
    return base
