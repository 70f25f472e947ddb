"""`hoggin simulate` from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.errors import Exit
from tests.studies.simulate.sample import documented, small

FILES = [
    "hours.csv",
    "levels.csv",
    "lost.csv",
    "operation.json",
    "operation.md",
    "operation.svg",
    "products.csv",
    "repairs.csv",
    "shown_run.csv",
    "stores.csv",
]


def kept(tmp_path: Path, text: str) -> str:
    (tmp_path / ".git").mkdir(exist_ok=True)
    path = tmp_path / "plant.hog"
    path.write_text(text, encoding="utf-8")
    return str(path)


@pytest.mark.slow
def test_the_documented_plant_is_run_and_its_files_are_the_same_each_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    file = kept(tmp_path, documented())
    options = ["--for", "2 shifts", "--runs", "10"]
    assert main(["simulate", file, *options]) == Exit.DONE
    assert "ANSWER" in capsys.readouterr().out
    folder = tmp_path / "out" / "plant" / "operation"
    assert sorted(path.name for path in folder.iterdir()) == FILES
    assert main(["simulate", file, *options, "--into", "again"]) == Exit.DONE
    for name in FILES:
        assert (folder / name).read_bytes() == (tmp_path / "again" / name).read_bytes()


@pytest.mark.slow
def test_another_seed_is_another_run(tmp_path: Path) -> None:
    file = kept(tmp_path, documented())
    for seed in ("1", "2"):
        into = str(tmp_path / seed)
        assert main(["simulate", file, "--runs", "2", "--seed", seed, "--into", into]) == Exit.DONE
    one, other = ((tmp_path / seed / "products.csv").read_bytes() for seed in ("1", "2"))
    assert one != other


@pytest.mark.parametrize("span", ["1 fortnight", "0 h", "2 shifts"])
def test_a_span_that_cannot_be_run_is_wrong_use(
    span: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = kept(tmp_path, small("f -> product p"))
    assert main(["simulate", file, "--for", span, "--into", str(tmp_path / "none")]) == Exit.USE
    assert "Traceback" not in capsys.readouterr().err
    assert not (tmp_path / "none").exists()


def test_faults_end_as_in_the_other_commands(tmp_path: Path) -> None:
    assert main(["simulate", str(tmp_path / "missing.hog")]) == Exit.USE
    assert main(["simulate", kept(tmp_path, "let a = 1 mm")]) == Exit.USE
    assert main(["simulate", kept(tmp_path, small("f -> nowhere"))]) == Exit.SOURCE
    loop = (
        "screen s: screens.inclined(width: 2 m, length: 6 m) { deck top 5 mm square }\n"
        "crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; css 40 mm; chamber coarse }\n"
        "f -> s\ns.over -> c -> s\ns.under -> product p"
    )
    assert main(["simulate", kept(tmp_path, small(loop))]) in (Exit.UNBALANCED, Exit.SOURCE)
