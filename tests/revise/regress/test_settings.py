"""regression.toml: what it says, and faults told by file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.revise.regress.settings import SettingsError, key_lines, read_settings
from hoggin.revise.regress.tolerances import Tolerance


def _read(folder: Path, text: str) -> list[str]:
    path = folder / "regression.toml"
    path.write_text(text, encoding="utf-8")
    (folder / "frame.hog").write_text("", encoding="utf-8")
    try:
        read_settings(path, "regression.toml")
    except SettingsError as fault:
        return fault.faults
    return []


def test_tolerances_and_grids_are_read(tmp_path: Path) -> None:
    assert not _read(
        tmp_path,
        '[tolerances]\nrate = "0.2 %"\nload = "2 points"\n'
        '[[grid]]\nplant = "frame.hog"\nvary.css = ["12 mm", "14 mm"]\n'
        'vary."tertiary.chamber" = ["fine"]\nvary.number = [1, 2.5]\n',
    )
    settings = read_settings(tmp_path / "regression.toml", "regression.toml")
    assert settings.tolerances == {"rate": Tolerance(0.2, "%"), "load": Tolerance(2, "points")}
    (grid,) = settings.grids
    assert grid.plant == (tmp_path / "frame.hog").resolve()
    told = [[f"{one.name}={one.value}" for one in case] for case in grid.cases()]
    assert told[0] == ["css=12 mm", "tertiary.chamber=fine", "number=1"]
    assert told[-1] == ["css=14 mm", "tertiary.chamber=fine", "number=2.5"]
    assert len(told) == 4
    assert {one.line for case in grid.cases() for one in case} == {6, 7, 8}


def test_a_dotted_name_may_stand_without_quotes(tmp_path: Path) -> None:
    _read(tmp_path, '[[grid]]\nplant = "frame.hog"\nvary.tertiary.css = ["12 mm"]\n')
    (grid,) = read_settings(tmp_path / "regression.toml", "x").grids
    assert [one.name for case in grid.cases() for one in case] == ["tertiary.css"]


GRID = '[[grid]]\nplant = "frame.hog"\n'


@pytest.mark.parametrize(
    ("text", "line", "told"),
    [
        ('[tolerances]\n\nrat = "1 %"\n', 3, "did you mean `rate`"),
        ("[tolerances]\nrate = 1\n", 2, "0.5 %"),
        ('tolerances = "wide"\n', 1, "[tolerances]"),
        ('\n[tolerance]\nrate = "1 %"\n', 2, "did you mean `tolerances`"),
        ('[grid]\nplant = "frame.hog"\n', 1, "[[grid]]"),
        ('[[grid]]\nplant = "nothing.hog"\nvary.css = ["1 mm"]\n', 2, "no file `nothing.hog`"),
        ('[[grid]]\nplant = "../x/regression.toml"\nvary.a = [1]\n', 2, "below"),
        ("[[grid]]\nvary.css = [1]\n", 1, "names its plant"),
        (GRID, 1, "what it varies"),
        (GRID + 'vary.css = "12 mm"\n', 3, "list of values"),
        (GRID + "vary.css = []\n", 3, "list of values"),
        (GRID + 'vary."a.b.c" = [1]\n', 3, "not a `let`"),
        (GRID + 'vary.css = ["1 mm", "1  mm"]\n', 3, "listed twice"),
        (GRID + "vary.css = [true]\n", 3, "not a value"),
        (GRID + 'vary.css = ["1\\n2"]\n', 3, "not a value"),
        (GRID + f"vary.a = {list(range(200))}\nvary.b = {list(range(200))}\n", 1, "40,000"),
        ("[tolerances\n", 1, "expected"),
        ("x = [", 1, "invalid"),
    ],
)
def test_a_fault_is_told_at_its_line(tmp_path: Path, text: str, line: int, told: str) -> None:
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / "regression.toml").write_text("", encoding="utf-8")  # beside, not below
    home = tmp_path / "home"
    home.mkdir()
    faults = _read(home, text)
    assert any(f.startswith(f"regression.toml:{line}: ") and told in f for f in faults), faults


def test_all_faults_are_told_at_once_by_line(tmp_path: Path) -> None:
    faults = _read(tmp_path, '[tolerances]\np8 = "1 %"\nrate = "1 kW"\n[[grid]]\n')
    assert [fault.split(":")[1] for fault in faults] == ["2", "3", "4", "4"]


def test_keys_are_found_in_tables_lists_and_quotes() -> None:
    lines = key_lines('a = 1\n[t]\n"b c" = 2\n[[g]]\nx.y = 3\n[g.z]\nw = 1\n[[g]]\nx = 4\n')
    assert lines[("a",)] == 1
    assert lines[("t", "b c")] == 3
    assert lines[("g", 0, "x", "y")] == lines[("g", 0, "x")] == 5
    assert lines[("g", 0, "z", "w")] == 7
    assert lines[("g", 1, "x")] == 9


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "regression.toml"
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(SettingsError, match="not UTF-8"):
        read_settings(path, "regression.toml")
