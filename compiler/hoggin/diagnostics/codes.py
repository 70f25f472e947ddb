"""Every diagnostic, declared once: its code, title, and the page `hoggin explain CODE` shows.

E01 reading the text, E02 names and files, E03 units and values, E04 classes and settings,
E05 routes, E06 gradings and decks, E07 templates and limits, E08 the balance, E09 measured data
for a fit; W01 and W05 are warnings of the checker and of rating: the documents are issued all the
same.
"""

from __future__ import annotations

from hoggin.diagnostics.code import Code
from hoggin.diagnostics.pages.plants import PLANTS
from hoggin.diagnostics.pages.reading import READING
from hoggin.diagnostics.pages.warnings import WARNINGS

CODES: dict[str, Code] = {code.code: code for code in (*READING, *PLANTS, *WARNINGS)}

__all__ = ["CODES", "Code"]
