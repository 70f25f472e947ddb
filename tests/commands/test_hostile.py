"""Hostile texts and names of files, from the source to every output, as the command line has it."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import unicodedata
import xml.etree.ElementTree as ElementTree
from html.parser import HTMLParser
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.commands.output import seen

# Each is what some reader would run or be led astray by. A text of the language holds no `"` and
# no line break; all else it takes.
TEXTS = (
    "<script>alert(1)</script>",
    "'><img src=x onerror=alert(1)>",
    "=HYPERLINK('http://x.invalid','y')",
    "+1+1",
    "-2+3",
    "@SUM(1)",
    "\t=1+1",
    "\x0b=1+1",
    "|cmd' /C calc'!A0",
    "[l](javascript:alert(1)) ![i](http://x.invalid/x.png) | a | `b`",
    "# heading",
    "<http://x.invalid/a>",
    "]]> <![CDATA[ x",
    "&lt;b&gt; &amp; &#x3c;",
    "%s {0} {{ 7*7 }} {% raw %} {# c #}",
    "\\N \\G <TABLE><TR> ];x[label=<b>,URL=x",
    "<svg onload=alert(1)><math>",
    "$\\frac{1}{0}$ $",
    "\u202eabc\u200b\u2066",
    "NUL\0NUL \x1b]0;x\x07\x1b[31m \x7f\x9b31m",
    "\x85\u2028\u2029\ufeff\ufffe\uffff\U000e0001",
    "\N{GRINNING FACE} \u6f22\u5b57",
    "CON ../../x --> <!-- x </style></title>",
)
ALL = " ".join(TEXTS)
SEEN_LESS = ("Cc", "Cf", "Cs", "Zl", "Zp")


def plant(text: str) -> str:
    """An invented plant with the text in every place that takes one."""
    return f"""
