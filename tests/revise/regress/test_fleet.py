"""What is said of the whole fleet: counted and worked by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoggin.commands.main import main

from .conftest import ACCEPT, edit

pytestmark = pytest.mark.slow

SETTINGS = '[[sites]]\nplant = "east.hog"\ntable = "sites.csv"\n'


@pytest.fixture
def fleet(project: Path) -> Path:
    """Five sites at other shares of one feed of 100 t/h; then the template gives other shares."""
    (project / "west.hog").unlink()
    (project / "regression.toml").write_text(SETTINGS, encoding="utf-8")
    rows = "".join(f"site {n},{rate} t/h\n" for n, rate in enumerate((100, 110, 120, 130, 140)))
    (project / "sites.csv").write_text(f"site,flow\n{rows}", encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT]) == 0
    return project


def _review(fleet: Path, *more: str) -> str:
    page = fleet.parent / "out" / "review.md"
    main(["regress", "plants", "--summary", str(page), *more])
    return page.read_text(encoding="utf-8")


def test_a_quantity_is_summed_up_over_all_cases(
    fleet: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A share of 31.5 % for 30 % is 5 % more everywhere: largest and median are the same. The
    plant as it stands is the sixth case."""
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 140)
    edit(fleet / "east.hog", "share: 30 %", "share: 31.5 %")
    capsys.readouterr()
    assert main(["regress", "plants", "--all"]) == 5
    out = capsys.readouterr().out
    (table,) = re.findall(r"over all cases:\n\n(.*?)\n\n", out, re.DOTALL)
    rows = [line.split() for line in table.splitlines()]
    assert ["product", "a:", "rate", "6", "+5", "%", "+5", "%", "0.5", "%"] in [
        r[:10] for r in rows
    ]


def test_largest_median_and_worst_are_those_of_the_cases(
    fleet: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Feeds of 110, 120 and 130 t/h become 121, 126 and 131.3: 10, 5 and 1 % more."""
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 140)
    for old, new in (("110", "121"), ("120", "126"), ("130", "131.3")):
        edit(fleet / "sites.csv", f"{old} t/h", f"{new} t/h")
    capsys.readouterr()
    main(["regress", "plants", "--all"])
    out = capsys.readouterr().out.partition("over all cases:")[2]
    (row,) = (line.split() for line in out.splitlines() if line.startswith("  plant: feed "))
    assert row == [
        *("plant:", "feed", "3", "+10", "%", "+5", "%", "0.5", "%", "plants/east[site", "1]"),
    ]


def test_the_page_for_a_review_says_what_turned_and_where(fleet: Path) -> None:
    edit(fleet / "east.hog", "share: 30 %", "share: 18 %")  # 18 t/h of 100, where 20 are required
    page = _review(fleet)
    assert page.startswith("# Not all plants match their records\n\n6 cases: ")
    for heading in ("Cases", "Requirements not met", "Verdicts that changed"):
        assert f"## {heading}\n" in page
    assert re.search(
        r"\| plants/east\\\[site 0\\\] +\| require a.rate >= 20 t/h +\| met +\| not met", page
    )
    turned = page.partition("## Verdicts that changed")[2].partition("## ")[0]
    assert turned.count("not met") == 3  # 18 % of 100 twice, 110 t/h; of 120 t/h it is 21.6 t/h
    assert "predictions for design, not guarantees" in page


def test_the_page_says_so_where_all_hold(fleet: Path) -> None:
    page = _review(fleet)
    assert page.startswith("# All plants match their records\n\n6 cases: 6 hold.")
    assert "## Quantities" not in page and "## Failed" not in page


def test_what_is_cut_off_is_counted(fleet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = "".join(f"site {n},{100 + n} t/h\n" for n in range(80))
    (fleet / "sites.csv").write_text(f"site,flow\n{rows}", encoding="utf-8")
    edit(fleet / "east.hog", "let flow = 100 t/h", "let flow = 300 t/h")
    page = _review(fleet)
    cases = page.partition("## Cases")[2].partition("## ")[0]
    assert "and 21 more" in cases  # 80 sites and the plant as it stands; 60 are shown
    out = capsys.readouterr().out
    assert "more, shown with `--all`" in out
    main(["regress", "plants", "--all"])
    assert "more, shown with" not in capsys.readouterr().out


def test_a_site_that_fails_is_named_with_its_fault(fleet: Path) -> None:
    edit(fleet / "sites.csv", "120 t/h", "120 kW")
    failed = _review(fleet).partition("## Failed")[2].partition("## ")[0]
    assert "plants/east\\[site 2\\]" in failed and "E0302" in failed
    assert "plants/sites.csv:4:8" in failed


def test_the_same_outcome_gives_the_same_page(fleet: Path) -> None:
    edit(fleet / "east.hog", "share: 30 %", "share: 40 %")
    assert _review(fleet, "--jobs", "1", "--no-cache") == _review(fleet, "--jobs", "2")
