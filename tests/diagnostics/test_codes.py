"""Codes are declared once, each with a page; diagnostics are kept once and in order."""

from __future__ import annotations

import re

from hoggin.diagnostics.codes import CODES
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.names import E0201
from hoggin.diagnostics.families.unused import W0101
from hoggin.diagnostics.source import Source, Span
from hoggin.diagnostics.suggest import did_you_mean


def test_codes_are_well_formed_and_in_order() -> None:
    assert list(CODES) == sorted(CODES)
    assert all(re.fullmatch(r"[EW]\d{4}", code) for code in CODES)


def test_every_code_has_a_page_that_says_why() -> None:
    for code in CODES.values():
        page = code.page()
        assert page.startswith(f"{code.code}: {code.title}\n\n")
        assert " ".join(page.split()).startswith(f"{code.code}: {code.title} {code.why}")
        assert len(code.why) > 20
        assert page.endswith("\n")


def test_the_same_fault_is_kept_once_and_all_are_in_order_of_place() -> None:
    source = Source("a.hog", "abcdef")
    found = Diagnostics()
    for offset in (4, 1, 4, 2):
        found.report(E0201.unknown("a", ()), Span(source, offset, offset + 1))
    found.report(W0101.name("`let`", "a"), Span(source, 0, 1))
    assert [d.span.start for d in found] == [0, 1, 2, 4]
    assert found.has_errors


def test_the_nearest_name_or_a_short_list_is_offered() -> None:
    assert did_you_mean("corse", ["coarse", "fine"]) == "did you mean `coarse`?"
    assert did_you_mean("blue", ["fine", "coarse"]) == "known here: `coarse`, `fine`"
    assert did_you_mean("zzz", [f"name{n}" for n in range(50)]) == ""
    assert did_you_mean("anything", []) == ""
