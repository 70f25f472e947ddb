"""`hoggin why` as a user runs it, on files and on revisions that real git made."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest
from tests.revise.why.sides import EDITS, EXAMPLES, QUARRY, changed

from hoggin.commands.main import main
from hoggin.revise.why import Attribution


def git(folder: Path, *arguments: str) -> None:
    own = ["-c", "user.name=Tester", "-c", "user.email=tester@example.org"]
    subprocess.run(["git", "-C", str(folder), *own, *arguments], check=True, capture_output=True)


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 100)
    return tmp_path


def why(*arguments: str) -> int:
    return main(["why", *arguments])


@pytest.mark.slow
def test_revisions_of_git_with_their_own_libraries(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = EXAMPLES / "standard"
    main_text, library = ((folder / n).read_text() for n in ("north.hog", "closed_circuit.hog"))
    git(project, "init", "--quiet", "--initial-branch=main")
    for content in (
        library,
        changed(
            library,
            [("css:      8 mm to 30 mm = 14 mm", "css: 8 mm to 30 mm = 12 mm")],
        ),
    ):
        (project / "closed_circuit.hog").write_text(content)
        text = main_text.replace(", css: 14 mm", "")
        (project / "north.hog").write_text(text)
        git(project, "add", "--all")
        git(project, "commit", "--quiet", "--message=a revision")
    (project / "north.hog").write_text(changed(text, [("rate 150 t/h", "rate 160 t/h")]))
    assert why("HEAD~1:north.hog", "north.hog", "tertiary.cone.load") == 0
    out = capsys.readouterr().out
    assert "closed_circuit.hog:9" in out
    assert "north.hog:18" in out
    assert "whole change, the sum of the shares" in out
    assert max(map(len, out.split("\n"))) <= 100
    assert why("HEAD:north.hog", "north.hog", "tertiary.cone.load") == 0
    assert "closed_circuit.hog" not in capsys.readouterr().out


def two(project: Path, after: str, before: str = QUARRY) -> tuple[str, str]:
    for name, text in (("a.hog", before), ("b.hog", after)):
        (project / name).write_text(text)
    return "a.hog", "b.hog"


@pytest.mark.slow
def test_json_holds_everything_and_reads_back(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = two(project, changed(QUARRY, EDITS[2:6]))
    assert why(*names, "secondary.load", "--as", "json") == 0
    text = capsys.readouterr().out
    found = Attribution.model_validate(json.loads(text))
    assert len(found.edits) == 4
    assert sum(edit.share for edit in found.edits) == pytest.approx(found.after - found.before)
    assert why(*names, "secondary.load", "--as", "json") == 0
    assert capsys.readouterr().out == text


@pytest.mark.slow
def test_the_values_are_those_of_a_plain_balance(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = two(project, changed(QUARRY, EDITS[2:6]))
    assert why(*names, "stone.rate + chips.rate", "--as", "json") == 0
    found = json.loads(capsys.readouterr().out)
    for name, key in zip(names, ("before", "after"), strict=True):
        main(["balance", name, "--show", "json"])
        results = json.loads(capsys.readouterr().out)
        rates = {p["tag"]: p["rate_t_h"] for p in results["products"]}
        assert found[key] == pytest.approx(rates["stone"] + rates["chips"], rel=2e-3)


@pytest.mark.slow
def test_markdown_is_a_table_for_a_review(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = two(project, changed(QUARRY, EDITS[2:4]))
    assert why(*names, "secondary.load", "--as", "markdown") == 0
    out = capsys.readouterr().out
    assert out.startswith("# Why secondary.load changed")
    assert re.search(r"\| whole change, the sum of the shares +\|", out)


@pytest.mark.slow
def test_sampled_figures_come_with_their_error(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    more = [
        ("length: 7.2 m", "length: 6.6 m"),
        ("deck second  11 mm", "deck second 10 mm"),
        ("head: 1500 mm", "head: 1400 mm"),
        ("width: 3.0 m, length: 7.8 m", "width: 2.7 m, length: 7.2 m"),
    ]
    names = two(project, changed(QUARRY, (*EDITS, *more)))
    assert why(*names, "sand.rate", "--samples", "4", "--seed", "9") == 0
    out = capsys.readouterr().out
    assert "4 orders with seed 9" in out
    assert max(map(len, out.split("\n"))) <= 100


@pytest.mark.slow
def test_no_edit_is_said_plainly(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names = two(project, QUARRY.replace("    ", "  ").replace("125 mm }", "12.5 cm }"))
    assert why(*names, "secondary.load") == 0
    assert "No edit affects secondary.load." in capsys.readouterr().out


def test_errors_of_the_source_are_shown_as_check_shows_them(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = two(project, changed(QUARRY, [("css     40 mm", "css 400 mm")]))
    assert why(*names, "secondary.load") == 1
    err = capsys.readouterr().err
    assert "in b.hog:" in err
    assert "error E0404" in err
    assert "^^^" in err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["a.hog", "c.hog", "chips.rate"], "`c.hog`: there is no such file"),
        (["a.hog", "nowhere:a.hog", "chips.rate"], "`nowhere:a.hog`: git"),
        (["a.hog", "b.hog", "chip.rate"], "did you mean `chips`"),
        (["a.hog", "lib.hog", "chips.rate"], "`lib.hog` is a library"),
    ],
)
def test_wrong_use_is_told_in_a_sentence(
    project: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    two(project, QUARRY)
    (project / "lib.hog").write_text("let a = 1 mm\n")
    assert why(*arguments) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("option", [["--samples", "1"], ["--samples", "many"], ["--seed", "-1"]])
def test_numbers_out_of_range_are_wrong_use(project: Path, option: list[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        why(*two(project, QUARRY), "chips.rate", *option)
    assert stopped.value.code == 2


@pytest.mark.slow
def test_a_plant_that_cannot_be_balanced_ends_with_three(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Most of the product at 58 mm is coarser than the deck, so the return overloads the screen.
    stuck = [("deck top    50 mm", "deck top 30 mm"), ("css     40 mm", "css 58 mm")]
    names = two(project, changed(QUARRY, stuck))
    assert why(*names, "secondary.load") == 3
    err = capsys.readouterr().err
    assert "in b.hog:" in err
    assert "error E0801" in err


@pytest.mark.slow
def test_a_result_without_a_value_ends_with_three(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    nothing = changed(QUARRY, [("out drain 15 %", "out drain 0 %")])
    names = two(project, nothing)
    assert why(*names, "drain.p80") == 3
    assert "`b.hog`: the result has no value" in capsys.readouterr().err
