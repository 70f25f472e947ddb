"""A whole circuit by an engineer's tables, as a course works it, and by the library's classes.

Source: US Army correspondence course EN5464 (edition B), "rock crushing", lesson 2, learning event
3, pp. 58-60; looked up. A jaw at 2 1/4 in, a screen of 3/4 and 3/8 in, and double rolls at 3/4 in
in closed circuit with it; feed 60 short tons an hour. The course's planning tables 8 (open circuit)
and 9 (closed circuit) are averages of the trade, not measurements. They do not say what their feed
is, nor the largest piece of a product: both are ours here, and the course's figures depend on
neither. The course's screens are perfect, as are those of this test.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares

from hoggin.api.plant import load
from hoggin.balance import lower, solve
from hoggin.balance.result import Balance
from hoggin.check.checker import check_file
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.fit.base import apply_base, find_class, parse_given
from hoggin.fit.calibrate import calibrate
from hoggin.fit.library import library_text
from hoggin.fit.measured import read_samples
from hoggin.fit.parameters import free_parameters
from hoggin.models import catalog
from hoggin.models.breakage import whiten_operator
from hoggin.models.grading import class_fractions, passing_at
from hoggin.schema.plant import Plant

from .test_analytic import StandIn, at_aperture, ideal

INCH = 25.4
SHORT_TON = 0.90718474
JAW_SIZES = (2.25, 2.0, 1.75, 1.5, 1.25, 1.0, 0.875, 0.75, 0.375)  # in
JAW_PASSING = (85, 78, 70, 63, 55, 46, 41, 35, 18)  # per cent
# Of what leaves the rolls' circuit, to No. 4.
ROLL_SIZES = (0.75, 0.5, 0.375, 0.187)
ROLL_PASSING = (100, 75, 60, 34)
TOP = 3.25  # in, of the jaw's product

PLANT = """
{uses}
use std.jaws
use std.rolls
use std.screens
material rock {{ solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }}
class crusher table_jaw: jaws.single_toggle {{
  model breakage: table {{
    css css
    feed_top 16 in
    passing {{ 2.25 in: {{ {jaw} }} }}
  }}
}}
class crusher table_rolls: rolls.smooth_double {{
  model breakage: table {{
    css gap
    feed_top 4 in
    passing {{ 0.75 in: {{ {rolls} }} }}
  }}
}}
class crusher fitted_rolls: rolls.smooth_double {{
  model breakage: matrix {{ {rolls_fit} }}
}}
plant "The course's circuit" {{
  sieves {{ 2.25 in, 2 in, 1.75 in, 1.5 in, 1.25 in, 1 in, 0.875 in, 0.75 in, 0.5 in, 0.375 in }}
  feed pit {{ rock rock; rate 60 stph; passing {{ {feed} }} }}
  crusher jaw: {jaw_class}(gape: 24 in, width: 36 in) {{ css 2.25 in }}
  crusher rolls: {rolls_class}(diameter: 1800 mm, width: 800 mm) {{ gap 0.75 in }}
  screen sizing: screens.inclined(width: 2 m, length: 5 m) {{
    deck top    0.75 in
    deck bottom 0.375 in
  }}
  pit -> jaw -> sizing
  sizing.top.over -> rolls -> sizing
  sizing.bottom.over -> product stone
  sizing.under -> product fines
}}
"""
# Shot rock of our own, with fewer fines than the jaw's product.
SHOT_ROCK = ((400.0, 1.0), (200.0, 0.55), (100.0, 0.20), (20.0, 0.05))


def listed(points: Mapping[float, float], unit: str) -> str:
    return ", ".join(f"{size} {unit}: {passing} %" for size, passing in points.items())


def course_plant(folder: Path, rolls_passing: Mapping[float, float]) -> Plant:
    return plant_of(folder, "table_jaw", "table_rolls", rolls_passing)


def plant_of(
    folder: Path,
    jaw_class: str,
    rolls_class: str,
    rolls_passing: Mapping[float, float],
    *,
    uses: str = "",
    rolls_fit: str = "",
) -> Plant:
    file = folder / "course.hog"
    jaw = {TOP: 100, **dict(zip(JAW_SIZES, JAW_PASSING, strict=True))}
    text = PLANT.format(
        jaw=listed(jaw, "in"), rolls=listed(rolls_passing, "in"), jaw_class=jaw_class,
        rolls_class=rolls_class, uses=uses, rolls_fit=rolls_fit,
        feed=listed({size: 100 * share for size, share in SHOT_ROCK}, "mm"),
    )  # fmt: skip
    file.write_text(text)
    checked = check_file(file)
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant


def find(role: str, name: str) -> catalog.Model | None:
    """The compiler's models, but perfect screens."""
    if role != "partition":
        return catalog.find(role, name)
    parts: dict[str, Callable[..., Any]] = {"cut_size": at_aperture, "oversize": ideal}
    return StandIn(role, name, "", "stand-in of the tests", {}, (), parts)


