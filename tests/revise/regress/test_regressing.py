"""`hoggin regress` as a user meets it: exit codes, what is told, records written or left alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.commands.test_main import STUCK

from hoggin.commands.main import main

from .conftest import ACCEPT, PLANT, edit

pytestmark = pytest.mark.slow


def _records(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.glob("recorded/*")}


def test_a_plant_without_a_record_fails_until_it_is_accepted(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["regress", "plants"]) == 5
    assert "not recorded  plants/east" in capsys.readouterr().out
    assert not _records(project)
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert set(_records(project)) == {"east.toml", "west.toml"}
    assert main(["regress", "plants"]) == 0
    out = capsys.readouterr().out
    assert "2 cases: 2 hold; 2 unchanged" in out and "--accept" not in out


def test_drift_beyond_tolerance_names_plant_quantity_and_cause(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: 30 % of 100 t/h is 30 t/h; at 32 % it is 32 t/h, that is 6.67 % more, and b falls
    from 70 to 68 t/h, 2.86 % less. Half a per cent is allowed."""
    main(["regress", "plants", *ACCEPT])
    edit(project / "west.hog", "share: 30 %", "share: 32 %")
    capsys.readouterr()
    assert main(["regress", "plants"]) == 5
    out = capsys.readouterr().out
    assert "plants/west: drifted\n  recorded 2026-03-02T09:00:00Z by tester: a test\n" in out
    assert "  since it was recorded: plants/west.hog changed\n" in out
    rows = [line.split() for line in out.splitlines() if " x" in line]
    assert ["product", "a:", "rate", "30", "32", "t/h", "+6.67", "0.5", "%", "13.3", "x"] in rows
    assert ["product", "b:", "rate", "70", "68", "t/h", "-2.86", "0.5", "%", "5.71", "x"] in rows
    assert float(rows[0][-2]) == max(float(row[-2]) for row in rows)
    assert "plants/east: drifted" not in out


def test_a_change_within_tolerance_holds_and_its_record_does_not_creep(project: Path) -> None:
    """30.1 of 30 t/h is 0.33 %, within half a per cent. Accepting keeps the first record, so that
    many small steps can't pass for none."""
    main(["regress", "plants", *ACCEPT])
    before = _records(project)
    edit(project / "west.hog", "share: 30 %", "share: 30.1 %")
    assert main(["regress", "plants"]) == 0
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert _records(project) == before
    edit(project / "west.hog", "share: 30.1 %", "share: 30.2 %")
    assert main(["regress", "plants"]) == 5


def test_accepting_shows_what_it_accepts_and_writes_only_that(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["regress", "plants", *ACCEPT])
    before = _records(project)
    edit(project / "west.hog", "share: 30 %", "share: 32 %")
    capsys.readouterr()
    assert main(["regress", "plants", *ACCEPT]) == 0
    out = capsys.readouterr().out
    assert "product a: rate" in out and "accepted: plants/recorded/west.toml" in out
    after = _records(project)
    assert after["east.toml"] == before["east.toml"]
    assert b'rate = "32 t/h"' in after["west.toml"]
    assert main(["regress", "plants"]) == 0


def test_a_folders_tolerances_hold_in_it_and_over_those_further_out(project: Path) -> None:
    (project / "inner").mkdir()
    text = (project / "east.hog").read_text(encoding="utf-8")
    inner = project / "inner" / "deep.hog"
    inner.write_text(text.replace("lib/", "../lib/"), encoding="utf-8")
    main(["regress", "plants", *ACCEPT])
    for path in (inner, project / "east.hog"):
        edit(path, "share: 30 %", "share: 31 %")  # 3.3 % more of one, 1.4 % less of the other
    wide = '[tolerances]\nshare_of_feed = "5 points"\n'
    wide += "".join(f'{kind} = "5 %"\n' for kind in ("rate", "dust", "of_dust", "margin"))
    (project / "regression.toml").write_text(wide, encoding="utf-8")
    assert main(["regress", "plants"]) == 0
    (inner.parent / "regression.toml").write_text('[tolerances]\nrate = "1 %"\n', encoding="utf-8")
    assert main(["regress", "plants"]) == 5
    assert main(["regress", "plants/east.hog"]) == 0
    assert main(["regress", "plants/inner/deep.hog"]) == 5


