"""A kind of machine is declared once: all that shows it follows from `schema/kinds.py`. The kind
`magnet` has nothing but its declaration there, what its classes may state in `schema/facts.py`, and
its classes in `stdlib/magnets.hog`."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.reference_language import language_page
from hoggin.editor.words import BODY
from hoggin.report.documents import documents
from hoggin.schema.asked import kinds
from hoggin.schema.kinds import KINDS
from hoggin.syntax.tables import tables
from tests.check.reading import FIXTURES, check_text

_TEXT = (FIXTURES / "good" / "magnet.hog").read_text(encoding="utf-8")
_PACKAGE = Path(__file__).parents[2] / "compiler" / "hoggin"


def test_every_kind_is_a_word_of_the_grammar_and_of_the_editor() -> None:
    for kind in KINDS:
        found = tables().token.match(kind)
        assert found is not None and found.lastgroup == "KIND", kind
        assert kind in BODY and kind in kinds()


@pytest.mark.slow
def test_a_new_kind_is_in_schedule_flowsheet_and_reference() -> None:
    from hoggin.balancing import balanced

    files = documents(balanced(check_text(_TEXT)))
    assert "magnets.suspended" in files["equipment.md"].decode()
    assert "magnets.suspended" in files["equipment.csv"].decode()
    assert "magnet" in files["graph.dot"].decode()
    assert "#### magnet" in language_page("")


def test_no_code_beside_the_declarations_knows_the_magnet() -> None:
    """The kind in one table of the schema, what its classes may state in the other, and how it
    looks in the table of symbols."""
    named = {p for p in _PACKAGE.rglob("*.py") if '"magnet' in p.read_text(encoding="utf-8")}
    tables = ("schema/kinds.py", "schema/facts.py", "report/drawing/symbols.py")
    assert named == {_PACKAGE / name for name in tables}


def test_a_magnet_needs_a_class_and_its_class_names_its_capacity_alone() -> None:
    of_none = _TEXT.replace(": magnets.suspended(width: 1000 mm)", "")
    assert "E0401" in {d.code for d in check_text(of_none).diagnostics}
    modelled = "class magnet own() { model power: bond { no_load 1 kW } }\n"
    assert "E0406" in {d.code for d in check_text(modelled).diagnostics}
