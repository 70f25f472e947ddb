"""The whole of a document as a wide terminal shows it."""

from __future__ import annotations

from hoggin.report import equipment, mass_balance, text
from hoggin.schema.results import Results

WIDTH = 140


def balance_text(results: Results, width: int = WIDTH) -> str:
    return text.terminal(mass_balance.document(results, brief=True), width)


def schedule_text(results: Results, width: int = WIDTH) -> str:
    return text.terminal(equipment.document(results, brief=True), width)
