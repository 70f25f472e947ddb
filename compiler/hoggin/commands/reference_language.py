"""The language's reference page: its words, facts, results and units, read from the grammar and the
checker's own tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from hoggin.check import evaluate, free
from hoggin.check.machines import SHAPES
from hoggin.check.meanings import KEYWORDS
from hoggin.schema.asked import Asked, asked, kinds
from hoggin.schema.editions import EDITIONS
from hoggin.schema.facts import OPERATED, Fact, facts_of
from hoggin.schema.kinds import CLASS_KINDS, DECK_ORDER, KINDS
from hoggin.schema.units import (
    BASE_UNITS,
    MONEY,
    MONEY_RATE,
    PRICE,
    PRICE_OF_ENERGY,
    SYNONYMS,
    Dimension,
    describe,
    in_currency,
    known,
    trade_unit,
    units_of,
    usual_units,
)
from hoggin.syntax import tables

_INTRODUCTION = """\
Every word of the language in one place, made from the compiler's own grammar and tables, so that
this page shows what the compiler reads. To learn the language, begin with the
[first hour](tutorial.md). [The language](language.md) explains it in prose, and the
[cookbook](cookbook.md) shows usual circuits. The library's machines are in [machine
classes](classes.md).
"""


_OWNERS: Mapping[str, str] = {
    "file": "a file",
    "plant": "the plant",
    "case": "a case",
    "feed": "a feed",
    "product": "a product",
    "material": "a material",
    "grading": "a grading",
    "band": "a grading band",
    "deck": "a deck",
    **{
        kind.name: f"a {kind.name}"
        for kind in KINDS.values()
        if not kind.has_class and facts_of(kind.name)
    },
    "machine": "any machine of a class",
    "plant.project": "the project",
    "section": "a section",
    "operation": "the operation of any machine",
    **{f"{kind}.operation": f"the operation of a {kind}" for kind in OPERATED},
    "machine.operation": "the operation of any machine of a class",
}


def language_page(note: str) -> str:
    """The whole page, in Markdown."""
    grammar = tables.grammar()
    parts = [
        f"{note}# Language reference\n",
        _INTRODUCTION,
        f"Language editions that this compiler reads: {', '.join(map(str, EDITIONS))}.\n",
        *_keyword_part(grammar),
        *_unit_part(),
        *_function_part(),
        *_fact_part(),
        *_result_part(),
        "## The grammar\n",
        "As the compiler itself reads it. The checker reports a line in the wrong block: "
        "see [diagnostics](diagnostics.md).\n",
        f"```\n{grammar.strip()}\n```\n",
    ]
    return "\n".join(parts)


def keywords(grammar: str) -> list[str]:
    """Every word that the grammar gives a meaning of its own, in the grammar's order."""
    plain = "\n".join(line for line in grammar.splitlines() if not line.startswith("//"))
    literal = re.findall(r'"([a-z]+)"', plain)
    patterns = re.findall(r"^[A-Z]+\.2: /(.*)/", plain, re.MULTILINE)
    grouped = [word for pattern in patterns for word in re.findall(r"[a-z_]{2,}", pattern)]
    return list(dict.fromkeys([*literal, *grouped]))


def _keyword_part(grammar: str) -> Iterator[str]:
    yield "## Keywords\n"
    rows = ((f"`{word}`", KEYWORDS.get(word, "")) for word in keywords(grammar))
    yield _table(("keyword", "what it does"), rows)


def _unit_part() -> Iterator[str]:
    yield "## Units\n"
    yield (
        "A quantity is written with its unit. A unit is a base unit, or base units joined by `/`: "
        f"`t/h/m2`, `kt/y`, `m3/h/m2`. Base units: {_listed(BASE_UNITS)}. "
        f"{' '.join(f'`{one}` is `{other}`.' for one, other in SYNONYMS.items())} A currency is a "
        "base unit too: any word of three capital letters, such as `EUR` here. The usual units of "
        "each kind of quantity, and the unit that results are shown in:\n"
    )
    dimensions = dict.fromkeys(known(name).dimension for name in (*BASE_UNITS, *usual_units()))
    rows = (
        (describe(one), " ".join(f"`{name}`" for name in units_of(one)), _told_in(one))
        for one in (*dimensions, MONEY, PRICE, PRICE_OF_ENERGY, MONEY_RATE)
    )
    yield _table(("kind", "units", "shown in"), rows)
    yield "A parameter that is a plain number has the type `number`.\n"


