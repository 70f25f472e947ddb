"""Two revisions of the example quarry, of which the earlier is invented here, and their drawing.

To regenerate the picture of `docs/revisions.md`:

    python -m tests.report.drawing.revised_quarry
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from hoggin.balancing import rated
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.report.drawing.svg import svg
from hoggin.report.revised.drawing import compared
from hoggin.revise.compare import Comparison, Side, compare
from hoggin.schema.results import Results
from hoggin.world import World
from tests.documented import documented

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
QUARRY = (EXAMPLES / "quarry.hog").read_text()
PICTURE = ROOT / "docs" / "pictures" / "quarry_changes.svg"


@dataclass(frozen=True)
class Pair:
    before: Results
    after: Results

    def compared(self, threshold: float = 1.0) -> Comparison:
        assert self.before.plant is not None and self.after.plant is not None
        sides = (Side("before", self.before.plant, self.before),
                 Side("after", self.after.plant, self.after))  # fmt: skip
        return compare(*sides, threshold)


def results_of(text: str, name: str = "quarry.hog") -> Results | None:
    checked = check(World(EXAMPLES / name), Source(name, text))
    found = rated(checked) if checked.plant is not None else None
    return found if isinstance(found, Results) else None


def quarry(*edits: tuple[str, str]) -> Results:
    text = QUARRY
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    found = results_of(text)
    assert found is not None
    return found


EARLIER = (
    ('revision "C"', 'revision "B"'),
    ("css     40 mm", "css 44 mm"),
    ("deck bottom 25 mm square", "deck bottom 28 mm square"),
    ("crusher secondary:", "crusher second:"),
    ("-> secondary ->", "-> second ->"),
    ("require secondary", "require second"),
    ("sorting.under         -> halves", "bin fine { live 9 t }\n sorting.under -> fine -> halves"),
    ("splitter order_book { out drain 15 %; out onward rest }", ""),
    ("sorting.bottom.over -> order_book", "sorting.bottom.over -> oversize"),
    ("order_book.drain    -> drain\n", "\n"),
    ("order_book.onward   -> oversize\n", "\n"),
    ('product drain { title "25/50 drain stone" }', ""),
)  # fmt: skip


@cache
def revised_quarry() -> Pair:
    """With a machine that is new, one that is gone, one that is renamed, and routes elsewhere."""
    return Pair(quarry(*EARLIER), quarry())


def picture() -> bytes:
    pair = revised_quarry()
    shown = Pair(documented(pair.before), documented(pair.after))
    return svg(compared(shown.before, shown.after, shown.compared()))[0]


if __name__ == "__main__":
    PICTURE.write_bytes(picture())
