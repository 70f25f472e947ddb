"""What counts as an edit, and which changes are one."""

from __future__ import annotations

import random
import re
from dataclasses import replace

import pytest
from tests.revise.why.sides import EDITS, EXAMPLES, QUARRY, changed

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.edits import Differences, differences
from hoggin.revise.why.lines import lines_of
from hoggin.revise.why.telling import places, tell, told
from hoggin.syntax import tree
from hoggin.syntax.parser import parse


def parsed(text: str) -> tree.File:
    diagnostics = Diagnostics()
    file = parse(Source("hill.hog", text), diagnostics)
    assert not diagnostics.has_errors
    return file


def between(before: str | tree.File, after: str | tree.File) -> Differences:
    files = [parsed(one) if isinstance(one, str) else one for one in (before, after)]
    old, new = (lines_of(file, "main") for file in files)
    return differences(old, new)


def edits(before: str, after: str) -> list[tuple[str, ...]]:
    return [told(edit) for edit in between(before, after).edits]


def shuffled(statements: tuple[tree.Statement, ...], chance: random.Random):  # type: ignore[no-untyped-def]
    mixed = []
    for one in statements:
        body = getattr(one, "body", None)
        if body and not isinstance(one, tree.ClassDefinition):
            one = replace(one, body=shuffled(body, chance))  # type: ignore[call-arg]
        if isinstance(one, tree.Declaration):
            arguments = chance.sample(one.arguments, len(one.arguments))
            one = replace(one, arguments=tuple(arguments))
        if isinstance(one, tree.Fact) and one.entries:
            one = replace(one, entries=tuple(chance.sample(one.entries, len(one.entries))))
        mixed.append(one)
    chance.shuffle(mixed)
    return tuple(mixed)


@pytest.mark.parametrize("name", ["quarry.hog", "gravel.hog", "sand.hog", "standard/south.hog"])
@pytest.mark.parametrize("seed", range(3))
def test_another_order_of_lines_is_no_edit(name: str, seed: int) -> None:
    # The language's own rule: "the order of statements never matters" (docs/language.md).
    file = parsed((EXAMPLES / name).read_text(encoding="utf-8"))
    other = replace(file, statements=shuffled(file.statements, random.Random(seed)))
    found = between(file, other)
    assert not found.edits
    assert not found.idle


def test_another_layout_is_no_edit() -> None:
    spread = re.sub(r"(?m)$", "   # a remark", QUARRY)
    spread = re.sub(r"[ ]+", "     ", spread)
    assert edits(QUARRY, spread) == []
    assert edits(spread, QUARRY) == []


def test_a_chain_of_routes_is_its_steps() -> None:
    before = 'plant "Hill" { \n a -> b -> product c\n }'
    after = 'plant "Hill" { \n product c\n b -> c\n a -> b\n }'
    assert edits(before, after) == []


def test_every_changed_line_of_a_block_is_an_edit_of_its_own() -> None:
    found = between(QUARRY, changed(QUARRY, EDITS))
    assert len(found.edits) == len(EDITS)
    lines = changed(QUARRY, EDITS).split("\n")
    for edit, (_, new) in zip(found.edits, EDITS, strict=True):
        (place,) = places(edit)
        number = int(place.removeprefix("hill.hog:"))
        block = "\n".join(lines[number - 1 : number + 4])  # a grading is told at its first line
        assert new in block


@pytest.mark.slow
def test_what_changed_is_told_in_words() -> None:
    after = changed(QUARRY, [("css     40 mm", "css 36 mm"), ("63 mm:  23 %", "63 mm: 25 %")])
    assert edits(QUARRY, after) == [
        ("passing of feed shot_rock: 63 mm: 25 %, was 23 %",),
        ("css of crusher secondary: 36 mm, was 40 mm",),
    ]


def test_a_new_machine_with_its_routes_is_one_edit() -> None:
    after = changed(
        QUARRY,
        [
            (
                "surge            -> tunnel_feeder",
                "bin spare { live 90 t }\n  surge -> spare -> tunnel_feeder",
            ),
            ("css     40 mm", "css 36 mm"),
        ],
    )
    assert sorted(len(edit) for edit in edits(QUARRY, after)) == [1, 3]


def test_two_new_machines_apart_from_one_another_are_two_edits() -> None:
    after = changed(
        QUARRY,
        [
            (
                "surge            -> tunnel_feeder",
                "bin spare { live 90 t }\n  surge -> spare -> tunnel_feeder",
            ),
            (
                "bars.top.over -> primary",
                "bin dump { live 9 t }\n  bars.top.over -> dump -> primary",
            ),
        ],
    )
    assert [len(edit) for edit in edits(QUARRY, after)] == [3, 3]


def test_a_new_let_is_no_edit_but_its_use_is() -> None:
    after = changed(
        QUARRY,
        [("css     40 mm", "css gap"), ('plant "Skarrow', 'let gap = 36 mm\nplant "Skarrow')],
    )
    assert edits(QUARRY, after) == [("css of crusher secondary: gap (36 mm), was 40 mm",)]


def test_a_let_used_twice_is_one_edit() -> None:
    before = changed(QUARRY, [("css     40 mm", "css 2 * tertiary_setting")])
    after = changed(before, [("let tertiary_setting = 15 mm", "let tertiary_setting = 14 mm")])
    assert edits(before, after) == [("`let tertiary_setting`: 14 mm, was 15 mm",)]


def test_another_class_is_one_edit_with_its_geometry() -> None:
    after = changed(
        QUARRY, [("cones.supported_shaft(head: 1850 mm)", "cones.high_speed(head: 1500 mm)")]
    )
    (edit,) = edits(QUARRY, after)
    assert len(edit) == 2


def test_another_default_model_of_a_class_is_one_edit() -> None:
    one = "model breakage: a { k1 1 mm }"
    other = "model breakage: b { k1 2 mm }"
    before = f"class crusher ours() {{\n{one}\n{other}\n}}"
    after = f"class crusher ours() {{\n{other}\n{one}\n}}"
    (edit,) = edits(before, after)
    assert len(edit) == 2


def test_what_no_result_hangs_on_is_kept_apart() -> None:
    after = changed(
        QUARRY,
        [('revision "C"', 'revision "B"'), ("<= 35 %", "<= 30 %"), ('"0/25 fill"', '"fill"')],
    )
    found = between(QUARRY, after)
    assert not found.edits
    words = [tell(change) for change in found.idle]
    assert 'revision: "B", was "C"' in words
    assert "added `require sand.share <= 30 %`" in words
    assert 'title of product fill: "fill", was "0/25 fill"' in words


def test_an_aim_is_known_by_what_it_says_and_its_weight_is_followed() -> None:
    aim = 'plant "P" {\n  maximize a.rate weight 2\n}\n'
    assert edits(aim, aim + "\n") == []
    assert between(aim, aim.replace("weight 2", "weight 2.0")).idle == ()
    assert len(between(aim, aim.replace("weight 2", "weight 3")).idle) == 1
