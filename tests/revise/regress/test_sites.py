"""A table of sites: one plant's file, a row of values for each site."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from hoggin.commands.main import main

from .conftest import ACCEPT, edit

SETTINGS = '[[sites]]\nplant = "east.hog"\ntable = "sites.csv"\n'
TABLE = """site,flow (t/h),part.share,f.rate
Hill quarry,120,25 %,
"Low, by the river",140 t/h,,
Ridge,,30 %,90 t/h
"""


@pytest.fixture
def fleet(project: Path) -> Path:
    (project / "west.hog").unlink()
    (project / "regression.toml").write_text(SETTINGS, encoding="utf-8")
    (project / "sites.csv").write_text(TABLE, encoding="utf-8")
    return project


def _faults(fleet: Path, table: str, capsys: pytest.CaptureFixture[str]) -> list[str]:
    (fleet / "sites.csv").write_text(table, encoding="utf-8")
    capsys.readouterr()
    assert main(["regress", "plants"]) == 2
    err = capsys.readouterr().err
    return [line.removeprefix("hoggin: plants/sites.csv:") for line in err.splitlines()]


@pytest.mark.slow
def test_each_site_is_a_case_with_a_record_of_its_own(
    fleet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: 25 % of 120 t/h is 30 t/h; 30 % of 140 t/h is 42 t/h; 30 % of 90 t/h is 27 t/h."""
    assert main(["regress", "plants", *ACCEPT]) == 0
    out = capsys.readouterr().out
    assert "plants/east[Hill quarry]" in out and "4 cases: 4 hold" in out
    records = {path.read_text(encoding="utf-8") for path in (fleet / "recorded").iterdir()}
    rates = [re.findall(r'"product a"]\nrate = "(.*)"', text) for text in records]
    assert sorted(rates) == [["27 t/h"], ["30 t/h"], ["30 t/h"], ["42 t/h"]]  # and as it stands
    assert (fleet / "recorded" / "east,Ridge.toml").exists()
    assert main(["regress", "plants"]) == 0


@pytest.mark.slow
def test_a_site_gives_what_the_same_values_give_in_the_plants_own_file(fleet: Path) -> None:
    assert main(["regress", "plants", *ACCEPT]) == 0
    text = (fleet / "recorded" / "east,Ridge.toml").read_text(encoding="utf-8")
    edit(fleet / "east.hog", "rate flow;", "rate 90 t/h;")
    assert main(["regress", "plants/east.hog"]) == 5
    assert main(["regress", "plants/east.hog", *ACCEPT]) == 0
    own = (fleet / "recorded" / "east.toml").read_text(encoding="utf-8")
    assert own.partition("[results.")[2] == text.partition("[results.")[2]


def test_all_faults_of_a_table_are_told_with_row_and_column(
    fleet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Columns are counted in characters, as editors do."""
    table = (
        "site,flow (t/h),flw,part.share,prt.share,flow\n"
        "Hill,120,1,25 %,1,1\n"
        ",120,1,25 %,1,1\n"
        '"Hill",120,1,25 %,1,1\n'
        "Ridge,120\n"
    )
    faults = _faults(fleet, table, capsys)
    assert [fault.split(": ")[0] for fault in faults] == [
        "1:17",
        "1:32",
        "1:42",
        "3:1",
        "4:1",
        "5:1",
    ]
    assert "no `let flw`" in faults[0] and "did you mean `flow`" in faults[0]
    assert "no `prt`" in faults[1]
    assert "`flow` is the heading of two columns" in faults[2]
    assert "does not name its site" in faults[3]
    assert "`Hill` is already in line 2" in faults[4]
    assert "2 cells, the heading 6" in faults[5]


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ("", "no rows of sites"),
        ("site,flow\n", "no rows of sites"),
        ("site,the flow of it\nHill,1\n", "`the flow of it` is not the name of a setting"),
    ],
)
def test_what_is_no_table_of_sites_is_told(
    fleet: Path, table: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert any(told in fault for fault in _faults(fleet, table, capsys))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("value", "code"),
    [("120 kW", "E0302"), ("120 t/h; let x = 1", "E0101"), ("lots and lots", "E0101")],
)
def test_a_bad_value_fails_its_site_alone_and_is_shown_in_its_cell(
    fleet: Path, value: str, code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    table = TABLE.replace("140 t/h", value)
    (fleet / "sites.csv").write_text(table, encoding="utf-8")
    report = fleet.parent / "o.sarif"
    assert main(["regress", "plants", "--sarif", str(report)]) == 1
    out = capsys.readouterr().out
    assert "plants/east[Low, by the river]: has errors (its values: plants/sites.csv:3)" in out
    assert f"{code}" in out and "plants/sites.csv:3:21" in out
    assert f'"Low, by the river",{value},,' in out  # the row, as it stands
    assert "3 not recorded" in out
    results = json.loads(report.read_text(encoding="utf-8"))["runs"][0]["results"]
    places = [one["locations"][0]["physicalLocation"] for one in results if one["ruleId"] == code]
    assert places[0]["artifactLocation"]["uri"] == "plants/sites.csv"
    assert places[0]["region"]["startColumn"] == 21


@pytest.mark.slow
def test_a_parameter_that_a_section_lacks_is_told_once_at_its_heading(
    fleet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (fleet / "sites.csv").write_text(TABLE.replace("part.share", "part.shore"), encoding="utf-8")
    assert main(["regress", "plants"]) == 1
    out = capsys.readouterr().out
    assert "plants/sites.csv:1:17" in out


@pytest.mark.slow
def test_spreadsheets_of_other_countries_are_read(fleet: Path) -> None:
    """Semicolons, a byte order mark, and line ends of another system."""
    text = TABLE.replace(",", ";").replace("Low; by", "Low by").replace("\n", "\r\n")
    (fleet / "sites.csv").write_bytes(b"\xef\xbb\xbf" + text.encode() + b";;;\r\n")
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert len(list((fleet / "recorded").iterdir())) == 4


@pytest.mark.parametrize(
    ("settings", "line", "told"),
    [
        ("[[sites]]\n", 1, "sites name"),
        (SETTINGS.replace("sites.csv", "no.csv"), 3, "no file `no.csv`"),
        (SETTINGS.replace("sites.csv", "east.hog"), 3, "ends in `.csv`"),
        (SETTINGS.replace("table", "tabel"), 3, "did you mean `table`"),
        (SETTINGS.replace("[[sites]]", "[sites]"), 1, "[[sites]]"),
    ],
)
def test_faults_of_the_settings_are_told_by_line(
    fleet: Path, settings: str, line: int, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (fleet / "regression.toml").write_text(settings, encoding="utf-8")
    assert main(["regress", "plants"]) == 2
    err = capsys.readouterr().err
    assert f"plants/regression.toml:{line}: " in err and told in err


@pytest.mark.slow
def test_a_row_taken_out_leaves_a_stray_record(fleet: Path) -> None:
    main(["regress", "plants", *ACCEPT])
    edit(fleet / "sites.csv", "Ridge,,30 %,90 t/h\n", "")
    assert main(["regress", "plants"]) == 5
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert not (fleet / "recorded" / "east,Ridge.toml").exists()
