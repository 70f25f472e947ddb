"""The one layout. What a text says must come out as it went in: its tokens, its comments and the
plant that the checker makes of it are compared before and after; the checker is the judge."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax.layout import laid_out
from hoggin.syntax.layout.spacing import word
from hoggin.syntax.tokens import tokens_of
from hoggin.world import World

ROOT = Path(__file__).parents[2]
FILES = sorted([*(ROOT / "stdlib").rglob("*.hog"), *(ROOT / "examples").rglob("*.hog")])
TEXTS = {path.relative_to(ROOT).as_posix(): path.read_text() for path in FILES}
QUARRY = TEXTS["examples/quarry.hog"]


def layout(text: str) -> str:
    found = laid_out(Source("a.hog", text))
    assert isinstance(found, str), [d.message for d in found]
    return found


def words(text: str) -> list[str]:
    """The tokens that matter, as the language's own scanner cuts them."""
    tokens = tokens_of(Source("a.hog", text), Diagnostics())
    return [word(token) for token in tokens if token.kind != "_NL"]


def comments(text: str) -> list[str]:
    """Comments by a scan of their own: what stands behind a `#` outside a text in quotes."""
    found = []
    for line in text.split("\n"):
        pieces = line.split('"')
        for place, piece in enumerate(pieces):
            if place % 2 == 0 and "#" in piece:
                rest = '"'.join([piece[piece.index("#") :], *pieces[place + 1 :]])
                found.append(rest.lstrip("#").strip())
                break
    return found


def without_places(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: without_places(item) for key, item in value.items() if key != "place"}
    if isinstance(value, list | tuple):
        return [without_places(item) for item in value]
    return value


def model(name: str, text: str) -> Any:
    checked = check(World(ROOT / name), Source(name, text))
    found = [d.code for d in checked.diagnostics]
    return found, None if checked.plant is None else without_places(checked.plant.model_dump())


@pytest.mark.slow
@pytest.mark.parametrize("name", TEXTS)
def test_every_file_of_the_library_and_examples_keeps_its_meaning(name: str) -> None:
    before, after = TEXTS[name], layout(TEXTS[name])
    assert words(after) == words(before)
    assert comments(after) == comments(before)
    assert layout(after) == after
    if name.startswith("examples/"):
        assert model(name, after) == model(name, before)


@pytest.mark.parametrize("name", [name for name in TEXTS if name.startswith("examples/")])
def test_an_example_stands_in_the_layout_that_saving_it_would_give(name: str) -> None:
    assert layout(TEXTS[name]) == TEXTS[name]


def shaken(text: str, random: Random) -> str:
    """The same statements with other white space, blank lines and remarks."""
    lines = []
    for line in text.split("\n"):
        body = line.strip()
        if body and '"' not in body and "#" not in body:
            body = "".join(
                part + (random.choice([" ", "   ", "\t"]) if part.isspace() else "")
                for part in _parts(body)
            )
            if random.random() < 0.2:
                body += random.choice(["#x", "  # a remark", "   ## two", "\t#"])
        lines.append(random.choice(["", " ", "\t", "      "]) + body + random.choice(["", "  "]))
        if random.random() < 0.1:
            lines += random.choice([[""], ["", "", ""], ["# on a line of its own"], ["   "]])
    return "\n".join(lines)


