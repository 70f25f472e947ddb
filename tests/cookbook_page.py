"""The cookbook's page and pictures, made from `examples/cookbook/` by balancing it, and the
tutorial's picture.

To regenerate them:

    python -m tests.cookbook_page
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.svg import svg
from hoggin.schema.results import MachineResult, Results
from tests.documented import documented

ROOT = Path(__file__).parents[1]
PLANTS = ROOT / "examples" / "cookbook"
PAGE = ROOT / "docs" / "cookbook.md"
PICTURES = ROOT / "docs" / "pictures" / "cookbook"
LAST_STEP = ROOT / "examples" / "tutorial" / "step_6.hog"
TUTORIAL_PICTURE = ROOT / "docs" / "pictures" / "tutorial" / "step_6.svg"

# From the simplest circuit to the most complex.
ORDER = (
    "open_circuit",
    "scalping",
    "tramp_guard",
    "closed_one_screen",
    "reversed_closed",
    "split_decks",
    "surge_pile",
    "shape_impactor",
    "fines_crushing",
    "pressed_sand",
    "washed_gravel",
    "made_to_order",
    "parallel_lines",
    "blend_to_band",
)
_HEAD = """\
<!-- Made by `python -m tests.cookbook_page`; change examples/cookbook, not this page. -->
# Cookbook: common circuits

Each example is a small, complete plant that runs. Copy its file from `examples/cookbook/`, enter
your own feed and change it. Places, rock and figures are invented. The advice is common practice,
no source. The figures are predictions for design, not guarantees. Local codes, the makers'
instructions and licensed practice govern. To balance one of them:

```sh
hoggin balance examples/cookbook/open_circuit.hog
```

"""


def page() -> str:
    """The whole page, in Markdown."""
    contents = "".join(f"- [{_name(stem)}](#{_anchor(_name(stem))})\n" for stem in ORDER)
    return _HEAD + contents + "\n" + "\n".join(_chapter(stem) for stem in ORDER)


def pictures() -> dict[str, bytes]:
    """The flowsheets by file name."""
    return {f"{stem}.svg": _drawn(results(stem)) for stem in ORDER}


def tutorial_picture() -> bytes:
    """The flowsheet of the tutorial's last step."""
    return _drawn(_balanced(LAST_STEP))


def _drawn(plant: Results) -> bytes:
    """The first sheet."""
    return svg(flowsheet(documented(plant)))[0]


@cache
def results(stem: str) -> Results:
    """A plant of the cookbook, balanced and rated."""
    return _balanced(PLANTS / f"{stem}.hog")


def _balanced(path: Path) -> Results:
    checked = check_file(path)
    assert checked.plant is not None, checked.diagnostics
    return rate(checked.plant, balance(checked.plant), path.relative_to(ROOT).as_posix())


def _name(stem: str) -> str:
    return results(stem).title


def _anchor(title: str) -> str:
    kept = "".join(letter for letter in title.lower() if letter.isalnum() or letter in " -")
    return kept.replace(" ", "-")


def _chapter(stem: str) -> str:
    plant = results(stem)
    paragraphs = [f"## {plant.title}\n", *_words(stem)]
    paragraphs.append(f"File: [{stem}.hog](../examples/cookbook/{stem}.hog)\n")
    paragraphs.append(f"![Flowsheet: {plant.title}](pictures/cookbook/{stem}.svg)\n")
    products = "; ".join(
        f"{product.title} {product.rate_t_h:.1f} t/h" for product in plant.products
    )
    loads = "; ".join(
        f"`{machine.tag}` {_loaded(machine)}"
        for machine in plant.machines
        if machine.kind == "crusher"
    )
    paragraphs.append(f"Feed {plant.feed_t_h:.0f} t/h. Products: {products}.\n")
    if loads:
        paragraphs.append(f"Crushers: {loads}.\n")
    return "\n".join(paragraphs)


def _loaded(machine: MachineResult) -> str:
    assert machine.load is not None
    return f"{machine.feed_t_h:.1f} t/h, load {100 * machine.load:.0f} %"


def _words(stem: str) -> list[str]:
    """The paragraphs of the comment at the file's top."""
    text = (PLANTS / f"{stem}.hog").read_text(encoding="utf-8")
    lines = []
    for line in text.splitlines():
        if not line.startswith("#"):
            break
        lines.append(line.removeprefix("#").strip())
    return [
        paragraph.replace("For: ", "**For:** ", 1).replace("Not for: ", "**Not for:** ", 1) + "\n"
        for paragraph in _paragraphs(lines)
    ]


def _paragraphs(lines: list[str]) -> list[str]:
    found: list[list[str]] = [[]]
    for line in lines:
        if not line or line.startswith(("For: ", "Not for: ")):
            found.append([])
        if line:
            found[-1].append(line)
    return ["\n".join(paragraph) for paragraph in found if paragraph]


def main() -> None:
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name, content in pictures().items():
        (PICTURES / name).write_bytes(content)
    PAGE.write_text(page(), encoding="utf-8")
    TUTORIAL_PICTURE.parent.mkdir(parents=True, exist_ok=True)
    TUTORIAL_PICTURE.write_bytes(tutorial_picture())


if __name__ == "__main__":
    main()
