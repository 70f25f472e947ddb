"""What commands print about a balanced plant."""

from __future__ import annotations

import sys
from collections.abc import Callable
from math import fsum
from typing import TypeVar

from hoggin.commands.output import paint_of, width_of
from hoggin.folding import folded, wrapped
from hoggin.report import mass_balance, text
from hoggin.report import printed as tables
from hoggin.report.results_json import results_json
from hoggin.report.tables import Document
from hoggin.report.wording import gravity, judgement, overload_notes
from hoggin.schema.results import Results

_MORE = "More: `--show balance`, `--show equipment` (with every caution), `--show all`."
_WORD = 8  # columns of a verdict: `NOT MET `
T = TypeVar("T")


def shown(document: Document, form: str = "terminal") -> str:
    """A document for standard output or as Markdown."""
    if form == "markdown":
        return text.markdown(document)
    return text.terminal(document, width_of(sys.stdout), paint_of(sys.stdout))


def printed(
    found: T, form: str, document: Callable[[T], Document], as_json: Callable[[T], str]
) -> str:
    """A command's result, in the requested form."""
    return as_json(found) if form == "json" else shown(document(found), form)


def show(results: Results, what: str) -> str:
    """The requested tables: "summary", "balance", "equipment", "all" or "json"."""
    match what:
        case "json":
            return results_json(results)
        case "balance":
            return shown(tables.balance(results))
        case "equipment":
            return shown(tables.schedule(results))
        case "all":
            return shown(tables.everything(results))
    return shown(tables.summary(results, _MORE))


def verdicts(results: Results) -> str:
    """One line on the balance, then the warnings and the requirements. A terminal has long lines
    folded."""
    products = fsum(product.rate_t_h for product in results.products)
    lines = [
        f"{results.title}: {results.feed_t_h:.1f} t/h in, {products:.1f} t/h of products, "
        f"{results.power_kw:.0f} kW drawn, closed within "
        f"{results.closure.worst:.0e} of feed, with {mass_balance.flow_error(results)}"
    ]
    lines += overload_notes(results)
    paint = paint_of(sys.stdout)
    for warning in results.warnings:
        place = f"{warning.file}:{warning.line}:{warning.column}"
        if warning.code != tables.UNMET:  # which is reported with what is required
            said = paint("near", f"warning {warning.code}:")
            lines.append(f"{said} {warning.text}\n  at {place}")
            lines += [f"  help: {warning.help}"] if warning.help else []
    helps = {one.subject: one.help for one in results.warnings if one.code == tables.UNMET}
    for requirement in results.requirements:
        word = judgement(requirement)
        why = requirement.reason or f"margin {requirement.margin_text}"
        lines.append(_judged(word, f"{requirement.text}: {requirement.value_text}, {why}"))
        if help := helps.get(requirement.text):
            lines.append(f"  help: {help}")
    found = "\n".join(lines) + "\n"
    return folded(found, width_of(sys.stdout)) if sys.stdout.isatty() else found


def _judged(word: str, said: str) -> str:
    """A verdict, and beside it what it is of."""
    room = width_of(sys.stdout) - _WORD
    lines = wrapped(said, room) if sys.stdout.isatty() else [said]
    inked = paint_of(sys.stdout)(gravity(word) or "strong", word)
    gap = " " * max(1, _WORD - len(word))
    return f"{inked}{gap}" + f"\n{' ' * _WORD}".join(lines)