def _parts(body: str) -> list[str]:
    found: list[str] = []
    for character in body:
        if found and found[-1].isspace() == character.isspace():
            found[-1] += character
        else:
            found.append(character)
    return found


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.sampled_from([n for n in TEXTS if n.startswith("examples/")]))
def test_however_it_was_spaced_the_meaning_stays_and_the_layout_settles(
    seed: int, name: str
) -> None:
    before = shaken(TEXTS[name], Random(seed))
    after = layout(before)
    assert words(after) == words(before)
    assert comments(after) == comments(before)
    assert layout(after) == after
    assert model(name, after) == model(name, TEXTS[name])


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_white_space_within_lines_makes_no_other_layout(seed: int) -> None:
    random = Random(seed)
    spaced = "\n".join(
        random.choice(["", "  ", "\t"]) + line.strip() + random.choice(["", " "])
        for line in QUARRY.split("\n")
    )
    assert layout(spaced) == layout(QUARRY)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", ""),
        ("\n\n", ""),
        ("#only\n#  comments", "# only\n#  comments\n"),
        ("#! marked", "#! marked\n"),
        ("let  a=5   mm", "let a = 5 mm\n"),
        ("let a = -5 mm*( 2+3 )", "let a = -5 mm * (2 + 3)\n"),
        ("let a = 3 mm-2 mm", "let a = 3 mm - 2 mm\n"),
        ("let a = max( b ,c )", "let a = max(b, c)\n"),
        (
            "band x {\n\n\npassing { 4 mm: 10 % to 20 %, 2 mm: 0 % }\n\n}",
            "band x {\n  passing { 4 mm: 10 % to 20 %, 2 mm: 0 % }\n}\n",
        ),
        (
            "material m {\nsolid_density 2.7 t/m3 # dense\nwork_index 15 kWh/t# hard\n}",
            "material m {\n  solid_density 2.7 t/m3  # dense\n"
            "  work_index    15 kWh/t  # hard\n}\n",
        ),
        (
            "material m { solid_density 2.7 t/m3;work_index 15 kWh/t }",
            "material m { solid_density 2.7 t/m3; work_index 15 kWh/t }\n",
        ),
        (
            "template t( rate:t/h,css :mm=14 mm ){\nin rock\nout stone\n}",
            "template t(rate: t/h, css: mm = 14 mm) {\n  in  rock\n  out stone\n}\n",
        ),
        (
            "series s {\n63 mm, 4 mm\n0.063 mm, 1 mm\n}",
            "series s {\n     63 mm, 4 mm\n  0.063 mm, 1 mm\n}\n",
        ),
        (
            "screen s: k() {\ndeck top 34 mm{ spray 9 m3/h }\ndeck second cut slotted\n"
            "deck bottom 4.5 mm square\n}",
            "screen s: k() {\n  deck top     34 mm { spray 9 m3/h }\n"
            "  deck second cut    slotted\n  deck bottom 4.5 mm square\n}\n",
        ),
        (
            "template t() {\nin  rock;out stone\nin sand\nout  chips\n}",
            "template t() {\n  in rock; out stone\n  in  sand\n  out chips\n}\n",
        ),
        (
            "material m {\nk1 2; k2  3\nlonger 4\n}",
            "material m {\n  k1 2; k2 3\n  longer 4\n}\n",
        ),
        (
            "screen s: k() {\ndeck top 2 * cut\ndeck bottom  any( 5 mm,16 mm ) round\n}",
            "screen s: k() {\n  deck top    2 * cut\n  deck bottom any(5 mm, 16 mm) round\n}\n",
        ),
    ],
)
def test_cases_by_hand(before: str, after: str) -> None:
    assert layout(before) == after


def test_line_ends_tabs_and_marks_of_other_systems_go() -> None:
    text = "material m {\r\n\tsolid_density 2.7 t/m3\r\n}\r\n"
    source = Source("a.hog", text.replace("\r\n", "\n"))
    assert laid_out(source) == "material m {\n  solid_density 2.7 t/m3\n}\n"


def test_a_comment_stays_where_it_stood() -> None:
    text = """\
plant "x" {          # the plant
  # of the feed
  feed rock {        # its rock
    passing {        # by sieve
      # coarse
      63 mm: 100 %   # all
      4 mm: 10 %
      # no finer
    }
  }   # done
  # last
}
# end
"""
    after = layout(text)
    assert comments(after) == comments(text)
    for before, line in zip(text.split("\n"), after.split("\n"), strict=True):
        assert line.split() == before.split()


def test_a_text_with_errors_is_not_touched() -> None:
    found = laid_out(Source("a.hog", "plant { {"))
    assert isinstance(found, Diagnostics)
    assert found.has_errors