def test_a_grid_runs_the_plant_at_every_combination_each_with_its_own_record(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: the least of a is 20 t/h; 15 % of 120 t/h is 18 t/h."""
    (project / "regression.toml").write_text(
        '[[grid]]\nplant = "east.hog"\nvary.flow = ["120 t/h", "140 t/h"]\n'
        'vary."part.share" = ["15 %", "30 %"]\n',
        encoding="utf-8",
    )
    assert main(["regress", "plants", *ACCEPT]) == 4
    out = capsys.readouterr().out
    assert "plants/east[flow=120 t/h, part.share=15 %]: 1 requirement not met" in out
    assert "NOT MET a.rate >= 20 t/h: 18 t/h, margin -2 t/h (-10.0 %)" in out
    assert out.count("not met, accepted") == 1 and out.count("holds, accepted") == 5
    records = _records(project)
    assert len(records) == 6 and len(set(records.values())) == 6
    record = records["east,flow=140tperh,part.share=30pc.toml"]
    assert b'rate = "42 t/h"' in record  # 30 % of 140 t/h
    edit(project / "regression.toml", '"15 %", ', "")
    assert main(["regress", "plants"]) == 5  # two records have lost their case
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert len(_records(project)) == 4


def test_an_unmet_requirement_exits_4_recorded_or_not(project: Path) -> None:
    edit(project / "west.hog", ">= 20 t/h", ">= 31 t/h")
    assert main(["regress", "plants", *ACCEPT]) == 4
    assert main(["regress", "plants"]) == 4


def test_a_requirement_taken_out_is_drift(project: Path) -> None:
    main(["regress", "plants", *ACCEPT])
    edit(project / "west.hog", "  require a.rate >= 20 t/h\n", "")
    assert main(["regress", "plants"]) == 5


def test_errors_exit_1_and_leave_the_record(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["regress", "plants", *ACCEPT])
    before = _records(project)
    edit(project / "lib" / "halving.hog", "= 30 %", "= 30 kW")
    assert main(["regress", "plants", *ACCEPT]) == 1
    out = capsys.readouterr().out
    assert "error E0302" in out and "plants/lib/halving.hog:2:" in out
    assert _records(project) == before


def test_a_plant_that_can_not_be_balanced_exits_3_and_nothing_is_accepted(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All or none: half a fleet accepted would be a record of no state of the library."""
    (project / "stuck.hog").write_text(STUCK, encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT]) == 3
    out = capsys.readouterr().out
    assert "E0801" in out and "Nothing is accepted because 1 case failed" in out
    assert not _records(project)
    assert main(["regress", "plants/east.hog", "plants/west.hog", *ACCEPT]) == 0
    assert set(_records(project)) == {"east.toml", "west.toml"}


def test_the_gravest_fault_gives_the_exit_code(project: Path) -> None:
    edit(project / "west.hog", ">= 20 t/h", ">= 31 t/h")
    (project / "stuck.hog").write_text(STUCK, encoding="utf-8")
    assert main(["regress", "plants"]) == 3
    (project / "wrong.hog").write_text("plant {", encoding="utf-8")
    assert main(["regress", "plants"]) == 1


def test_a_merge_conflict_in_a_record_is_told_and_mended_by_accepting(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["regress", "plants", *ACCEPT])
    before = _records(project)
    edit(project / "recorded" / "west.toml", "[results.plant]", "<<<<<<< ours\n[results.plant]")
    capsys.readouterr()
    assert main(["regress", "plants"]) == 5
    out = capsys.readouterr().out
    assert "plants/recorded/west.toml: line" in out and "merge conflict" in out
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert _records(project) == before


