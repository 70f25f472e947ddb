"""What README shows is what the commands print today; its pictures are today's."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
# The faulty plant that README shows the errors of: the example with four slips.
SLIPS = (
    ("css     40 mm", "css     400 mm"),
    ("surge            -> tunnel_feeder", "surge            -> tunel_feeder"),
    ("rate 450 t/h", "rate 450 kW"),
    ("deck bottom 25 mm square", "deck bottom 55 mm square"),
)
# The edit whose comparison README shows.
EDIT = ("deck top    50 mm square", "deck top    56 mm square")


@pytest.fixture
def in_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 120)


@pytest.mark.usefixtures("in_root")
def test_the_issue_command_prints_what_readme_shows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["issue", "examples/quarry.hog", "--into", str(tmp_path / "quarry")]) == 0
    printed = capsys.readouterr().out.replace(str(tmp_path), "out")
    assert printed in README
    for picture, shown in (
        ("flowsheet.svg", "quarry_flowsheet.svg"),
        ("gradings/chips.svg", "quarry_chips.svg"),
    ):
        made = (tmp_path / "quarry" / picture).read_bytes()
        assert made == (ROOT / "docs/pictures" / shown).read_bytes(), f"copy {picture} anew"


@pytest.mark.usefixtures("in_root")
def test_the_stream_table_is_as_readme_shows(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["balance", "examples/quarry.hog", "--show", "balance"]) == 0
    printed = capsys.readouterr().out
    table = printed[printed.index("STREAMS\n") : printed.index("STREAM GRADINGS")]
    assert table.rstrip() in README


def test_the_four_slips_are_reported_as_readme_shows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "examples/quarry.hog").read_text(encoding="utf-8")
    for right, wrong in SLIPS:
        assert right in text
        text = text.replace(right, wrong, 1)
    path = tmp_path / "quarry.hog"
    path.write_text(text, encoding="utf-8")
    assert main(["check", str(path)]) == 1
    assert capsys.readouterr().err.strip() in README


@pytest.mark.usefixtures("in_root")
def test_the_comparison_is_as_readme_shows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "examples/quarry.hog").read_text(encoding="utf-8")
    assert EDIT[0] in text
    (tmp_path / "before.hog").write_text(text, encoding="utf-8")
    (tmp_path / "after.hog").write_text(text.replace(*EDIT, 1), encoding="utf-8")
    files = [str(tmp_path / name) for name in ("before.hog", "after.hog")]
    assert main(["compare", *files, "--min-weight", "13"]) == 0
    printed = capsys.readouterr().out
    assert printed[printed.index("WHAT WAS CHANGED") :].rstrip() in README
