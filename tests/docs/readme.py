"""What README shows as printed, made by running the commands.

To put today's output and pictures into it:

    python -m tests.docs.readme
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Mapping
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

from hoggin.commands.main import main

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
PICTURES = ROOT / "docs" / "pictures"
PLANT = ROOT / "examples" / "quarry.hog"
# The faulty plant that README shows the errors of: the example with four slips.
SLIPS = (
    ("css     40 mm", "css     400 mm"),
    ("surge            -> tunnel_feeder", "surge            -> tunel_feeder"),
    ("rate 450 t/h", "rate 450 kW"),
    ("deck bottom 25 mm square", "deck bottom 55 mm square"),
)
# The edit whose comparison README shows, and how small a difference it shows.
EDIT = ("deck top    50 mm square", "deck top    56 mm square")
LEAST = "13"
_COLUMNS = "100"
_SHOWN = {
    "quarry_flowsheet.svg": "out/quarry/flowsheet.svg",
    "quarry_chips.svg": "out/quarry/gradings/chips.svg",
}
_BLOCK = re.compile(r"<!-- printed: (\w+) -->\n```\n.*?```\n", re.DOTALL)


def made(text: str) -> tuple[str, Mapping[str, bytes]]:
    """The page with what is printed today, and today's pictures by name."""
    blocks = {"issue": _issued, "check": _checked, "compare": _compared}
    with tempfile.TemporaryDirectory() as folder, chdir(folder):
        printed = {name: block().strip() for name, block in blocks.items()}
        pictures = {name: Path(path).read_bytes() for name, path in _SHOWN.items()}
    page = _BLOCK.sub(
        lambda found: f"<!-- printed: {found[1]} -->\n```\n{printed.pop(found[1])}\n```\n", text
    )
    assert not printed, f"README has no place for {list(printed)}"
    return page, pictures


def _issued() -> str:
    """The verdicts, without the list of files."""
    _run("example", "quarry")
    code, shown = _run("issue", "quarry.hog")
    assert code == 0, shown
    return shown.partition("\nout/quarry/")[0]


def _checked() -> str:
    text = PLANT.read_text(encoding="utf-8")
    for right, wrong in SLIPS:
        assert right in text
        text = text.replace(right, wrong, 1)
    Path("quarry.hog").write_text(text, encoding="utf-8")
    code, shown = _run("check", "quarry.hog")
    assert code == 1
    return shown


def _compared() -> str:
    """The comparison, from what was changed on."""
    text = PLANT.read_text(encoding="utf-8")
    assert EDIT[0] in text
    Path("before.hog").write_text(text, encoding="utf-8")
    Path("after.hog").write_text(text.replace(*EDIT, 1), encoding="utf-8")
    code, shown = _run("compare", "before.hog", "after.hog", "--min-weight", LEAST)
    assert code == 0, shown
    return shown[shown.index("WHAT WAS CHANGED") :]


def _run(*arguments: str) -> tuple[int, str]:
    """A command's exit code and what it prints, on a terminal of a fixed width."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = _COLUMNS
    kept = StringIO()
    try:
        with redirect_stdout(kept), redirect_stderr(kept):
            return main(arguments), kept.getvalue()
    finally:
        if before is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = before


if __name__ == "__main__":
    page, pictures = made(README.read_text(encoding="utf-8"))
    README.write_text(page, encoding="utf-8")
    for name, content in pictures.items():
        (PICTURES / name).write_bytes(content)