class Flows:
    """The streams of a balanced plant, in short tons an hour."""

    def __init__(self, plant: Plant) -> None:
        self.balance: Balance = solve(lower(plant, find=find))
        self._number = {stream.name: n for n, stream in enumerate(plant.streams)}

    def mass(self, name: str) -> np.ndarray:
        found: np.ndarray = self.balance.streams_t_h[0, self._number[name]] / SHORT_TON
        return found

    def rate(self, name: str) -> float:
        return float(self.mass(name).sum())

    def passing(self, name: str, sizes_in: tuple[float, ...]) -> list[float]:
        """Per cent."""
        edges, mass = self.balance.edges_mm, self.mass(name)
        return [100.0 * float(passing_at(edges, mass, INCH * size)[0]) for size in sizes_in]


CLOSED = dict(zip(ROLL_SIZES, ROLL_PASSING, strict=True))
SINGLE_PASS = {2.5: 100.0, 0.75: 60.0, 0.5: 45.0, 0.375: 36.0, 0.187: 20.4}  # 0.60 of each


@pytest.mark.parametrize("table", [CLOSED, SINGLE_PASS], ids=["of the circuit", "of one pass"])
def test_by_the_courses_own_tables_every_figure_is_the_courses(
    tmp_path: Path, table: Mapping[float, float]
) -> None:
    """The table of a closed circuit can stand for it: then all passes the screen the first time.
    As a table of one pass, each figure is the circuit's times the share that passes the aperture
    in a pass, here 0.60, whatever that is."""
    flows = Flows(course_plant(tmp_path, table))
    of_jaw = flows.mass("jaw -> sizing")
    edges = flows.balance.edges_mm
    below = [60.0 * float(passing_at(edges, of_jaw, INCH * size)[0]) for size in (0.75, 0.375)]
    assert 60.0 - below[0] == pytest.approx(39.0, abs=1e-9)  # to the rolls, fresh
    assert below[0] - below[1] == pytest.approx(10.20, abs=1e-9)  # stone of the jaw
    assert flows.rate("sizing.bottom.over -> stone") - (below[0] - below[1]) == pytest.approx(
        15.60, abs=1e-9
    )
    assert flows.rate("sizing.bottom.over -> stone") == pytest.approx(25.80, abs=1e-9)
    assert flows.rate("sizing.under -> fines") == pytest.approx(34.20, abs=1e-9)
    passes = 1.0 if table is CLOSED else 0.60
    assert flows.rate("sizing.top.over -> rolls") == pytest.approx(39.0 / passes, abs=1e-9)
    assert flows.passing("jaw -> sizing", JAW_SIZES) == pytest.approx(list(JAW_PASSING), abs=1e-9)


# --- the library's classes, fitted to the tables -----------------------------------------------


@pytest.mark.slow
def test_the_librarys_jaw_and_rolls_fitted_to_the_tables_give_them_within_three_points(
    tmp_path: Path,
) -> None:
    (tmp_path / "fit.hog").write_text(jaw_fitted())
    plant = plant_of(
        *(tmp_path, "fit.jaw_fitted", "fitted_rolls", CLOSED),
        uses='use "fit.hog" as fit',
        rolls_fit=rolls_fitted(),
    )
    flows = Flows(plant)
    found = flows.passing("jaw -> sizing", JAW_SIZES)
    assert found == pytest.approx(list(JAW_PASSING), abs=3.0)
    # What of the products is the rolls': what of the jaw's passes 3/4 in has left it at once.
    small = flows.balance.edges_mm[:-1] <= INCH * 0.75 * (1 + 1e-9)
    leaving = flows.mass("sizing.bottom.over -> stone") + flows.mass("sizing.under -> fines")
    of_rolls = leaving - np.where(small, flows.mass("jaw -> sizing"), 0.0)
    got = [
        100 * float(passing_at(flows.balance.edges_mm, of_rolls, INCH * s)[0]) for s in ROLL_SIZES
    ]
    assert got == pytest.approx(list(ROLL_PASSING), abs=3.0)
    for stream, expected in (
        ("sizing.bottom.over -> stone", 25.8),
        ("sizing.under -> fines", 34.2),
    ):
        assert flows.rate(stream) / 60.0 == pytest.approx(expected / 60.0, abs=0.03)


