"""The mass balance read back from its own documents: does mass balance on paper?"""

from __future__ import annotations

import csv
import io
from collections import defaultdict

import pytest

from hoggin.report import mass_balance, text
from hoggin.schema.results import Results
from tests.report.shown import balance_text


def ledger(results: Results) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.comma_separated(
        mass_balance.stream_ledger(results)))))  # fmt: skip


@pytest.mark.parametrize("sample", ["quarry", "small", "large"])
def test_the_csv_balances_at_every_machine(sample: str, request: pytest.FixtureRequest) -> None:
    """Conservation of mass: what the file says enters a machine leaves it."""
    results: Results = request.getfixturevalue(sample)
    entering: dict[str, float] = defaultdict(float)
    leaving: dict[str, float] = defaultdict(float)
    for row in ledger(results):
        entering[row["to"]] += float(row["rate (t/h)"])
        source = max((m.tag for m in results.machines
                      if row["from"] == m.tag or row["from"].startswith(f"{m.tag}.")),
                     key=len, default=row["from"])  # fmt: skip
        leaving[source] += float(row["rate (t/h)"])
    for machine in results.machines:
        assert entering[machine.tag] == pytest.approx(leaving[machine.tag], rel=1e-8)


def test_the_csv_has_every_stream_with_every_reporting_sieve(quarry: Results) -> None:
    rows = ledger(quarry)
    assert len(rows) == len(quarry.streams)
    passing = [name for name in rows[0] if name.startswith("passing ")]
    assert [float(name.split()[1]) for name in passing] == list(quarry.sieves_mm)
    for row, stream in zip(rows, quarry.streams, strict=True):
        assert [float(row[name]) / 100 for name in passing] == pytest.approx(stream.passing)
        share = 100 * stream.rate_t_h / quarry.feed_t_h
        assert float(row["share of feed (%)"]) == pytest.approx(share)


def test_totals_say_what_is_lost(quarry: Results) -> None:
    leaky = quarry.model_copy(update={"products": quarry.products[1:]})
    missing = quarry.products[0].rate_t_h
    rows = {row[0]: row for row in mass_balance.totals(leaky).rows}
    assert rows["difference"][1] == pytest.approx(-missing)
    assert rows["difference"][2] == pytest.approx(-missing / 450.0)
    assert f"-{missing:.1f}" in balance_text(leaky)


def test_an_empty_stream_has_no_grading_to_show(small: Results) -> None:
    empty = small.streams[2].model_copy(update={
        "rate_t_h": 0.0, "p80_mm": None, "p50_mm": None,
        "passing": tuple(float("nan") for _ in small.sieves_mm),
    })  # fmt: skip
    streams = (*small.streams[:2], empty, *small.streams[3:])
    results = small.model_copy(update={"streams": streams})
    row = ledger(results)[2]
    assert {value for name, value in row.items() if name.startswith("passing ")} == {""}
    for shown in (balance_text(results), text.markdown(mass_balance.document(results))):
        assert "nan" not in shown.lower()


def test_requirements_and_specifications_that_fail_say_so(quarry: Results) -> None:
    failing = quarry.requirements[0].model_copy(
        update={"verdict": "not met", "margin": -1.6, "margin_text": "-1.6 t/h (-1.3 %)"}
    )
    results = quarry.model_copy(update={"requirements": (failing,)})
    shown = balance_text(results, 160)
    line = next(line for line in shown.splitlines() if "chips.rate >= 120 t/h" in line)
    assert "NOT MET" in line and "-1.6 t/h (-1.3 %)" in line and "plant.hog:41" in line
    grit = next(line for line in shown.splitlines() if line.startswith("grit") and "band" in line)
    assert "NOT MET" in grit


def test_recirculating_loads_are_shown_in_per_cent(quarry: Results) -> None:
    shown = balance_text(quarry, 160)
    loop = quarry.loops[0]
    line = next(line for line in shown.splitlines() if "secondary, sizing" in line)
    assert f"{100 * loop.recirculating_t_h / loop.fresh_feed_t_h:.1f}" in line


def test_a_closed_circuit_near_running_away_says_at_which_feed(quarry: Results) -> None:
    def headings(runs_away_at: float | None) -> list[str]:
        loop = quarry.loops[0].model_copy(update={"runs_away_at": runs_away_at})
        found = mass_balance.loops(quarry.model_copy(update={"loops": (loop,)}))
        assert runs_away_at is None or runs_away_at in found.rows[0]
        return [column.heading for column in found.columns]

    assert headings(1.12) == [*headings(None), "runs away at"]


def test_sieve_by_sieve_verdicts_agree_with_the_limits_printed(quarry: Results) -> None:
    table = mass_balance.specification_points(quarry)
    outside = [row for row in table.rows if row[-1] == "OUTSIDE"]
    assert outside
    for _, _, _, low, passing, high, verdict in table.rows:
        assert isinstance(low, float) and isinstance(passing, float) and isinstance(high, float)
        assert (verdict == "OUTSIDE") == (passing < low or passing > high)


def test_both_forms_say_the_figures_are_predictions(quarry: Results) -> None:
    for shown in (balance_text(quarry), text.markdown(mass_balance.document(quarry))):
        assert "predictions for design, not guarantees" in shown
        assert "Local codes and licensed practice govern" in shown
