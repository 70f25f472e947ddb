"""A history of revisions whose every edit is known, and so an outside truth for comparisons."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

Edit = tuple[str, str, str]  # kind, subject, what


@dataclass(frozen=True)
class Revision:
    text: str
    edits: tuple[Edit, ...]


def generated_history(text: str, count: int, random: Random) -> list[Revision]:
    """Revisions of the main example, one to three edits from each to the next, some of them none
    that matter: a remark, another order, another unit."""
    history = [Revision(text, ())]
    for _ in range(count - 1):
        makers = random.sample(_MAKERS, random.randint(1, 3))
        edits: list[Edit] = []
        text = history[-1].text
        for make in makers:
            text, made = make(text, random)
            edits += made
        history.append(Revision(text, tuple(edits)))
    return history


Maker = Callable[[str, Random], tuple[str, list[Edit]]]


def _number(pattern: str, values: range, edits: list[Edit]) -> Maker:
    """Put another number in place of the one a pattern's group holds."""

    def make(text: str, random: Random) -> tuple[str, list[Edit]]:
        found = re.search(pattern, text)
        assert found is not None, pattern
        value = random.choice([v for v in values if str(v) != found[1]])
        return text[: found.start(1)] + str(value) + text[found.end(1) :], list(edits)

    return make


def _remark(text: str, random: Random) -> tuple[str, list[Edit]]:
    return f"# remark {random.random()}\n{text}", []


def _blank_lines(text: str, random: Random) -> tuple[str, list[Edit]]:
    lines = text.split("\n")
    lines.insert(random.randrange(len(lines)), "")
    return "\n".join(lines), []


def _other_unit(text: str, _random: Random) -> tuple[str, list[Edit]]:
    """The surge pile's tonnes as kilograms and back."""
    found = re.search(r"live (\d+) (t|kg) }\n\n", text)
    assert found is not None
    number, unit = int(found[1]), found[2]
    other = f"{number * 1000} kg" if unit == "t" else f"{number // 1000} t"
    return text.replace(found[0], f"live {other} }}\n\n"), []


def _requirement(text: str, random: Random) -> tuple[str, list[Edit]]:
    """A further requirement, or one of those added taken out again."""
    own = re.findall(r"  require fill\.rate .*\n", text)
    if own and random.random() < 0.5:
        return text.replace(own[0], "", 1), [("removed", "requirement", "")]
    limit = 5 + len(own) + random.randrange(1, 1000) / 1000
    line = f"  require fill.rate + {random.random():.6f} t/h >= {limit} t/h\n"
    return text.replace("  require chips meets", line + "  require chips meets"), [
        ("added", "requirement", "")
    ]


_MAKERS: list[Maker] = [
    _number(r"rate +(\d+) t/h", range(380, 460), [("changed", "feed shot_rock", "rate")]),
    _number(r"css +(\d+) mm\s+}\s+surge", range(34, 46), [("changed", "crusher secondary", "css")]),
    _number(r"setting = (\d+) mm", range(12, 18), [("changed", "crusher tertiary", "css")]),
    _number(r"existing\s+css (\d+) mm", range(110, 140), [("changed", "crusher primary", "css")]),
    _number(r"speed +(\d+) rpm", range(1000, 1100), [("changed", "crusher tertiary", "speed")]),
    _number(r"tramp (\d+) mm", range(20, 50), [("changed", "feed shot_rock", "tramp")]),
    _number(r'revision +"(\w+)"', range(1, 999), [("changed", "plant", "revision")]),
    _number(
        r"live (\d+) t }\s+splitter", range(100, 200), [("changed", "bin tertiary_bin", "live")]
    ),
    _number(
        r"drain (\d+) %",
        range(5, 30),
        [
            ("changed", "splitter order_book", "share drain"),
            ("changed", "splitter order_book", "share onward"),
        ],
    ),
    _number(r"energy <= (\d+(?:\.\d+)?) kWh", range(2, 9), [("changed", "requirement", "limit")]),
    _remark,
    _blank_lines,
    _other_unit,
    _requirement,
]
