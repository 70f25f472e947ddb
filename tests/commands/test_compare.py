"""`hoggin compare` and git's drivers as a user meets them; real git asks and shows."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hoggin.commands.main import main
from tests.repository import Repository
from tests.revise.compare.test_consequences import SPLIT

OTHER = SPLIT.replace("a 30 %", "a 20 %")
LIBRARY = "let share = 30 %\n"
USING = 'use "lib.hog" as lib\n' + SPLIT.replace("a 30 %", "a lib.share")


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    root = tmp_path / "site"
    root.mkdir()
    made = Repository(root)
    made.commit({"plants/split.hog": USING, "plants/lib.hog": LIBRARY})
    monkeypatch.chdir(root)
    return made


def test_two_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, text in (("a.hog", SPLIT), ("b.hog", OTHER)):
        (tmp_path / name).write_text(text)
    assert main(["compare", str(tmp_path / "a.hog"), str(tmp_path / "b.hog")]) == 0
    shown = capsys.readouterr().out
    assert "share a  30 %    20 %" in shown
    assert "met -> NOT MET" in shown and "20 t/h" in shown
    assert "+10.0" in shown and "-10.0" in shown


def test_revisions_with_their_own_libraries(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({"plants/lib.hog": LIBRARY.replace("30", "20")})
    assert main(["compare", "HEAD~1:plants/split.hog", "HEAD:plants/split.hog"]) == 0
    assert "share a  30 %    20 %" in capsys.readouterr().out
    assert main(["compare", "HEAD~1:plants", "plants", "--as", "json"]) == 0
    (entry,) = json.loads(capsys.readouterr().out)["plants"]
    assert (entry["path"], entry["status"]) == ("split.hog", "differs")
    assert [c["what"] for c in entry["comparison"]["changes"]] == ["share a", "share b"]


@pytest.mark.slow
def test_what_must_be_the_same_and_is_not_has_a_code_of_its_own(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    same = ["compare", "HEAD:plants", "plants", "--expect-same"]
    assert main(same) == 0
    (repository.root / "plants/lib.hog").write_text(LIBRARY.replace("30", "31"))
    assert main(same) == 5
    (repository.root / "plants/new.hog").write_text(SPLIT)
    capsys.readouterr()
    assert main(["compare", "HEAD:plants", "plants"]) == 0
    shown = capsys.readouterr().out
    assert "1 differs, 1 added" in shown
    assert re.search(r"^new\.hog +added", shown, re.MULTILINE)


@pytest.mark.slow
def test_one_broken_plant_of_a_folder_does_not_stop_the_rest(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    moved = OTHER.replace('"split"', '"b"')
    repository.commit({"plants/broken.hog": SPLIT, "plants/moved.hog": moved})
    plants = repository.root / "plants"
    (plants / "broken.hog").write_text(SPLIT.replace("f -> s", "f -> nowhere"))
    (plants / "moved.hog").rename(plants / "elsewhere.hog")
    (plants / "lib.hog").write_text(LIBRARY.replace("30", "20"))
    assert main(["compare", "HEAD:plants", "plants"]) == 1
    shown = capsys.readouterr().out
    assert "1 differs, 1 renamed, 1 broken" in shown
    assert "moved.hog is elsewhere.hog now" in shown
    assert "broken.hog: E0201 at plants/broken.hog:" in shown
    assert "split.hog: a.rate >= 25 t/h" in shown  # no longer met
    for form in ("markdown", "json"):
        assert main(["compare", "HEAD:plants", "plants", "--as", form]) == 1
        assert "elsewhere.hog" in capsys.readouterr().out


@pytest.mark.slow
def test_a_difference_too_small_to_be_listed_is_still_a_difference(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.hog").write_text(SPLIT)
    main(["issue", str(tmp_path / "a.hog"), "--into", str(tmp_path / "out")])
    document = json.loads((tmp_path / "out/results.json").read_text())
    document["streams"][0]["p80_mm"] *= 1.0001
    (tmp_path / "b.json").write_text(json.dumps(document))
    files = [str(tmp_path / "out/results.json"), str(tmp_path / "b.json")]
    capsys.readouterr()
    assert main(["compare", *files, "--expect-same"]) == 5
    assert "1 more differ" in capsys.readouterr().out


@pytest.mark.slow
def test_results_and_their_own_plant_are_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.hog").write_text(SPLIT)
    main(["issue", str(tmp_path / "a.hog"), "--into", str(tmp_path / "out")])
    files = [str(tmp_path / "out/results.json"), str(tmp_path / "a.hog")]
    assert main(["compare", *files, "--expect-same", "--min-weight", "0"]) == 0
    assert "NOTHING DIFFERS" in capsys.readouterr().out


@pytest.mark.slow
def test_results_documents_compare_as_plants_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, text in (("a", SPLIT), ("b", OTHER)):
        (tmp_path / f"{name}.hog").write_text(text)
        main(["issue", str(tmp_path / f"{name}.hog"), "--into", str(tmp_path / name)])
    capsys.readouterr()
    documents = [str(tmp_path / name / "results.json") for name in "ab"]
    assert main(["compare", *documents, "--as", "json"]) == 0
    by_document = json.loads(capsys.readouterr().out)
    assert main(["compare", *(str(tmp_path / f"{n}.hog") for n in "ab"), "--as", "json"]) == 0
    by_source = json.loads(capsys.readouterr().out)
    for key in ("changes", "turns"):
        assert by_document[key] == by_source[key]
    told = [
        [(c["subject"], c["what"]) for c in f["consequences"]] for f in (by_document, by_source)
    ]
    assert sorted(told[0]) == sorted(told[1])


@pytest.mark.slow
def test_markdown_fits_a_comment_however_much_differs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    outlets = "".join(f"out o{i} {1.5 - 0.01 * i:.2f} %; " for i in range(60))
    routes = "".join(f"  s.o{i} -> product p{i}\n" for i in range(60))
    wide = SPLIT.replace("out a 30 %;", f"out a 10 %; {outlets}").replace("  s.a", f"{routes}  s.a")
    (tmp_path / "a.hog").write_text(wide)
    (tmp_path / "b.hog").write_text(wide.replace("rate 100 t/h", "rate 300 t/h"))
    paths = [str(tmp_path / name) for name in ("a.hog", "b.hog")]
    assert main(["compare", *paths, "--as", "markdown"]) == 0
    shown = capsys.readouterr().out
    assert len(shown) < 65536  # characters that a comment of the common hosts takes; from memory
    assert "The first 40 of" in shown


@pytest.mark.slow
def test_one_drawing_of_both(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.hog").write_text(SPLIT)
    after = OTHER.replace(
        "s.a -> product a", "bin store { live 10 t }\n  s.a -> store -> product a"
    )
    (tmp_path / "b.hog").write_text(after)
    paths = [str(tmp_path / name) for name in ("a.hog", "b.hog")]
    assert main(["compare", *paths, "--into", str(tmp_path / "drawn")]) == 0
    written = capsys.readouterr().out
    contents = {path.suffix: path.read_bytes() for path in (tmp_path / "drawn").iterdir()}
    assert set(contents) == {".svg", ".pdf", ".png", ".dxf"}
    assert all(str(tmp_path / "drawn" / f"changes{ending}") in written for ending in contents)
    assert contents[".png"].startswith(b"\x89PNG") and contents[".pdf"].startswith(b"%PDF")
    for words in (b"NEW", b"ex ", b"share a 30 % -"):
        assert words in contents[".svg"] and words in contents[".dxf"]


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["a.hog", "missing.hog"], 2, "there is no such file"),
        (["a.hog", "bad.hog"], 1, "E0201"),
        (["a.hog", "lib.hog"], 2, "has no plant"),
        (["a.hog", "folder"], 2, "a plant is compared with a plant"),
        (["a.hog", "wrong.json"], 2, "not a results document"),
        (["folder", "folder", "--into", "out"], 2, "two plants, not two folders"),
        (["HEAD:a.hog", "b.hog"], 2, "git"),
    ],
)
def test_what_can_not_be_compared_is_said_and_nothing_written(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    code: int,
    said: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    files = {
        "a.hog": SPLIT,
        "b.hog": OTHER,
        "bad.hog": SPLIT.replace("rock rock;", "rock sand;"),
        "lib.hog": LIBRARY,
        "folder/c.hog": SPLIT,
        "wrong.json": '{"format_version": 1}',
    }
    for name, text in files.items():
        Path(name).parent.mkdir(exist_ok=True)
        Path(name).write_text(text)
    assert main(["compare", *arguments]) == code
    shown = capsys.readouterr()
    assert said in shown.err
    assert "Traceback" not in shown.err
    assert sorted(p.as_posix() for p in Path().rglob("*") if p.is_file()) == sorted(files)


# -- git's drivers -------------------------------------------------------------------------------


def _configured(repository: Repository, key: str, command: str) -> dict[str, str]:
    """Git with the driver set up; `hoggin` runs from these sources."""
    shim = repository.root.parent / "bin" / "hoggin"
    shim.parent.mkdir(exist_ok=True)
    shim.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m hoggin "$@"\n')
    shim.chmod(0o755)
    repository.commit({".gitattributes": "*.hog diff=hoggin\n"})
    repository.git("config", key, command)
    return {**os.environ, "PATH": f"{shim.parent}{os.pathsep}{os.environ['PATH']}"}


def _difference(repository: Repository, environment: dict[str, str], *arguments: str) -> str:
    git = shutil.which("git")
    assert git is not None
    done = subprocess.run(
        [git, "--no-pager", "diff", *arguments],
        cwd=repository.root / "plants",
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


@pytest.mark.slow
def test_git_diff_speaks_of_the_plant(repository: Repository) -> None:
    environment = _configured(repository, "diff.hoggin.command", "hoggin git-compare")
    plant = repository.root / "plants/split.hog"
    plant.write_text(USING.replace("rate 100", "rate 120"))
    shown = _difference(repository, environment)
    assert "100 t/h  120 t/h" in shown
    repository.git("add", "--all")
    plant.write_text(USING.replace("rate 100", "rate 130"))
    assert "120 t/h  130 t/h" in _difference(repository, environment)  # index to work tree
    assert "100 t/h  120 t/h" in _difference(repository, environment, "--cached")
    repository.git("commit", "--quiet", "--all", "--message=more")
    assert "100 t/h  130 t/h" in _difference(repository, environment, "HEAD~1", "HEAD")


@pytest.mark.slow
def test_git_diff_of_libraries_new_broken_and_moved_files(repository: Repository) -> None:
    environment = _configured(repository, "diff.hoggin.command", "hoggin git-compare")
    folder = repository.root / "plants"
    (folder / "lib.hog").write_text("let share = 25 %\n")
    (folder / "split.hog").write_text(USING.replace("rock rock;", "rock sand;"))
    (folder / "new.hog").write_text(SPLIT)
    repository.git("add", "--all")
    shown = _difference(repository, environment, "HEAD")
    assert "-let share = 30 %" in shown and "+let share = 25 %" in shown
    assert "can't be compared as plants" in shown
    assert "plants/new.hog\nis new" in shown
    repository.git("checkout", "--quiet", "HEAD", "--", ".")
    repository.git("mv", "plants/split.hog", "plants/moved.hog")
    shown = _difference(repository, environment, "HEAD", "--find-renames")
    assert "same plant" in shown


@pytest.mark.slow
def test_git_compares_facts_whatever_their_order_and_units(repository: Repository) -> None:
    environment = _configured(repository, "diff.hoggin.textconv", "hoggin facts")
    plant = repository.root / "plants/split.hog"
    plant.write_text(USING.replace("rate 100 t/h", "rate   100000 kg/h"))
    assert _difference(repository, environment) == ""
    plant.write_text(USING.replace("rate 100 t/h", "rate 110 t/h"))
    changed = [
        line for line in _difference(repository, environment).split("\n") if line[:1] in "+-"
    ]
    assert [line for line in changed if line and line[1:3] not in ("--", "++")] == [
        "-plant: feed f: rate 100 t/h",
        "+plant: feed f: rate 110 t/h",
    ]


def test_facts_of_a_file_that_can_not_be_read_are_its_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = SPLIT.replace("rate 100 t/h;", "rate 100 t/h }}")
    (tmp_path / "a.hog").write_text(broken)
    assert main(["facts", str(tmp_path / "a.hog")]) == 0
    assert capsys.readouterr().out == broken
