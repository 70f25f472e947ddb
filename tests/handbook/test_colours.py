"""The colours of a plant's text: every part has one, as the compiler reads it."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.handbook.colours import coloured

ROOT = Path(__file__).parents[2]
FILES = sorted((ROOT / "examples").rglob("*.hog")) + sorted((ROOT / "stdlib").rglob("*.hog"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_parts_are_the_whole_text(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "".join(part for _, part in coloured(text)) == text


def test_each_part_is_what_the_language_says() -> None:
    text = 'crusher cone: cones.fast(head: 1 m) {\n  css 40 mm  # "closed"\n}\n'
    text += "cone -> bin_1 -> product sand"
    kinds = [(kind, part) for kind, part in coloured(text) if kind]
    assert kinds == [
        ("keyword", "crusher"),
        ("number", "1 m"),
        ("fact", "css"),
        ("number", "40 mm"),
        ("comment", '# "closed"'),
        ("sign", "->"),
        ("sign", "->"),
        ("keyword", "product"),
    ]


@pytest.mark.parametrize(
    "text", ["", "\n", 'title "a # b"\n', 'title "not closed\n', "rate 4 € \\ {{\n"]
)
def test_no_text_is_lost(text: str) -> None:
    assert "".join(part for _, part in coloured(text)) == text


def test_a_sign_within_a_text_begins_no_comment() -> None:
    assert ("text", '"a # b"') in list(coloured('title "a # b"\n'))