def test_a_record_whose_plant_is_gone_is_drift_and_accepting_removes_it(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["regress", "plants", *ACCEPT])
    (project / "recorded" / "notes.toml").write_text("ours = 1\n", encoding="utf-8")
    (project / "west.hog").unlink()
    (project / "east.hog").write_text("let x = 3 mm\n", encoding="utf-8")  # a library now
    assert main(["regress", "plants/east.hog"]) == 5
    assert main(["regress", "plants"]) == 5
    out = capsys.readouterr().out
    assert "plants/recorded/west.toml" in out and "plants/recorded/east.toml" in out
    main(["regress", "plants", *ACCEPT])
    assert set(_records(project)) == {"notes.toml"}  # not ours: left alone


def test_faults_of_the_settings_exit_2_with_file_and_line(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "regression.toml").write_text("[tolerances]\nrate = 3\n", encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT]) == 2
    assert capsys.readouterr().err.startswith("hoggin: plants/regression.toml:2: ")
    assert not _records(project)


@pytest.mark.parametrize("named", ["nothing", "empty", "plants/recorded", "plants/regression.toml"])
def test_what_is_not_there_exits_2(
    project: Path, named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (project.parent / "empty").mkdir()
    assert main(["regress", named]) == 2
    assert capsys.readouterr().err.startswith("hoggin: ")


def test_a_file_that_is_no_text_exits_2_and_the_others_are_run(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "odd.hog").write_bytes(b"\xff\xfe\x00")
    assert main(["regress", "plants", *ACCEPT]) == 2
    out = capsys.readouterr().out
    assert "plants/odd: can't be read" in out and "2 not recorded" in out
    assert not _records(project)


@pytest.mark.usefixtures("project")
@pytest.mark.parametrize("jobs", ["0", "-1", "many"])
def test_jobs_are_one_or_more(jobs: str) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["regress", "plants", "--jobs", jobs])
    assert stopped.value.code == 2


def test_hidden_folders_and_output_are_left_out_and_a_plant_named_twice_is_run_once(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for folder in (".venv", "out"):
        (project / folder).mkdir()
        (project / folder / "no.hog").write_text("plant {", encoding="utf-8")
    main(["regress", "plants", "plants/east.hog", "plants/../plants/west.hog"])
    assert "2 cases: 2 not recorded" in capsys.readouterr().out


def test_the_same_results_give_the_same_record_in_any_number_of_jobs(project: Path) -> None:
    for number in range(6):
        text = PLANT.replace("%NAME%", f"p{number}").replace("100 t/h", f"{100 + number} t/h")
        (project / f"p{number}.hog").write_text(text, encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT, "--jobs", "1", "--no-cache"]) == 0
    first = _records(project)
    for path in project.glob("recorded/*"):
        path.unlink()
    assert main(["regress", "plants", *ACCEPT, "--jobs", "3", "--no-cache"]) == 0
    assert _records(project) == first and len(first) == 8


def test_names_that_would_move_the_cursor_are_made_visible(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "ev\x1b[31mil\n<&>.hog"
    text = PLANT.replace("%NAME%", "t\x1b[31m\x07")
    (project / name).write_text(text, encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert main(["regress", "plants"]) == 0
    out = capsys.readouterr().out
    assert "\x1b" not in out and "\x07" not in out
    assert out.encode("utf-8")
    edit(project / name, "share: 30 %", "share: 99 %")
    assert main(["regress", "plants"]) == 1
    out = capsys.readouterr().out
    assert "\x1b" not in out and out.encode("utf-8")


def test_a_plant_whose_name_is_no_text_is_run_like_any_other(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "east.hog").rename(project / "e\udcff.hog")
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert main(["regress", "plants", "--sarif", "o.sarif", "--junit", "o.xml"]) == 0
    out = capsys.readouterr().out
    assert "2 cases: 2 hold" in out and out.encode("utf-8")


@pytest.mark.parametrize("columns", ["80", "120"])
def test_the_drift_table_fits_the_terminal(
    project: Path,
    columns: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    main(["regress", "plants", *ACCEPT])
    edit(project / "west.hog", "share: 30 %", "share: 87.654321 %")
    monkeypatch.setattr("hoggin.commands.output.WIDTH", int(columns))
    capsys.readouterr()
    main(["regress", "plants"])
    assert max(map(len, capsys.readouterr().out.splitlines())) <= int(columns)
