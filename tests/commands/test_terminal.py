"""What a command prints fits its terminal: no long line, no cut word, colour only where wanted."""

from __future__ import annotations

import io
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoggin.commands.command_line import command_parser
from hoggin.commands.main import main
from hoggin.folding import folded, words, wrapped
from hoggin.paint import SEQUENCE
from hoggin.progress import CLEAR
from hoggin.report import printed, text
from hoggin.report.tables import Document, Table
from hoggin.report.wording import clean
from hoggin.visible import columns
from tests.commands.test_git_compare import PATH, library, plant
from tests.commands.test_main import PLANT
from tests.fit.synthetic import table as measured
from tests.repository import Repository

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDE = 200
# Each command that prints for people, with what is given to it in `folder`.
PRINTED = {
    "start": "start first.hog --feed-rate '300 t/h' --top-size '600 mm' --rock granite "
    "--products '0/4, 4/16, 16/32'",
    "check": "check gravel.hog quarry.hog faulty.hog",
    "balance": "balance gravel.hog",
    "design": "design free.hog --starts 8",
    "mix": "mix gravel.hog astm.c33_57",
    "sweep": "sweep gravel.hog --over 'cone.css 10 mm to 16 mm in 5' --into out/sweep",
    "uncertainty": "uncertainty uncertain.hog --samples 20 --into out/uncertainty",
    "simulate": "simulate small.hog --runs 2 --into out/operation",
    "compare": "compare gravel.hog other.hog --all",
    "why": "why gravel.hog other.hog plant.energy",
    "changes": f"changes site/{PATH} --as terminal",
    "regress": "regress small.hog faulty.hog --no-cache",
    "issue": "issue small.hog --into out/issue",
    "report": "report small.hog --into out/report",
    "import": "import gradings gradings.csv --into lab.hog --overwrite",
    "fit": "fit belt_cuts.csv --class std.cones.high_speed --into ours.hog --overwrite",
    "format": "format --check unlaid.hog",
    "classes": "classes c",
    "plugins": "plugins",
    "explain": "explain E0404",
    "example": "example",
    "docs": "docs",
    "review": "review site --into out/review",
    "repository": "repository plants",
    "editor": "editor",
    "notices": "notices",
}
OTHER_FORMS = {
    "whole balance": "balance quarry.hog --show all",
    "every case": "balance seasons.hog --all-cases",
    "range": "balance gravel.hog --range",
    "grid": "sweep gravel.hog --over 'cone.css 10 mm to 16 mm in 3' "
    "--over 'jaw.css 40 mm to 60 mm in 3' --into out/grid",
    "all codes": "explain",
}
# These print for programs, whose lines are not folded, or serve until they are stopped.
FOR_PROGRAMS = {"completion", "facts", "git-compare", "git-merge", "schema", "reference"}
SERVING = {"bench", "view", "language-server"}


