"""The results document as a whole: sums, loops, sieves, bytes."""

from __future__ import annotations

import pytest

from hoggin.schema.results import Results
from tests.rating.conftest import Rate

CLOSED = """
plant "closed" {
  revision "A"
  sieves sieves.iso_r20_3
  feed f {
    rock rock; rate 150 t/h
    passing { 90 mm: 100 %, 45 mm: 60 %, 16 mm: 25 %, 4 mm: 8 % }
  }
  crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; css 14 mm }
  screen s: screens.inclined(width: 2.4 m, length: 7.2 m) { deck top 22 mm; deck bottom 8 mm }
  f -> s
  s.top.over -> c -> s
  s.bottom.over -> product stone
  s.under -> product sand
}
"""


@pytest.fixture
def results(rate_plant: Rate) -> Results:
    return rate_plant(CLOSED)


def test_what_comes_in_goes_out(results: Results) -> None:
    """Conservation of mass."""
    assert sum(p.rate_t_h for p in results.products) == pytest.approx(150, rel=1e-12)
    assert results.closure.worst < 1e-9


def test_the_recirculating_load_is_what_goes_round_over_fresh_feed(results: Results) -> None:
    """Common definition: by a balance round the screen it is its oversize over the fresh feed."""
    (loop,) = results.loops
    over = next(s for s in results.streams if s.outlet == "top.over")
    assert set(loop.machines) == {"c", "s"}
    assert loop.fresh_feed_t_h == pytest.approx(150)
    assert loop.recirculating_load == pytest.approx(over.rate_t_h / 150)


def test_exactly_the_streams_that_close_a_loop_are_marked(results: Results) -> None:
    assert sum(s.recirculating for s in results.streams) == 1


def test_passing_never_rises_towards_finer_sieves(results: Results) -> None:
    for stream in results.streams:
        pairs = zip(stream.passing, stream.passing[1:], strict=False)
        assert all(coarse >= fine - 1e-12 for coarse, fine in pairs)


def test_the_products_mix_to_the_weighted_grading_of_the_plant(results: Results) -> None:
    """A grading of a mixture is the tonnage-weighted mean: at the 22.4 mm sieve, coarser than
    both products' deck, everything passes."""
    at = results.sieves_mm.index(22.4)
    assert all(p.passing[at] == pytest.approx(1.0, abs=1e-12) for p in results.products)


def test_the_document_reads_back_as_it_was_written(results: Results) -> None:
    assert Results.model_validate_json(results.model_dump_json()) == results


def test_the_same_plant_gives_the_same_document(rate_plant: Rate, results: Results) -> None:
    assert rate_plant(CLOSED).model_dump_json() == results.model_dump_json()


def test_fineness_modulus_of_sand_is_the_sum_of_astm_retained(rate_plant: Rate) -> None:
    """ASTM C136 / C125: cumulative retained on 9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15 mm (and the
    coarser ones), over 100. The middle of C33's fine band is worked by hand: passing 100, 97.5,
    90, 67.5, 42.5, 17.5, 5 % leaves retained 0, 2.5, 10, 32.5, 57.5, 82.5, 95: 2.80."""
    text = """
plant "sand" {
  sieves sieves.astm_e11
  feed f { rock rock; rate 10 t/h
    passing { 9.5 mm: 100 %, 4.75 mm: 97.5 %, 2.36 mm: 90 %, 1.18 mm: 67.5 %, 0.6 mm: 42.5 %
              0.3 mm: 17.5 %, 0.15 mm: 5 % } }
  f -> product sand
}
"""
    assert rate_plant(text).products[0].fineness_modulus == pytest.approx(2.80, abs=1e-9)
