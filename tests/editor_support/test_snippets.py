"""Every snippet, expanded as the editor expands it, is held to the compiler."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from editor_support.words import keywords

from hoggin.commands.main import main
from hoggin.diagnostics.source import Source
from hoggin.syntax.layout.layout import laid_out
from hoggin.world import library_names
from tests.check.reading import check_text
from tests.editor_support.engines import VSCODE

SNIPPETS: dict[str, Any] = json.loads((VSCODE / "snippets/hoggin.json").read_text())

# Invented surroundings in which a snippet stands in place of the line `@`.
_ABOVE = """\
use std.cones
use std.conveyors
use std.feeders
use std.screens
use std.sieves
use std.washing
use std.gradings.astm
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
"""
_FEED = (
    "feed rock { rock granite; rate 100 t/h; passing { 80 mm: 100 %, 20 mm: 32 %, 4 mm: 11 % } }"
)
_CONE = "crusher cone: cones.high_speed(head: 1300 mm) { duty tertiary; css 16 mm }"
_SIZING = "screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 20 mm square }"
_CIRCUIT = "rock -> sizing; sizing.top.over -> cone -> sizing; sizing.under -> product stone"


def _plant(*body: str, above: str = "") -> str:
    lines = "\n".join(body)
    return f'{_ABOVE}{above}\nplant "Hill" {{\nsieves sieves.quarry\n{lines}\n}}\n'


def _through(name: str) -> str:
    return _plant(_FEED, "@", f"rock -> {name} -> product stone")


_BARE = _plant(_FEED, _CONE, _SIZING, _CIRCUIT)
_WHOLE = _plant(_FEED, _CONE, _SIZING, _CIRCUIT, "@")
_OF_A_CLASS = """\
class crusher ours(head: 900 mm to 2000 mm) {
  about "Ours"; source "invented"
  feed_opening 200 mm; max_reduction_ratio 5; installed_power 200 kW
  @
  model breakage: setting_curve { css css; passing_css 60 %; top_ratio 2; slope 0.9 }
  model capacity: rated { rated 180 t/h }
  model power: bond { no_load 60 kW; efficiency 75 % }
  caution "Lock out first."
}
"""
_CONTEXTS = {
    "plant": "@",
    "use": "@",
    "material": "@",
    "series": "@",
    "band": "@",
    "grading": "@",
    "template": "use std.cones\nuse std.screens\n@",
    "class": "@",
    "setting": _OF_A_CLASS,
    "rule": _OF_A_CLASS.replace("@", "setting css: 8 mm to 40 mm\n@"),
    "feed": _plant("@", "shot_rock -> product stone"),
    "crusher": _plant(_FEED, "@", "rock -> secondary -> product stone"),
    "screen": _plant(
        _FEED,
        "@",
        "rock -> sizing; sizing.top.over -> product a; sizing.bottom.over -> product b",
        "sizing.under -> product c",
    ),
    "deck": _plant(
        _FEED,
        "screen one: screens.inclined(width: 2.4 m, length: 6 m) {\n@\n}",
        "rock -> one; one.over -> product a; one.under -> product b",
    ),
    "feeder": _through("hopper_feeder"),
    "conveyor": _through("belt"),
    "magnet": _plant(_FEED, "@", "rock -> tramp_magnet -> product stone", above="use std.magnets"),
    "metal_detector": _plant(
        _FEED, "@", "rock -> tramp_detector -> product stone", above="use std.magnets"
    ),
    "instrument": _plant(_FEED, "@", "rock -> scale -> product stone", above="use std.instruments"),
    "grizzly_feeder": _plant(
        _FEED,
        "@",
        "rock -> hopper_feeder; hopper_feeder.over -> product a; hopper_feeder.under -> product b",
    ),
    "sump": _through("slurry_sump"),
    "pump": _plant(_FEED, "@", "rock -> slurry_pump -> product stone", above="use std.slurry"),
    "thickener": _plant(
        _FEED,
        "@",
        "rock -> settler; settler.underflow -> product mud; settler.overflow -> product water",
        above="use std.slurry",
    ),
    "classifier": _plant(
        _FEED,
        "@",
        "rock -> washer; washer.coarse -> product sand; washer.fine -> product slimes",
    ),
    "splitter": _plant(
        _FEED, "@", "rock -> halves; halves.left -> product a; halves.right -> product b"
    ),
    "blend": _through("oversize"),
    "stockpile": _through("surge"),
    "bin": _through("surge"),
    "product": _plant(_FEED, "rock -> stone", "@"),
    "route": _plant(_FEED, _CONE, _SIZING, "rock -> sizing; sizing.under -> product stone", "@"),
    "require": _WHOLE,
    "meets": _WHOLE,
    "within": _WHOLE,
    "let": "@",
    "free": _BARE.replace("css 16 mm", "css @"),
    "normal": _BARE.replace("15 kWh/t", "@"),
    "maximize": _WHOLE.replace("css 16 mm", "css free(12 mm to 22 mm)"),
    "choose": _plant(_FEED, _SIZING, _CIRCUIT, "maximize stone.rate", "@"),
    "section": _plant(
        _FEED,
        "@",
        "rock -> tertiary; tertiary.stone -> product stone",
        above="template closed_circuit(head: mm) { in i; out stone; i -> stone_heap -> stone; "
        "stockpile stone_heap { live 10 t * (head / 1 m) } }",
    ),
}


def _expanded(body: list[str], turn: int = 0) -> str:
    """The text the editor inserts when every default is taken, and of each list of choices the
    one whose turn it is."""
    text = "\n".join(body)
    defaults: dict[str, str] = {}

    def chosen(found: re.Match[str]) -> str:
        choices = found[2].split(",")
        return "${" + found[1] + ":" + choices[turn % len(choices)] + "}"

    def default(found: re.Match[str]) -> str:
        defaults[found[1]] = found[2]
        return found[2]

    text = re.sub(r"\$\{(\d+)\|([^|]*)\|\}", chosen, text)
    text = re.sub(r"\$\{(\d+):([^}]*)\}", default, text)
    return re.sub(r"\$(\d+)", lambda found: defaults[found[1]], text)


def _turns(body: list[str]) -> int:
    return max((len(c.split(",")) for c in re.findall(r"\|([^|]*)\|", "\n".join(body))), default=1)


@pytest.mark.parametrize("title", SNIPPETS)
def test_a_snippet_means_something_to_the_compiler(title: str) -> None:
    snippet = SNIPPETS[title]
    context = _CONTEXTS[snippet["prefix"]]
    for turn in range(_turns(snippet["body"])):
        text = context.replace("@", _expanded(snippet["body"], turn))
        found = [(d.code, d.span.line, d.message) for d in check_text(text).diagnostics]
        assert [one for one in found if one[0] != "W0101"] == []  # something is never used


@pytest.mark.parametrize("title", SNIPPETS)
def test_a_snippet_is_in_the_layout_of_the_language(title: str) -> None:
    text = _expanded(SNIPPETS[title]["body"]) + "\n"
    if SNIPPETS[title]["prefix"] in ("free", "normal"):
        text = f"let value = {text}"  # no statements of their own
    assert laid_out(Source("a.hog", text)) == text


@pytest.mark.slow
def test_every_context_is_a_good_file_but_for_its_snippet() -> None:
    """So that no fault of a snippet is put down to what stands around it, or hidden by it."""
    assert set(_CONTEXTS) == {snippet["prefix"] for snippet in SNIPPETS.values()}
    for prefix, context in _CONTEXTS.items():
        assert context.count("@") == 1, prefix
        faulty = check_text(context.replace("@", "§ no such line"))
        assert faulty.has_errors, prefix


def test_the_plant_of_the_snippet_can_be_balanced_and_keeps_its_requirement(tmp_path: Path) -> None:
    file = tmp_path / "new.hog"
    file.write_text(_expanded(SNIPPETS["Plant"]["body"]) + "\n")
    assert main(["balance", str(file)]) == 0


def test_every_library_of_the_compiler_can_be_chosen() -> None:
    (line,) = SNIPPETS["Use a library"]["body"]
    choices = line.partition("|")[2].rpartition("|")[0].split(",")
    assert [f"std.{choice}" for choice in choices] == list(library_names())


def test_every_thing_that_is_declared_has_its_snippet() -> None:
    declared = ("KIND", "PRODUCT", "DEFINITION")
    kinds = {word for word, kind in keywords().items() if kind in declared}
    assert kinds <= {snippet["prefix"] for snippet in SNIPPETS.values()}
