"""The grammar compiled: tables for cutting a text into tokens and for reading them.

Lark compiles the grammar. The tables are kept as JSON in the user's cache folder beside the text
they were made from, so that a run that finds them there need not load Lark.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from hoggin.caches import cache_folder, keep, kept, tidied
from hoggin.schema.kinds import KINDS

_FILE = "grammar"
_FORMAT = 1  # to be raised when what is kept changes its meaning


@dataclass(frozen=True, slots=True)
class Reduction:
    """What the parser does when a rule's last part has been read: it puts one value in place of
    `size` parts. `kept` lists the parts that carry meaning: index, whether it is a list to be
    taken item by item, and how many absent optional parts are before it. A rule that is `thin`
    hands a single part up as it is."""

    size: int
    origin: str  # the rule's name in the grammar
    builder: str  # the method that builds its node; "" where the parts are handed up as a list
    kept: Sequence[tuple[int, bool, int]]
    absent_after: int
    thin: bool
    is_step: bool  # a thin rule of one part, which changes nothing but its name

    def parts(self, values: list[Any]) -> list[Any]:
        parts: list[Any] = []
        for index, is_list, absent_before in self.kept:
            if absent_before:
                parts += [None] * absent_before
            if not is_list:
                parts.append(values[index])
            elif parts:
                parts += values[index]
            else:
                parts = values[index]  # a list that grows at its end is not copied each time
        return parts + [None] * self.absent_after if self.absent_after else parts


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """`states` gives, by state and then token or rule name, the state to go to, or `~n` for the
    n-th reduction to be made first."""

    token: re.Pattern[str]  # its groups are named after the kinds of token
    words: Mapping[str, str]  # the language's own words and their kinds
    states: Sequence[Mapping[str, int]]
    reductions: Sequence[Reduction]
    start: int

    def reductions_before(self, stack: Sequence[int], kind: str) -> Sequence[Reduction] | None:
        """What a parser with these states on its stack does before it takes a token of this kind;
        None where it would not take one."""
        return _before(self, tuple(stack), kind)

    def fits(self, stack: Sequence[int], kind: str) -> bool:
        """Whether a parser with these states on its stack would take a token of this kind."""
        return self.reductions_before(stack, kind) is not None


@lru_cache(maxsize=10_000)  # plants repeat the same blocks, and so the same few stacks
def _before(tables: Tables, stack: tuple[int, ...], kind: str) -> Sequence[Reduction] | None:
    states, trial, found = tables.states, list(stack), []
    action = states[trial[-1]].get(kind)
    while action is not None and action < 0:
        reduction = tables.reductions[~action]
        found.append(reduction)
        if reduction.size:
            del trial[-reduction.size :]
        trial.append(states[trial[-1]][reduction.origin])
        action = states[trial[-1]].get(kind)
    return None if action is None else found


def grammar() -> str:
    """The grammar, with the kinds of machines in it."""
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    return text.replace("(?:feed|MACHINE|section)", f"(?:feed|{'|'.join(KINDS)}|section)")


@cache
def tables() -> Tables:
    text = grammar()
    made_from = f"{_FORMAT}\n{text}"
    folder = cache_folder()
    data = None if folder is None else _kept(folder / _FILE, made_from)
    if data is None:
        data = _compiled(text)
        if folder is not None:
            _keep(folder / _FILE, made_from, data)
    return Tables(
        token=re.compile(data["token"]),
        words=data["words"],
        states=data["states"],
        reductions=[Reduction(*reduction) for reduction in data["reductions"]],
        start=data["start"],
    )


def _kept(file: Path, made_from: str) -> dict[str, Any] | None:
    """The tables as they were kept, if they were made from this very grammar."""
    content = kept(file)
    if content is None:
        return None
    whole: dict[str, Any] = json.loads(content)
    data: dict[str, Any] | None = whole["tables"] if whole["from"] == made_from else None
    return data


def _keep(file: Path, made_from: str, data: dict[str, Any]) -> None:
    for _ in tidied(file.parent):
        pass
    keep(file, json.dumps({"from": made_from, "tables": data}).encode())


def _compiled(grammar: str) -> dict[str, Any]:
    from lark import Lark
    from lark.parsers.lalr_analysis import Shift

    lark = Lark(grammar, parser="lalr", lexer="basic", maybe_placeholders=True)
    conf = lark.parse_interactive("").parser_state.parse_conf
    rules = list(lark.rules)
    number = {rule: index for index, rule in enumerate(rules)}
    states = [
        {
            name: argument if action is Shift else ~number[argument]
            for name, (action, argument) in conf.states[state].items()
        }
        for state in range(len(conf.states))
    ]
    states[conf.end_state]["$END"] = conf.end_state  # the file is complete: stay there
    return {
        **_token_tables(lark.terminals),
        "states": states,
        "reductions": [_reduction(rule) for rule in rules],
        "start": conf.start_state,
    }


def _token_tables(terminals: Collection[Any]) -> dict[str, Any]:
    """One pattern for all kinds of token but the language's own words, the more special first."""
    words = {t.pattern.value: t.name for t in terminals if t.pattern.value.isidentifier()}
    others = [t for t in terminals if not t.pattern.value.isidentifier()]
    others.sort(key=lambda t: (-t.priority, -t.pattern.max_width, -len(t.pattern.value), t.name))
    pattern = "|".join(f"(?P<{t.name}>{t.pattern.to_regexp()})" for t in others)
    return {"token": pattern, "words": words}


def _reduction(rule: Any) -> tuple[Any, ...]:
    kept: list[tuple[int, bool, int]] = []
    absent = 0
    # Lark marks an optional part that is absent in this form of the rule by True.
    marks = rule.options.empty_indices or [False] * len(rule.expansion)
    index = 0
    for is_absent in marks:
        if is_absent:
            absent += 1
            continue
        symbol = rule.expansion[index]
        if not (symbol.is_term and symbol.filter_out):
            kept.append((index, not symbol.is_term and symbol.name.startswith("_"), absent))
            absent = 0
        index += 1
    name = rule.alias or rule.origin.name
    builder = "" if name.startswith("_") else str(name)
    thin = bool(rule.options.expand1 and not rule.alias)
    size = len(rule.expansion)
    is_step = thin and size == 1 and kept == [(0, False, 0)] and not absent
    return size, str(rule.origin.name), builder, kept, absent, thin, is_step