def _told_in(dimension: Dimension) -> str:
    found = trade_unit(dimension)
    sign = "" if found is None else in_currency(found[0].sign, "EUR")
    return f"`{sign}`" if sign else "-"


def _function_part() -> Iterator[str]:
    yield "## Functions\n"
    of_results = ("passing", "retained")
    yield (
        f"Of values: {_listed(f'{name}(a, b)' for name in evaluate._FUNCTIONS)}. "
        f"Of results: {_listed(f'{name}(SIZE)' for name in of_results)}.\n"
    )
    yield "Numbers that are left open or uncertain, for studies:\n"
    yield _table(
        ("function", "written as"),
        ((f"`{name}`", _listed(forms)) for name, forms in free._FORMS.items()),
    )


def _fact_part() -> Iterator[str]:
    yield "## Facts\n"
    yield "What a block may state. Shares are stated in per cent or as fractions.\n"
    for owner, words in _OWNERS.items():
        yield f"### Of {words}\n"
        if owner == "deck":
            yield f"Names: {_listed(DECK_ORDER)}. Shapes: {_listed(SHAPES)}.\n"
        yield _facts(facts_of(owner))
    yield "### Of a machine class\n"
    yield "Of a class of any kind:\n"
    yield _facts(facts_of("class"))
    for name in CLASS_KINDS:
        kind = KINDS[name]
        yield f"#### {name}\n"
        more = f"; may name {_listed(kind.may)}" if kind.may else ""
        if kind.models:
            yield f"Models it must name: {_listed(kind.needs)}{more}: see [models](models.md).\n"
        else:
            yield "It names no models.\n"
        yield _facts(facts_of(name))


def _as_in(fact: Fact) -> str:
    return f"as in `{fact.sample}`" if fact.sample else "stands alone"


def _facts(facts: Mapping[str, Fact]) -> str:
    return _table(
        ("fact", "meaning", "is", "bounds", "if not stated", "bounds from"),
        (
            (
                f"`{fact.name}`",
                fact.meaning,
                describe(fact.dimension) if fact.dimension is not None else _as_in(fact),
                fact.range,
                fact.shown(fact.default) if fact.default is not None else "",
                fact.source if fact.dimension is not None else "",
            )
            for fact in facts.values()
        ),
    )


def _result_part() -> Iterator[str]:
    yield "## Results, for `require`\n"
    yield (
        "Named as `secondary.load`, `sizing.top.area_use`, `plant.energy`. Weighed: what `hoggin "
        "compare` holds a difference against, to rank it. Tolerance: how far it may be from its "
        "record in `hoggin regress`, where a plant's `regression.toml` states no other.\n"
    )
    for kind in kinds():
        yield f"### Of {_titled(kind)}\n"
        yield _table(
            ("result", "in", "meaning", "weighed", "tolerance"),
            (_result_row(one) for one in asked(kind).values()),
        )


def _result_row(one: Asked) -> tuple[str, ...]:
    family = one.quantity.family
    unit = f"`{in_currency(one.unit, 'EUR')}`" if one.unit else "-"
    return f"`{one.name}`", unit, one.meaning, family.weigh.value, family.tolerated


def _titled(kind: str) -> str:
    return "the plant" if kind == "plant" else f"a {kind}"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


def _table(headings: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [f"| {' | '.join(headings)} |", "|" + "---|" * len(headings)]
    lines += [f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in row)} |" for row in rows]
    return "\n".join(lines) + "\n"
