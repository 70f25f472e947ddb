"""Faults to be noticed: one changed operator or number in one module or class library each."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

ROOT = Path(__file__).resolve().parents[2]
_COMPILER = ROOT / "compiler" / "hoggin"
PHASES = ("models", "balance", "rating")

# One other operator each: of all replacements of `+`, one says as much as ten.
_OPERATORS = (
    "core/NumberReplacer",
    *(f"core/ReplaceBinaryOperator_{pair}" for pair in ("Add_Sub", "Sub_Add")),
    *(f"core/ReplaceBinaryOperator_{pair}" for pair in ("Mul_Div", "Div_Mul", "Pow_Mul")),
    *(f"core/ReplaceComparisonOperator_{pair}" for pair in ("Lt_GtE", "Gt_LtE", "LtE_Gt")),
    *(f"core/ReplaceComparisonOperator_{pair}" for pair in ("GtE_Lt", "Eq_NotEq", "NotEq_Eq")),
    "core/ReplaceAndWithOr",
    "core/ReplaceOrWithAnd",
    "core/ReplaceUnaryOperator_USub_UAdd",
    "core/ReplaceUnaryOperator_Delete_Not",
)
_OUTSIDE = "tests/test_outside_numbers.py"
_TESTS = {
    "models": [_OUTSIDE, "tests/models", "tests/stdlib", "tests/rating", "tests/balance"],
    "balance": [_OUTSIDE, "tests/balance", "tests/rating"],
    "rating": [_OUTSIDE, "tests/rating", "tests/report"],
    "stdlib": [_OUTSIDE, "tests/stdlib"],
}
_UNITS = "%|mm|kW|t|rpm|m/s|t/h|kWh/t|deg"
_NUMBER = re.compile(rf"""(?<![\w."-])(\d+(?:\.\d+)?)(?= (?:{_UNITS})\b| \*|\s*$)""", re.MULTILINE)
_FACTOR = 1.5  # that a coefficient of the library is multiplied by


@dataclass(frozen=True, slots=True)
class Mutant:
    """path: the changed file. line: where. before, after: that line. text: the file as changed."""

    path: Path
    line: int
    before: str
    after: str
    text: str

    @property
    def module(self) -> str | None:
        """The Python module; None for a class library."""
        if self.path.suffix != ".py":
            return None
        return ".".join(self.path.relative_to(_COMPILER.parent).with_suffix("").parts)

    @property
    def tests(self) -> list[str]:
        """Where a test that notices is looked for: of its own module first."""
        phase = self.path.parent.name
        own = f"tests/{phase}/test_{self.path.stem}.py"
        return [*([own] if (ROOT / own).exists() else []), *_TESTS[phase]]

    def __str__(self) -> str:
        where = f"{self.path.relative_to(ROOT)}:{self.line}"
        return f"{where}\n    - {self.before}\n    + {self.after}"


def sample(count: int, seed: int) -> list[Mutant]:
    """So many faults, in an order that depends on the seed alone."""
    chosen = random.Random(seed)
    places = [*_in_modules(), *_in_libraries()]
    chosen.shuffle(places)
    found: list[Mutant] = []
    for path, operator, occurrence in places:
        if len(found) == count:
            break
        mutant = _made(path, operator, occurrence)
        if mutant is not None:
            found.append(mutant)
    return found


Place = tuple[Path, str, int]  # file, operator ("" for a coefficient), its occurrence


def _in_modules() -> Iterator[Place]:
    for phase in PHASES:
        for path in sorted((_COMPILER / phase).glob("*.py")):
            nodes = list(ast_nodes(get_ast(path.read_text())))
            for name in _OPERATORS:
                operator = get_operator(name)()
                count = sum(len(list(operator.mutation_positions(node))) for node in nodes)
                yield from ((path, name, occurrence) for occurrence in range(count))


def _in_libraries() -> Iterator[Place]:
    for path in sorted((ROOT / "stdlib").glob("*.hog")):
        count = len(_NUMBER.findall(_without_texts(path.read_text())))
        yield from ((path, "", occurrence) for occurrence in range(count))


def _without_texts(text: str) -> str:
    """The same text with blanks for what stands in quotes or comments."""
    return re.sub(r'"[^"\n]*"|#[^\n]*', lambda found: " " * len(found.group()), text)


def _made(path: Path, operator: str, occurrence: int) -> Mutant | None:
    """None where the change is none, or is in a declared range or a type."""
    text = path.read_text()
    if operator:
        changed = mutate_code(text, get_operator(operator)(), occurrence)
    else:
        place = list(_NUMBER.finditer(_without_texts(text)))[occurrence]
        value = f"{float(place.group(1)) * _FACTOR:.6g}"
        changed = text[: place.start(1)] + value + text[place.end(1) :]
    if changed is None or changed == text:
        return None
    pairs = zip(text.splitlines(), changed.splitlines(), strict=True)
    number, (before, after) = next(
        (number, pair) for number, pair in enumerate(pairs, 1) if pair[0] != pair[1]
    )
    if not operator and (" to " in before or before.lstrip().startswith("rule")):
        return None
    return Mutant(path, number, before.strip(), after.strip(), changed)
