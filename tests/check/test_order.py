"""Order never matters: the lines of every block, and of the file, may stand in any order."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.check.checker import check, check_file
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Plant
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import World
from tests.check.reading import FIXTURES

_PLANTS = sorted((FIXTURES / "good").glob("*.hog"))


def _shuffled(nodes: tuple[Any, ...], text: str, random: Random) -> list[str]:
    pieces = [_rewritten(node, text, random) for node in nodes]
    random.shuffle(pieces)
    return pieces


def _rewritten(node: Any, text: str, random: Random) -> str:
    """A node's text with the lines of its blocks, and the sizes of its lists, in another order."""
    body = getattr(node, "body", None)
    if body:
        head = text[node.span.start : body[0].span.start]
        tail = text[body[-1].span.end : node.span.end]
        return head + "\n".join(_shuffled(body, text, random)) + tail
    if isinstance(node, tree.Fact) and node.entries:
        return f"{node.name.text} {{ {', '.join(_shuffled(node.entries, text, random))} }}"
    return text[node.span.start : node.span.end]


def _in_order(value: Any) -> Any:
    """A plant as data, without places, its lists sorted."""
    if isinstance(value, dict):
        return {name: _in_order(part) for name, part in value.items() if name != "place"}
    if isinstance(value, list | tuple):
        return sorted(map(_in_order, value), key=repr)
    return value


def _as_data(plant: Plant) -> Any:
    return _in_order(plant.model_dump())


@pytest.mark.slow
@pytest.mark.parametrize("file", _PLANTS, ids=lambda file: file.stem)
@settings(max_examples=12, deadline=None)
@given(random=st.randoms(use_true_random=False))
def test_any_order_of_the_lines_gives_the_same_plant(file: Path, random: Random) -> None:
    straight = check_file(file)
    assert straight.plant is not None
    text = straight.source.text
    statements = parse(straight.source, Diagnostics()).statements
    mixed = "\n".join(_shuffled(statements, text, random)) + "\n"
    again = check(World(file), Source(straight.source.name, mixed))
    assert again.diagnostics == ()
    assert again.plant is not None
    assert _as_data(again.plant) == _as_data(straight.plant)


def test_the_comparison_would_see_a_difference() -> None:
    file = _PLANTS[0]
    source = World(file).open_main()
    text = source.text.replace("let gap = 32", "let gap = 33")
    other = check(World(file), Source(source.name, text))
    straight = check_file(file)
    assert straight.plant is not None
    assert other.plant is not None
    assert _as_data(other.plant) != _as_data(straight.plant)