class Terminal(io.StringIO):
    """A stream that is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("terminal")
    (made / "small.hog").write_text(PLANT.replace("%LEAST%", "20"), encoding="utf-8")
    for name in ("gravel", "quarry", "seasons"):
        shutil.copy(EXAMPLES / f"{name}.hog", made)
    gravel = (EXAMPLES / "gravel.hog").read_text(encoding="utf-8")
    assert "css 13 mm" in gravel and gravel.rstrip().endswith("}")
    variants = {
        "other": gravel.replace("css 13 mm", "css 15 mm").replace("css 50 mm", "css 60 mm"),
        "uncertain": gravel.replace("css 13 mm", "css normal(13 mm, 1 mm)"),
        "free": gravel.rstrip()[:-1].replace("css 13 mm", "css free(10 mm to 22 mm)")
        + "  maximize sand.rate\n}\n",
        "unlaid": gravel.replace("  feed", "feed"),
        "faulty": gravel.replace("css 13 mm", f'cs 13 mm; note "{"a long note " * 20}"'),
    }
    for name, source in variants.items():
        (made / f"{name}.hog").write_text(source, encoding="utf-8")
    (made / "belt_cuts.csv").write_text(measured(4), encoding="utf-8")
    (made / "gradings.csv").write_text("sieve mm,A,B\n63,100,100\n31.5,61,72\n4,12,9\n", "utf-8")
    (made / "site").mkdir()
    site = Repository(made / "site")
    site.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    site.commit({PATH: plant(120)})
    return made


@pytest.fixture
def documents(monkeypatch: pytest.MonkeyPatch) -> list[Document]:
    """What is printed as tables, as it is before it is laid out."""
    found: list[Document] = []
    laid_out = text.terminal

    def noted(document: Document, *how: object) -> str:
        found.append(document)
        return laid_out(document, *how)  # type: ignore[arg-type]

    monkeypatch.setattr(text, "terminal", noted)
    return found


def run(command: str, folder: Path, monkeypatch: pytest.MonkeyPatch, width: int) -> str:
    """What is printed to a terminal of a width; 0 is a file."""
    monkeypatch.chdir(folder)
    (folder / "first.hog").unlink(missing_ok=True)
    for name in ("NO_COLOR", "FORCE_COLOR", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(shutil, "get_terminal_size", lambda *_: os.terminal_size((width, 24)))
    stream = Terminal() if width else io.StringIO()
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(sys, "stderr", stream)
    main(shlex.split(command))
    return stream.getvalue()


def without_ink(printed: str) -> str:
    """The lines as they stand in the end: without colour, and without what was wiped."""
    lines = (line.rpartition(CLEAR)[2] for line in printed.split("\n"))
    return SEQUENCE.sub("", "\n".join(lines))


def test_every_command_is_tried_here() -> None:
    named = {command[0] for command in command_parser().commands()}
    assert named == {*PRINTED, *FOR_PROGRAMS, *SERVING}


@pytest.mark.parametrize("command", [*PRINTED.values(), *OTHER_FORMS.values()])
def test_no_line_is_longer_than_the_terminal_and_no_word_is_cut(
    command: str, folder: Path, documents: list[Document], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At 80 columns, and the tables at 200 as well."""
    out = without_ink(run(command, folder, monkeypatch, 80))
    assert out.strip()
    assert too_long(out, 80) == []
    whole = set(out.split())
    for document in list(documents):
        wide = text.terminal(document, WIDE)
        assert too_long(wide, WIDE) == []
        assert set(wide.split()) >= words_of(document)
        assert whole >= words_of(document)


def words_of(document: Document) -> set[str]:
    """Each word of the document's cells, headings, notes and points."""
    found: set[str] = set()
    for table in document.tables:
        for place, column in enumerate(table.columns):
            found |= {word for cell in table.texts(place) for word in cell.split()}
            found |= {*column.heading.split(), *column.unit.split()}
    for section in document.sections:
        found |= set(clean(" ".join((*section.notes, *section.points))).split())
    return found


def too_long(shown: str, width: int) -> list[str]:
    return [line for line in shown.split("\n") if columns(line) > width]


