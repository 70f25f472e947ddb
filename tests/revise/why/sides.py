"""Two revisions of a plant for tests: small ones whose results are known by hand, and the main
example with a list of edits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from hoggin.revise.why import Attribution, Side, attribute, read_side
from hoggin.world import World

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
QUARRY = (EXAMPLES / "quarry.hog").read_text(encoding="utf-8")

MATERIAL = """\
use std.cones
use std.screens
use std.sieves
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
"""

# Edits to the main example, in the order of their lines, each one line of it.
EDITS = (
    ("moisture       1.5 %", "moisture 2 %"),
    ("let tertiary_setting = 15 mm", "let tertiary_setting = 14 mm"),
    ("rate 450 t/h", "rate 470 t/h"),
    ("250 mm:  56 %", "250 mm: 60 %"),
    ("deck top    50 mm square", "deck top 45 mm"),
    ("css     40 mm", "css 36 mm"),
    ("out drain 15 %", "out drain 20 %"),
    ("speed   1050 rpm", "speed 1000 rpm"),
)


def changed(text: str, edits: Iterable[tuple[str, str]]) -> str:
    """The text with some pieces replaced, each of which is found first."""
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def side(folder: Path, text: str | Mapping[str, str]) -> Side:
    """A plant of one file, or of several by name, the plant's own first."""
    files = {"hill.hog": text} if isinstance(text, str) else text
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8")
    read = read_side(folder.name, World(folder / next(iter(files))))
    assert not read.checked.has_errors, [d.message for d in read.checked.diagnostics]
    return read


def sides(
    folder: Path, before: str | Mapping[str, str], after: str | Mapping[str, str]
) -> tuple[Side, Side]:
    return side(folder / "before", before), side(folder / "after", after)


def attributed(
    folder: Path,
    before: str | Mapping[str, str],
    after: str | Mapping[str, str],
    result: str,
    samples: int | None = None,
) -> Attribution:
    old, new = sides(folder, before, after)
    return attribute(old, new, result, samples=samples)


def shares(found: Attribution) -> dict[str, float]:
    """Shares by the words of each edit."""
    return {"; ".join(edit.changes): edit.share for edit in found.edits}


def feeds_and_splitters(rates: Iterable[float], parts: Iterable[float]) -> str:
    """Feeds that meet and run through splitters one behind the other: what comes out as `best` is
    the sum of the rates times the product of the parts."""
    lines = [MATERIAL.replace("use std.cones\nuse std.screens\n", "")]
    lines += ['plant "Hill" {', "  sieves sieves.quarry", "  blend all"]
    for i, rate in enumerate(rates):
        lines += [
            f"  feed rock{i} {{ rock granite; rate {rate:g} t/h",
            "    passing { 63 mm: 100 %, 20 mm: 50 %, 4 mm: 10 % } }",
            f"  rock{i} -> all",
        ]
    last = "all"
    for i, part in enumerate(parts):
        lines += [
            f"  splitter s{i} {{ out on {part:g} %; out off rest }}",
            f"  {last} -> s{i}",
            f"  s{i}.off -> product left{i}",
        ]
        last = f"s{i}.on"
    return "\n".join([*lines, f"  {last} -> product best", "}\n"])
