"""Check a text as if it were a file; the smallest plant the tests build on."""

from __future__ import annotations

from pathlib import Path

from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Plant
from hoggin.world import World

FIXTURES = Path(__file__).parents[1] / "fixtures"
_NOWHERE = World(Path("/nowhere/plant.hog"))  # no files but the compiler's own library

LIBRARIES = """\
use std.cones
use std.screens
use std.sieves
"""
MATERIAL = """\
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
"""
FEED = """\
  sieves { 63 mm, 20 mm, 5 mm }
  feed rock { rock granite; rate 200 t/h; passing { 200 mm: 100 %, 50 mm: 40 % } }
"""


def check_text(text: str) -> Checked:
    return check(_NOWHERE, Source("plant.hog", text))


def codes(text: str) -> list[str]:
    """The codes reported for a text, in the order of their places."""
    return [found.code for found in check_text(text).diagnostics]


def plant_of(text: str) -> Plant:
    """The plant of a text without errors."""
    checked = check_text(text)
    assert not checked.has_errors, [(d.code, d.span.line, d.message) for d in checked.diagnostics]
    assert checked.plant is not None
    return checked.plant


def small_plant(body: str, above: str = "") -> str:
    """A plant file with a feed `rock` of `granite`, and more lines in the plant or above it."""
    return f'{LIBRARIES}{MATERIAL}{above}\nplant "Hill" {{\n{FEED}{body}\n}}\n'
