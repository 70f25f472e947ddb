"""What is given beside a plant's file (on a command line, in a table) as parts of its tree."""

from __future__ import annotations

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting

_HOW = "write it as on the left of a `require` line: `chips.rate`, `chips.passing(4 mm)`"


def source_name(name: str) -> str:
    """What the text that gives a setting's value is called in diagnostics."""
    return f"setting {name}"


def setting(name: str, text: str, deck: str = "") -> Setting:
    """A setting with a value of the language; `deck` where it is another for an aperture. Raises
    HogginError."""
    given = value(text, source_name(name))
    of_deck = value(deck, source_name(name)) if deck else given
    return Setting(name, given, of_deck, tree.Ident(given.span, name.rpartition(".")[2]))


def one_let(source: Source, diagnostics: Diagnostics) -> tree.Let | None:
    """The `let` that a text is; None where it is not one statement without a fault."""
    match parse(source, diagnostics).statements:
        case (tree.Let() as let,) if not diagnostics.has_errors:
            return let
    return None


def value(text: str, source_name: str) -> tree.Expression:
    """A value of the language. Raises HogginError."""
    let = one_let(Source(source_name, f"let value = {text}\n"), Diagnostics())
    if let is None:
        raise HogginError(f"`{text}` is not a value: write a number with its unit, as `34 mm`")
    return let.value


def result(text: str, source_name: str) -> tree.Expression:
    """A result, as on the left of a `require` line. Raises HogginError."""
    diagnostics = Diagnostics()
    line = " ".join(text.split())
    file = parse(Source(source_name, f"require {line} >= 0\n"), diagnostics)
    match file.statements:
        case (tree.Requirement(condition=tree.Comparison(operator=">=", left=left)),) if (
            not diagnostics.has_errors
        ):
            return left
    raise HogginError(f"`{line}` is not a result: {_HOW}")


def asking(result: tree.Expression) -> tree.Requirement:
    """A requirement that holds a result against itself: so the checker gives its expression and
    unit, whatever kind of quantity it is."""
    return tree.Requirement(result.span, tree.Comparison(result.span, ">=", result, result), ())
