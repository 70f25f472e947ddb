"""The reference pages are made from the declarations and are up to date in `docs/`."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.reference import pages

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize("name", sorted(pages()))
def test_a_reference_page_is_up_to_date(name: str) -> None:
    assert (DOCS / name).read_text(encoding="utf-8") == pages()[name], "run: hoggin reference docs"
