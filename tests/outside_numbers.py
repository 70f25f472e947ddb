"""Numbers of ours that are checked against an outside source, each declared once.

To add one: open the module of its topic in `tests/outside/`, or make a module of your own there (it
is found by itself, nothing else has to be edited; its docstring's first line is its heading), and
add a line to its tuple `NUMBERS`:

    OutsideNumber(
        "Bond: 10 mm to 100 um at Wi 14",  # what it is, with the case it holds for
        "Bond (1952), by hand",  # the named source
        "by hand",  # one of `Basis`: how the outside value came to us
        12.6, "kWh/t", 1e-9,  # value, unit, greatest |ours - value| allowed
        lambda: float(bond_energy_kwh_t(10.0, 0.1, 14.0)[0]),  # computes ours
    )

The value is typed from the source, never copied from our own output. Then write the page anew:

    python -m tests.outside_numbers docs/outside_numbers.md

`test_outside_numbers.py` asserts each line and that the page is up to date.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

Basis = Literal["looked up", "memory", "definition", "by hand", "library", "common practice"]

MEANING: dict[Basis, str] = {
    "looked up": "read in the named source or a public reproduction of it",
    "memory": "the named source as remembered; not looked up",
    "definition": "exact by the definition of a unit or of the quantity",
    "by hand": "worked by hand from the named equation or law, whose form is known",
    "library": "computed by a general-purpose library other than ours",
    "common practice": "a rule of the trade; no source",
}


@dataclass(frozen=True)
class OutsideNumber:
    """An outside value, and the call that computes ours."""

    name: str
    source: str
    basis: Basis
    value: float
    unit: str
    tolerance: float  # greatest |ours - value|, in `unit`
    ours: Callable[[], float]


@dataclass(frozen=True)
class Topic:
    heading: str
    numbers: tuple[OutsideNumber, ...]


def topics() -> tuple[Topic, ...]:
    """Every module of `tests/outside/` with its numbers, in the order of the modules' names."""
    package = importlib.import_module("tests.outside")
    names = sorted(module.name for module in pkgutil.iter_modules(package.__path__))
    modules = [importlib.import_module(f"tests.outside.{name}") for name in names]
    return tuple(
        Topic((module.__doc__ or "").splitlines()[0].rstrip("."), tuple(module.NUMBERS))
        for module in modules
    )


def page() -> str:
    """docs/outside_numbers.md: deviations are computed here, none is typed."""
    found = topics()
    count = sum(len(topic.numbers) for topic in found)
    lines = [
        "<!-- Made by `python -m tests.outside_numbers docs/outside_numbers.md`; "
        "change tests/outside/, not this page. -->",
        "# Checked against outside numbers",
        "",
        f"{count} numbers that do not come from this project, and what Hoggin makes of them. Each "
        "is asserted on every test run. How the outside value came to us:",
        "",
        *(f"- *{basis}*: {meaning}" for basis, meaning in MEANING.items()),
        "",
        "A deviation below a millionth of a per cent is shown as 0. This is no proof that a "
        "prediction for your rock is right; see [Methods](methods.md) for when not to rely on "
        "one.",
    ]
    for topic in found:
        lines += ["", f"## {topic.heading}", "", *_table(topic)]
    return "\n".join(lines) + "\n"


def _table(topic: Topic) -> list[str]:
    rows = [
        "| what | source | basis | outside value | ours | deviation | allowed |",
        "|---|---|---|--:|--:|--:|--:|",
    ]
    for number in topic.numbers:
        ours = number.ours()
        cells = (
            number.name,
            number.source,
            number.basis,
            f"{_figure(number.value)} {number.unit}".strip(),
            _figure(ours),
            _deviation(ours, number.value),
            _figure(number.tolerance),
        )
        rows.append("| " + " | ".join(cells) + " |")
    return rows


def _figure(value: float) -> str:
    """Six digits, and no dust of floating point around nought."""
    return "0" if abs(value) < 1e-14 else f"{value:.6g}"


def _deviation(ours: float, value: float) -> str:
    if value == 0.0:
        return _figure(ours)
    per_cent = 100.0 * (ours - value) / abs(value)
    return "0 %" if abs(per_cent) < 1e-6 else f"{per_cent:+.2g} %"


if __name__ == "__main__":
    (target,) = sys.argv[1:]
    Path(target).write_text(page(), encoding="utf-8")
