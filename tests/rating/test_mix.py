"""Mixes of a plant's products, worked by hand on products that a splitter makes."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.bands import find_band, library_bands
from hoggin.commands.main import main
from hoggin.errors import HogginError
from hoggin.rating.mix import mix
from hoggin.report.mix import document
from hoggin.report.text import terminal
from hoggin.schema.plant import Band, BandPoint
from hoggin.schema.results import Results
from tests.rating.conftest import HEAD, Rate

# Two feeds that run straight into products: a scenario of our own.
PLANT = """
use std.gradings.astm as american
band house { about "A band of our own"; source "this test"
             passing { 40 mm: 100 %, 20 mm: 30 % to 70 %, 10 mm: 10 % to 20 % } }
plant "two heaps" {
  sieves { 40 mm, 20 mm, 10 mm, 5 mm }
  feed c { rock rock; rate 30 t/h; passing { 40 mm: 100 %, 20 mm: 20 %, 10 mm: 0 % } }
  feed f { rock rock; rate 90 t/h; passing { 40 mm: 100 %, 20 mm: 80 %, 10 mm: 40 % } }
  c -> product coarse
  f -> product fine
}
"""


def a_band(*points: tuple[float, float, float]) -> Band:
    return Band(
        name="b",
        about="",
        source="",
        points=tuple(BandPoint(size_mm=s, low=low, high=high) for s, low, high in points),
    )


@pytest.fixture
def results(rate_plant: Rate) -> Results:
    return rate_plant(PLANT)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "heaps.hog"
    path.write_text(HEAD + PLANT, encoding="utf-8")
    return path


def test_shares_grading_and_amount_are_those_worked_by_hand(results: Results) -> None:
    # 20 mm: 20 and 80 % passing to 30 to 40 %: the middle, 35 %, is a quarter of the fine. Of it
    # 10 % passes 10 mm. 30 t/h of the coarse are three quarters of 40 t/h.
    found = mix(results, a_band((40.0, 1.0, 1.0), (20.0, 0.3, 0.4)), ["coarse", "fine"])
    assert [part.share for part in found.components] == pytest.approx([0.75, 0.25])
    assert found.band.passing == pytest.approx([1.0, 0.35])
    assert found.band.met
    assert found.band.worst_margin == pytest.approx(0.05)
    assert found.most_t_h == pytest.approx(40.0)
    assert found.limited_by == "coarse"
    assert [part.rate_t_h for part in found.components] == pytest.approx([30.0, 90.0])


def test_fineness_modulus_of_a_mix_is_the_mean_by_mass(results: Results) -> None:
    # ASTM C125: a sum of per cent retained, so that mass shares weigh it.
    found = mix(results, a_band((20.0, 0.3, 0.4)), ["coarse", "fine"])
    coarse, fine = (product.fineness_modulus for product in results.products)
    assert coarse is not None and fine is not None
    assert found.fineness_modulus == pytest.approx(0.75 * coarse + 0.25 * fine)


def test_a_mix_that_can_not_meet_the_band_says_so(results: Results) -> None:
    found = mix(results, a_band((20.0, 0.85, 0.95)), ["coarse", "fine"])
    assert not found.band.met
    assert found.band.worst_margin == pytest.approx(-0.05)
    assert [part.share for part in found.components] == pytest.approx([0.0, 1.0])
    assert "OUTSIDE" in terminal(document(found))


def test_there_must_be_something_to_mix(results: Results) -> None:
    with pytest.raises(HogginError):
        mix(results, a_band((20.0, 0.3, 0.4)), [])
    with pytest.raises(KeyError):
        mix(results, a_band((20.0, 0.3, 0.4)), ["gravel"])


@pytest.mark.slow
def test_a_band_is_found_as_the_file_names_it_or_in_the_library(file: Path) -> None:
    own = find_band("house", file)
    assert own is not None and own.about == "A band of our own"
    names = ("american.c33_57", "astm.c33_57", "std.gradings.astm.c33_57")
    points = [band.points for band in (find_band(name, file) for name in names) if band is not None]
    assert len(points) == 3 and points[0] == points[1] == points[2]
    for wrong in ("c33_57", "house.c33_57", "astm.c33_58", "nowhere.c33_57", "sieves.en_base"):
        assert find_band(wrong, file) is None
    assert {"astm.c33_57", "en12620.gf85_0_4", "en13043.gc90_10_4_8"} <= set(library_bands())


def test_the_command_exits_by_the_mix(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mix", str(file), "house"]) == 0
    told = capsys.readouterr().out
    assert "A band of our own" in told and "Inside the band" in told and "coarse" in told
    assert "predictions for design, not guarantees" in told
    assert main(["mix", str(file), "house", "coarse"]) == 4
    assert "OUTSIDE" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (["hause"], "unknown grading band `hause`"),
        (["astm.c33_75"], "did you mean `astm.c33_7`?"),
        (["house", "corse"], "did you mean `coarse`?"),
    ],
)
def test_a_wrong_name_is_wrong_use(
    file: Path, asked: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mix", str(file), *asked]) == 2
    assert told in capsys.readouterr().err