def jaw_fitted() -> str:
    """The library that `hoggin fit` writes from the table and our feed."""
    sizes = {INCH * size: share for size, share in zip(JAW_SIZES, JAW_PASSING, strict=True)}
    rows = ["size mm, feed % passing, product % passing"]
    rows += [f"{size}, {100 * share}, " for size, share in SHOT_ROCK]
    rows += [f"{INCH * TOP}, , 100", *(f"{size}, , {share}" for size, share in sizes.items())]
    diagnostics = Diagnostics()
    samples = read_samples(Source("table.csv", "\n".join(rows)), diagnostics)
    given = parse_given(("css=2.25in", "gape=24in", "width=36in"))
    name = "std.jaws.single_toggle"
    base = apply_base(name, find_class(name), None, samples, given, diagnostics)
    assert not diagnostics.has_errors, [d.message for d in diagnostics]
    free = ("k1", "k2", "fines_share", "fines_exponent")
    found = calibrate(base, samples, free_parameters(base, free))
    return library_text(base, found, "jaw_fitted", "table.csv")


def rolls_fitted() -> str:
    """By scipy: the coefficients whose closed circuit gives the table's product."""
    edges = np.append(np.geomspace(3.25 * INCH, 0.1, 81), 0.0)
    edges = np.unique([*edges, *(INCH * size for size in ROLL_SIZES)])[::-1]
    coarse = edges[:-1] > INCH * 0.75 * (1 + 1e-9)
    table = sorted(
        [
            (TOP * INCH, 1.0),
            *((INCH * s, p / 100) for s, p in zip(JAW_SIZES, JAW_PASSING, strict=True)),
        ]
    )
    feed = np.where(coarse, class_fractions(edges, *np.array(table[::-1]).T), 0.0)

    def passing(x: np.ndarray) -> np.ndarray:
        operator = whiten_operator(
            *(edges,), k1=x[0] * 19.05, k2=x[1] * 19.05, k3=3.5, fines_share=x[2],
            fines_exponent=x[3], coarse_exponent=5.0, size_exponent=0.15, usual_f80=3.7 * 19.05,
        )[0]  # fmt: skip
        through = np.linalg.solve(np.eye(len(feed)) - coarse[:, None] * operator, feed)
        product = np.where(coarse, 0.0, operator @ through)
        return np.array([float(passing_at(edges, product, INCH * s)[0]) for s in ROLL_SIZES])

    def residuals(x: np.ndarray) -> np.ndarray:
        return passing(x) - np.array(ROLL_PASSING) / 100

    found = least_squares(
        residuals,
        [0.6, 2.5, 0.3, 0.7], bounds=([0.3, 1.2, 0.0, 0.2], [0.95, 5.0, 1.0, 2.0]),
    )  # fmt: skip
    k1, k2, share, exponent = found.x
    return f"k1 {k1} * gap; k2 {k2} * gap; fines_share {share}; fines_exponent {exponent}"


def test_rock_that_a_table_leaves_as_it_came_keeps_its_shape(tmp_path: Path) -> None:
    """A feed finer than the table at every size; by what a table means."""
    file = tmp_path / "fine.hog"
    file.write_text("""
use std.jaws
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
class crusher table_jaw: jaws.single_toggle {
  model breakage: table {
    css css
    feed_top 500 mm
    passing { 60 mm: { 90 mm: 100 %, 60 mm: 84 %, 20 mm: 32 %, 5 mm: 10 % } }
  }
}
plant "Fine feed, a scenario of our own" {
  sieves { 40 mm, 20 mm, 10 mm, 5 mm }
  feed fine {
    rock rock; rate 60 t/h; flakiness 35 %
    passing { 40 mm: 100 %, 20 mm: 70 %, 10 mm: 50 %, 5 mm: 35 % }
  }
  crusher jaw: table_jaw(gape: 600 mm, width: 900 mm) { css 60 mm }
  fine -> jaw -> product all
}
""")
    product = load(file).balance().document.products[0]
    assert list(product.passing) == pytest.approx([1.0, 0.7, 0.5, 0.35])
    assert product.flakiness == pytest.approx(0.35)
