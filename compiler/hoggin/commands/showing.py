"""What commands print about a balanced plant."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from math import fsum
from typing import TypeVar

from hoggin.report import equipment, mass_balance, text
from hoggin.report.results_json import results_json
from hoggin.report.tables import Document
from hoggin.report.wording import judgement, overload_notes
from hoggin.schema.results import Results

_NARROWEST, _WIDEST = 100, 180
T = TypeVar("T")


def terminal_width() -> int:
    """The width in columns: the terminal's, within limits that keep a table readable."""
    return min(_WIDEST, max(_NARROWEST, shutil.get_terminal_size((140, 40)).columns))


def shown(document: Document, form: str = "terminal") -> str:
    """A document for the terminal or as Markdown."""
    if form == "markdown":
        return text.markdown(document)
    return text.terminal(document, terminal_width())


def printed(
    found: T, form: str, document: Callable[[T], Document], as_json: Callable[[T], str]
) -> str:
    """A command's result, in the requested form."""
    return as_json(found) if form == "json" else shown(document(found), form)


def show(results: Results, what: str) -> str:
    """The requested tables: "all", "balance", "equipment" or "json"."""
    if what == "json":
        return results_json(results)
    width = terminal_width()
    parts = []
    if what in ("all", "balance"):
        parts.append(mass_balance.terminal(results, width))
    if what in ("all", "equipment"):
        parts.append(equipment.terminal(results, width))
    return "\n".join(parts)


def verdicts(results: Results) -> str:
    """One line on the balance, then the warnings and the requirements."""
    products = fsum(product.rate_t_h for product in results.products)
    lines = [
        f"{results.title}: {results.feed_t_h:.1f} t/h in, {products:.1f} t/h of products, "
        f"{results.power_kw:.0f} kW drawn, closed within "
        f"{results.closure.worst:.0e} of feed, with {mass_balance.flow_error(results)}"
    ]
    lines += overload_notes(results)
    for warning in results.warnings:
        place = f"{warning.file}:{warning.line}:{warning.column}"
        lines.append(f"warning {warning.code}: {warning.text}\n  at {place}")
        if warning.help:
            lines.append(f"  help: {warning.help}")
    for requirement in results.requirements:
        words = f"{judgement(requirement):7} {requirement.text}: {requirement.value_text}"
        why = requirement.reason or f"margin {requirement.margin_text}"
        lines.append(f"{words}, {why}")
    return "\n".join(lines) + "\n"
