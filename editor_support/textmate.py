"""The TextMate grammar, made from the compiler's words and patterns.

Rules see one line at a time. Where a word is one of the language's own follows the compiler's
tokens: an opening word only at the start of a statement, none before a colon or beside a dot.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from editor_support.words import (
    IN_CASES,
    PLAIN_TYPES,
    REST,
    WEIGHT,
    functions,
    keywords,
    no_currencies,
    openings,
    pattern_of,
    units,
    words,
)

Rule = dict[str, Any]

_BLANK = r"[ \t\f]*"
_GAP = r"[ \t\f]+"
_START = rf"(?:^|(?<=[;{{}}])){_BLANK}"  # of a statement
# Beside a dot and before a colon or an arrow, any word is a name.
_NOT_A_NAME = rf"\b(?!{_BLANK}(?:->|[.:]))"


def textmate_grammar() -> Rule:
    return {
        "$schema": "https://json.schemastore.org/tmlanguage.json",
        "comment": "Made by `python -m editor_support.generate`; not to be edited by hand.",
        "name": "Hoggin",
        "scopeName": "source.hoggin",
        "fileTypes": ["hog"],
        "patterns": [{"include": "#statement"}, {"include": "#expression"}],
        "repository": {
            "statement": {"patterns": _statements()},
            "expression": {"patterns": _expressions()},
            "parameters": _parameters(),
            "group": _group(),
            "comment": {"match": pattern_of("COMMENT"), "name": _scope("comment.line.number-sign")},
            "text": {"patterns": _texts()},
            "measure": _measure(),
        },
    }


def _statements() -> list[Rule]:
    known = words()
    name = _name()
    path = rf"{name}(?:\.{name})*"
    declaring, stating = _openers(known.declaring), _openers(known.stating)
    return [
        {
            "comment": "The head of a class or template, up to its block",
            "begin": rf"{_START}(?:(class){_NOT_A_NAME}"
            rf"(?:{_GAP}{_any_of(known.kinds)}\b(?!{_BLANK}[.:]))?"
            rf"|(template){_NOT_A_NAME})(?:{_GAP}({name}))?",
            "beginCaptures": _captures(
                "storage.type", "storage.type", "storage.type", "entity.name.type.class"
            ),
            "end": r"(?=[{};])|$",
            "patterns": [{"include": "#parameters"}, {"include": "#expression"}],
        },
        {
            "comment": "A requirement, which may name the cases that it holds in",
            "begin": rf"{_START}(require){_NOT_A_NAME}",
            "beginCaptures": _captures("keyword.control"),
            "end": r"(?=[{};])|$",
            "patterns": [
                {
                    "match": rf"(?<![\w.])(?:{IN_CASES})(?={_GAP}[A-Za-z_])",
                    "name": _scope("keyword.other"),
                },
                {"include": "#expression"},
            ],
        },
        {
            "comment": "An aim, which may end in its weight",
            "begin": rf"{_START}(maximize|minimize){_NOT_A_NAME}",
            "beginCaptures": _captures("keyword.control"),
            "end": r"(?=[{};])|$",
            "patterns": [
                {
                    "match": rf"(?<![\w.])(?:{WEIGHT})(?={_GAP}[0-9])",
                    "name": _scope("keyword.other"),
                },
                {"include": "#expression"},
            ],
        },
        {
            "match": rf"{_START}(setting){_NOT_A_NAME}{_GAP}({name}){_BLANK}(:){_typed()}",
            "captures": _captures(
                "storage.type",
                "variable.parameter",
                "punctuation.separator.type",
                "support.type",
                "keyword.other.unit",
            ),
        },
        {
            "match": rf"{_START}(out){_GAP}({name}){_GAP}({REST})\b",
            "captures": _captures(
                "storage.type", "variable.other.declaration", "constant.language"
            ),
        },
        {
            "match": rf"{_START}(deck){_GAP}({name}){_GAP}({_measure_text()}){_GAP}"
            rf"{_any_of(openings())}\b",
            "captures": {
                **_captures("storage.type", "variable.other.declaration"),
                "3": {"patterns": [{"include": "#measure"}]},
                "4": {"name": _scope("constant.language")},
            },
        },
        {
            "match": rf"{_START}{declaring}{_NOT_A_NAME}{_GAP}({name})"
            rf"(?:{_BLANK}(:){_BLANK}({path}))?",
            "captures": {
                **_captures(
                    "storage.type", "variable.other.declaration", "punctuation.separator.type"
                ),
                "4": {"patterns": _class_path()},
            },
        },
        {
            "match": rf"{_START}{declaring}{_NOT_A_NAME}",
            "captures": _captures("storage.type"),
        },
        {
            "match": rf"{_START}{stating}{_NOT_A_NAME}",
            "captures": _captures("keyword.control"),
        },
        {
            "match": rf"{_START}({WEIGHT})(?={_GAP}[0-9])",
            "captures": _captures("keyword.other"),
        },
        {
            "comment": "A fact or setting and its value",
            "match": rf"{_START}({name})\b(?!{_BLANK}(?:->|[-+*/^=<>!.:,;(|}}]))",
            "captures": _captures("support.type.property-name"),
        },
    ]


def _expressions() -> list[Rule]:
    known = words()
    name = _name()
    return [
        {"include": "#comment"},
        {"include": "#text"},
        {"include": "#measure"},
        {"match": pattern_of("NUMBER"), "name": _scope("constant.numeric")},
        {
            "match": rf"(->)(?:{_BLANK}{_any_of(known.in_arrow)}{_NOT_A_NAME}(?:{_GAP}({name}))?)?",
            "captures": _captures(
                "keyword.operator.arrow", "storage.type", "variable.other.declaration"
            ),
        },
        {
            "match": rf"(\.){_BLANK}([A-Za-z_][A-Za-z0-9_]*)",
            "captures": _captures("punctuation.accessor", "variable.other.property"),
        },
        {
            "match": rf"([A-Za-z_][A-Za-z0-9_]*)(?={_BLANK}:)",
            "name": _scope("variable.parameter"),
        },
        {
            "match": rf"{_any_of(known.joining)}\b(?!{_BLANK}[.:])",
            "name": _scope("keyword.other"),
        },
        {
            "match": rf"{_any_of(functions())}(?={_BLANK}\()",
            "name": _scope("support.function"),
        },
        {
            "comment": "The words a setting may be one of",
            "match": rf"({name})(?={_BLANK}\|)|(\|){_BLANK}({name})",
            "captures": _captures(
                "constant.other.choice", "keyword.operator.choice", "constant.other.choice"
            ),
        },
        {"match": pattern_of("NAME"), "name": _scope("variable.other")},
        {"include": "#group"},
        {"match": pattern_of("COMPARISON"), "name": _scope("keyword.operator.comparison")},
        {"match": r"[-+*/^]", "name": _scope("keyword.operator.arithmetic")},
        {"match": r"=", "name": _scope("keyword.operator.assignment")},
        {"match": r"\|", "name": _scope("keyword.operator.choice")},
        {"match": r"\.", "name": _scope("punctuation.accessor")},
        {"match": r"%", "name": _scope("keyword.other.unit")},
        {"match": r"[{}]", "name": _scope("punctuation.section.block")},
        {"match": r"[()]", "name": _scope("punctuation.section.group")},
        {"match": r"[,;:]", "name": _scope("punctuation.separator")},
        {"match": r"[^\s]", "name": _scope("invalid.illegal.character")},
    ]


def _parameters() -> Rule:
    return {
        **_group(),
        "patterns": [
            {
                "comment": "A class as a parameter: `cone: class crusher`",
                "match": rf"({_name()}){_BLANK}(:){_BLANK}(class){_GAP}{_any_of(_kinds())}\b",
                "captures": _captures(
                    "variable.parameter",
                    "punctuation.separator.type",
                    "storage.type",
                    "storage.type",
                ),
            },
            {
                "match": rf"({_name()}){_BLANK}(:){_typed()}",
                "captures": _captures(
                    "variable.parameter",
                    "punctuation.separator.type",
                    "support.type",
                    "keyword.other.unit",
                ),
            },
            {"include": "#expression"},
        ],
    }


def _kinds() -> tuple[str, ...]:
    return tuple(sorted(word for word, kind in keywords().items() if kind == "KIND"))


def _group() -> Rule:
    """Within round brackets no line break ends a statement; a brace closes what was left open."""
    return {
        "begin": r"\(",
        "end": r"\)|(?=[{}])",
        "beginCaptures": {"0": {"name": _scope("punctuation.section.group")}},
        "endCaptures": {"0": {"name": _scope("punctuation.section.group")}},
        "patterns": [{"include": "#expression"}],
    }


def _texts() -> list[Rule]:
    return [
        {"match": pattern_of("STRING"), "name": _scope("string.quoted.double")},
        {
            "comment": "Not closed on its line",
            "match": r'"[^"\n]*$',
            "name": _scope("string.quoted.double") + " " + _scope("invalid.illegal.unclosed"),
        },
    ]


def _measure() -> Rule:
    """A number with its unit. A unit that the compiler does not know is shown as a mistake."""
    return {
        "match": _measure_text(),
        "captures": {
            "0": {
                "patterns": [
                    {"match": pattern_of("NUMBER"), "name": _scope("constant.numeric")},
                    {"match": _unit(), "name": _scope("keyword.other.unit")},
                    {"match": r"[A-Za-z][\w/]*", "name": _scope("invalid.illegal.unit")},
                ]
            }
        },
    }


def _measure_text() -> str:
    return pattern_of("MEASURE")


def _typed() -> str:
    """What may follow the colon of a parameter or setting: two groups, a plain type and a unit."""
    types = "|".join(PLAIN_TYPES)
    end = rf"(?![\w/]|{_BLANK}\|)"
    return rf"(?:{_BLANK}(?:({types}){end}|({_unit()})(?!{_BLANK}\|)))?"


def _unit() -> str:
    """A unit: base units joined by `/`, any of them a currency."""
    named = "|".join(unit for unit in units() if unit != "%")
    base = rf"(?:{named}|(?!(?:{'|'.join(no_currencies())})\b)[A-Z]{{3}})(?!\w)"
    two_currencies = r"(?![A-Z]{3}/(?:\w+/)*[A-Z]{3}\b)"
    return rf"(?:%|{two_currencies}{base}(?:/{base})*(?!/))"


def _name() -> str:
    """A name that is none of the words that stand within a line."""
    return rf"(?!{_quiet(words().joining)}\b){pattern_of('NAME')}"


def _class_path() -> list[Rule]:
    return [
        {"match": r"\.", "name": _scope("punctuation.accessor")},
        {"match": pattern_of("NAME"), "name": _scope("support.class")},
    ]


def _openers(alternatives: Sequence[str]) -> str:
    """A group of words that open a statement."""
    names_there = words().never_blocks
    return _any_of(
        [word + rf"\b(?!{_BLANK}\{{)" if word in names_there else word for word in alternatives]
    )


def _any_of(alternatives: Sequence[str]) -> str:
    """A group of words, none of which is the tail of a longer name."""
    return rf"(?<![\w.])({'|'.join(alternatives)})"


def _quiet(alternatives: Sequence[str]) -> str:
    return f"(?:{'|'.join(alternatives)})"


def _captures(*scopes: str) -> Mapping[str, Rule]:
    return {str(number): {"name": _scope(scope)} for number, scope in enumerate(scopes, start=1)}


def _scope(name: str) -> str:
    return f"{name}.hoggin"