use std.screens
use std.sieves
material granite {{
  solid_density 2.68 t/m3; bulk_density 1.6 t/m3; work_index 15.5 kWh/t
  abrasion_index 0.45; moisture 1.5 %
}}
band mine {{ about "{text}"; source "{text}"; passing {{ 16 mm: 100 %, 8 mm: 0 % to 100 % }} }}
grading pit {{
  about "{text}"
  source "{text}"
  passing {{ 90 mm: 100 %, 63 mm: 80 %, 31.5 mm: 40 %, 8 mm: 10 %, 1 mm: 2 % }}
}}
class crusher our(head: 600 mm to 2000 mm source "{text}", mark: text = "{text}") {{
  about "{text}"
  setting css: 8 mm to 40 mm source "{text}"
  setting remark: text = "{text}"
  feed_opening 0.2 * head  source "{text}"
  max_reduction_ratio 8
  installed_power 600 kW
  source "{text}"
  rule css <= 20 mm else "{text}"
  model breakage: matrix {{ k1 0.7 * css; k2 2.2 * css; k3 2.3  source "{text}" }}
  model capacity: rated {{ rated 900 t/h }}
  model power: bond {{ efficiency 80 % }}
  caution "{text}"
}}
template part(what: text = "{text}") {{
  in rock
  out done
  crusher cone: our(head: 1300 mm, mark: what) {{ css 14 mm; remark what }}
  rock -> cone -> done
}}
plant "{text}" {{
  revision "{text}"
  sieves sieves.quarry
  feed rock {{ rock granite; rate 200 t/h; passing pit; tramp 20 mm }}
  section sec: part(what: "{text}")
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) {{ deck top 16 mm; deck bottom 8 mm }}
  rock -> sizing
  sizing.top.over -> sec
  sec.done -> sizing
  sizing.bottom.over -> chips
  sizing.under -> sand
  product chips {{ title "{text}" }}
  product sand {{ title "{text}" }}
  require chips meets mine
  require sand.share <= 90 %
  history {{ "A": "{text}"
    "{text}": "{text}" }}
}}
"""


class Tags(HTMLParser):
    """Gathers what of a page could run or reach out."""

    def __init__(self) -> None:
        super().__init__()
        self.live: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("script", "iframe", "object", "embed", "math", "link", "base"):
            self.live.append(tag)
        for name, value in attrs:
            there = (value or "").strip().lower()
            if name.startswith("on") or there.startswith("javascript:"):
                self.live.append(f"{tag} {name}")
            if name in ("src", "href", "xlink:href", "action") and not there.startswith(
                ("#", "data:")
            ):
                self.live.append(f"{tag} {name}={value}")


def odd(text: str) -> set[str]:
    """What stands in a text unseen and may work on a terminal."""
    return {c for c in text if unicodedata.category(c) in SEEN_LESS and c not in "\n\t"}


def assert_inert(folder: Path) -> None:
    """No drawing under a folder runs or reaches out, no cell is a formula, no line markup."""
    for drawing in folder.rglob("*.svg"):
        for element in ElementTree.fromstring(drawing.read_text()).iter():
            assert element.tag.rpartition("}")[2] not in ("script", "a", "image", "foreignObject")
            assert not [name for name in element.attrib if name.lower().startswith("on")]
            links = [to for name, to in element.attrib.items() if name.endswith("href")]
            assert all(to.startswith("#") for to in links)
    for table in folder.rglob("*.csv"):
        for row in csv.reader(io.StringIO(table.read_text())):
            for cell in row:
                number = re.fullmatch(r"-?[\d.]+(e[+-]?\d+)?", cell)
                assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell
    for page in folder.rglob("*.md"):
        for line in page.read_text().splitlines():
            line = re.sub(r"(?<!\\)(`+).*?(?<!`)\1(?!`)", "", line)  # what is shown as code
            assert not re.search(r"(?<!\\)<\w|(?<!\\)\]\(|^\s*#[^# ]", line), line


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plant.hog").write_text(plant(ALL))
    (tmp_path / "plain.hog").write_text(plant("plain"))
    return tmp_path


@pytest.mark.slow
@pytest.mark.usefixtures("here")
@pytest.mark.parametrize(
    "command",
    [
        ["check", "plant.hog"],
        ["balance", "plant.hog"],
        ["balance", "--show=json", "plant.hog"],
        ["issue", "plant.hog"],
        ["report", "plant.hog"],
        ["mix", "plant.hog", "mine"],
        ["simulate", "plant.hog"],
        ["facts", "plant.hog"],
        ["format", "--check", "plant.hog"],
        ["compare", "plain.hog", "plant.hog"],
        ["compare", "plain.hog", "plant.hog", "--as=markdown"],
        ["compare", "plain.hog", "plant.hog", "--as=json"],
        ["why", "plain.hog", "plant.hog", "sand.share"],
        ["explain", "\x1b[31m"],
        ["classes", "\x1b[31m"],
        ["check", "\x1b[31m.hog"],
    ],
    ids=lambda command: " ".join(command)[:32].replace("\x1b", "ESC"),
)
def test_nothing_printed_works_on_the_terminal(
    command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    main(command)
    shown = capsys.readouterr()
    assert shown.out + shown.err
    assert odd(shown.out + shown.err) == set()


@pytest.mark.slow
@pytest.mark.usefixtures("here")
def test_json_printed_is_the_same_json(capsys: pytest.CaptureFixture[str]) -> None:
    main(["balance", "--show=json", "plant.hog"])
    assert json.loads(capsys.readouterr().out)["title"] == ALL


def test_two_texts_that_differ_in_an_unseen_sign_differ_where_shown() -> None:
    assert seen("a\u202eb\U000e0001") == "a\\u202eb\\udb40\\udc01"
    assert seen("a\u200bb") != seen("ab")
    assert seen("plain\ttext\n\N{GRINNING FACE}") == "plain\ttext\n\N{GRINNING FACE}"


@pytest.mark.slow
def test_what_issue_writes_is_inert(here: Path) -> None:
    assert main(["issue", "plant.hog", "--into", "out"]) == 0
    assert len(list(here.glob("out/**/*.svg"))) >= 4
    assert len(list(here.glob("out/*.csv"))) >= 5
    assert_inert(here / "out")


@pytest.mark.slow
def test_no_cell_of_a_workbook_is_a_formula_made_of_text(here: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    assert main(["issue", "plant.hog", "--into", "out"]) == 0
    assert main(["report", "plant.hog", "--into", "out"]) == 0
    books = sorted(here.glob("out/*.xlsx"))
    assert len(books) == 3
    for book in books:
        for sheet in openpyxl.load_workbook(book).worksheets:
            for row in sheet.iter_rows():
                for cell in row:
                    if cell.data_type == "f":  # the sums of the package are ours
                        assert "HYPERLINK" not in str(cell.value) and "cmd" not in str(cell.value)
                    assert cell.hyperlink is None or not cell.hyperlink.target


@pytest.mark.slow
def test_the_report_runs_nothing_and_reaches_nowhere(here: Path) -> None:
    assert main(["report", "plant.hog", "--into", "out"]) == 0
    page = Tags()
    page.feed((here / "out" / "report.html").read_text())
    assert page.live == []


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="names of files are text there")
@pytest.mark.parametrize(
    "name",
    [b"\xff\xfe.hog", b"\x1b]0;x\x07.hog", b"=1+1.hog", b"-h.hog", "\u202egoh.hog".encode(),
     b"a\nb.hog", b"<script>.hog", b"%s{{7*7}}.hog", b"CON.hog"],
)  # fmt: skip
def test_a_plant_may_have_any_name_of_a_file(
    name: bytes, here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "lib").mkdir()
    (here / "lib" / "ours.hog").write_text("let wide = 2.4 m\n")
    source = 'use "lib/ours.hog" as ours\n' + plant("plain").replace("2.4 m", "ours.wide")
    file = "./" + os.fsdecode(name)
    Path(file).write_text(source)
    commands = (["issue", file], ["report", file], ["simulate", file], ["format", file])
    for command in (*commands, ["compare", file, "plain.hog"], ["check", file]):
        assert main(command) == 0, command
    told = capsys.readouterr()
    assert odd(told.out + told.err) == set()


def test_a_plant_called_as_the_library_may_use_files_of_its_own(here: Path) -> None:
    (here / "ours.hog").write_text("let wide = 2.4 m\n")
    source = 'use "ours.hog" as ours\n' + plant("plain").replace("2.4 m", "ours.wide")
    (here / "std.hog").write_text(source)
    assert main(["check", "std.hog"]) == 0


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize("letters", ["ascii", "latin-1", "cp1252", "utf-8"])
def test_a_terminal_of_few_letters_is_no_fault(
    letters: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = io.BytesIO()
    screen = io.TextIOWrapper(written, encoding=letters, errors="strict")
    monkeypatch.setattr("sys.stdout", screen)
    assert main(["check", "plant.hog"]) == 0
    screen.flush()
    assert b"no errors" in written.getvalue()