@pytest.mark.parametrize("command", [*PRINTED.values(), *OTHER_FORMS.values()])
def test_a_file_has_no_escape_codes_and_tables_of_80_columns(
    command: str, folder: Path, documents: list[Document], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    out = run(command, folder, monkeypatch, 0)
    assert "\x1b" not in out
    for document in list(documents):
        assert text.terminal(document, 80) in out


@pytest.mark.parametrize(
    "command", ["balance gravel.hog", "check faulty.hog", "regress small.hog --no-cache"]
)
def test_colour_is_used_on_a_terminal_and_says_nothing_of_its_own(
    command: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inked = run(command, folder, monkeypatch, 80)
    assert SEQUENCE.search(inked)
    bare = run(f"{command} --color never", folder, monkeypatch, 80)
    assert not SEQUENCE.search(bare)
    assert without_ink(inked) == without_ink(bare)


@pytest.mark.parametrize(
    ("variables", "options", "terminal", "inked"),
    [
        ({}, "", True, True),
        ({}, "", False, False),
        ({"NO_COLOR": "1"}, "", True, False),
        ({"NO_COLOR": ""}, "", True, True),
        ({"TERM": "dumb"}, "", True, False),
        ({"FORCE_COLOR": "1"}, "", False, True),
        ({"FORCE_COLOR": "1", "NO_COLOR": "1"}, "", True, False),
        ({"NO_COLOR": "1"}, "--color always", False, True),
        ({}, "--color never", True, False),
    ],
)
def test_the_option_then_no_color_then_the_terminal_decide(
    variables: dict[str, str],
    options: str,
    terminal: bool,
    inked: bool,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """no-color.org: colour is left out where NO_COLOR is set and not empty; from memory."""
    real = os.environ.get
    monkeypatch.setattr(os.environ, "get", lambda name, *d: variables.get(name, real(name, *d)))
    out = run(f"check faulty.hog {options}", folder, monkeypatch, 80 if terminal else 0)
    assert bool(SEQUENCE.search(out)) is inked


def test_a_source_text_can_neither_colour_nor_move_the_terminal(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "hostile.hog").write_text('plant "\x1b[31mred\x1b[2J" { x }', encoding="utf-8")
    out = run("check hostile.hog", folder, monkeypatch, 80)
    assert "\x1b[2J" not in out and "\x1b[31mred" not in out


@pytest.mark.parametrize("name", ["gravel", "tutorial/step_5", "cookbook/open_circuit"])
def test_a_balance_of_a_small_plant_fits_a_screen_of_about_forty_lines(
    name: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = run(f"balance {EXAMPLES / name}.hog", folder, monkeypatch, 80)
    assert len(out.splitlines()) <= 45


@pytest.mark.parametrize("name", ["quarry", "twins", "sand", "gravel", "tutorial/step_4"])
@pytest.mark.parametrize("what", ["summary", "everything"])
def test_nothing_is_printed_twice(name: str, what: str) -> None:
    """No note, no section, and no result of a thing in two tables of a run."""
    from hoggin.api.plant import load

    results = load(EXAMPLES / f"{name}.hog").balance().document
    whole = printed.summary(results, "") if what == "summary" else printed.everything(results)
    said = [note for section in whole.sections for note in (*section.notes, *section.points)]
    assert sum("not guarantees" in note for note in said) == 1
    assert len(said) == len(set(said)), [one for one in said if said.count(one) > 1]
    headings = [section.heading for section in whole.sections]
    assert len(headings) == len(set(headings))
    seen: set[tuple[str, str, str]] = set()
    for table in whole.tables:
        found = [set(numbers_of(table, place)) for place in range(table.keys, len(table.columns))]
        for numbers in filter(None, found):
            assert len(numbers & seen) <= len(numbers) / 2, (table.title, numbers & seen)
        seen = seen.union(*found)


def numbers_of(table: Table, place: int) -> Iterator[tuple[str, str, str]]:
    """The numbers of a column: of which thing, what, and how much."""
    column = table.columns[place]
    for row, said in zip(table.rows, table.texts(place), strict=True):
        if column.numeric and row[place] is not None:
            yield str(row[0]), column.full_heading, said


def test_a_real_terminal_sets_the_width(folder: Path) -> None:
    """Through a pseudo-terminal of the system, 120 columns wide."""
    pty = pytest.importorskip("pty")
    import fcntl
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 120, 0, 0))
    command = [sys.executable, "-m", "hoggin", "balance", "quarry.hog", "--show", "balance"]
    unset = ("COLUMNS", "NO_COLOR", "FORCE_COLOR")
    environment = {name: value for name, value in os.environ.items() if name not in unset}
    with subprocess.Popen(
        command, cwd=folder, stdin=subprocess.DEVNULL, stdout=theirs, stderr=theirs,
        env={**environment, "TERM": "xterm"},
    ) as process:  # fmt: skip
        os.close(theirs)
        out = b"".join(iter(lambda: _read(ours), b""))
    os.close(ours)
    assert process.returncode == 0
    shown = without_ink(out.decode().replace("\r\n", "\n"))
    assert 100 < max(map(columns, shown.split("\n"))) <= 120
    assert SEQUENCE.search(out.decode())


def _read(terminal: int) -> bytes:
    try:
        return os.read(terminal, 65536)
    except OSError:  # the other side is closed
        return b""


@pytest.mark.parametrize(
    ("said", "lines"),
    [
        ("rock of 12 mm and more", ["rock of", "12 mm and", "more"]),
        ("a_word_wider_than_ten b", ["a_word_wid", "er_than_te", "n b"]),
        ("砕石 砕石 砕石", ["砕石 砕石", "砕石"]),  # each letter takes two columns
        ("", [""]),
    ],
)
def test_words_wrap_by_columns_and_a_number_keeps_its_unit(said: str, lines: list[str]) -> None:
    assert wrapped(said, 10) == lines


def test_a_short_line_keeps_its_blanks_and_a_long_one_its_indent() -> None:
    assert folded("a   b", 10) == "a   b"
    assert folded("  one two three", 10) == "  one two\n    three"
    assert words("2 of 5, 96 % full") == ["2 of", "5,", "96 %", "full"]
