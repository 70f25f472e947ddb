"""The reference pages are made from the declarations and are up to date in `docs/`."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.library import load_library
from hoggin.commands.main import main
from hoggin.commands.reference import pages
from hoggin.world import library_names

pytestmark = pytest.mark.slow

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize("name", sorted(pages()))
def test_a_reference_page_is_up_to_date(name: str) -> None:
    assert (DOCS / name).read_text(encoding="utf-8") == pages()[name], "run: hoggin reference docs"


def test_every_class_band_and_sieve_series_of_the_library_can_be_looked_up(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = pages()["classes.md"]
    for library in library_names():
        held = load_library(library)
        for name in (*held.bands, *held.series):
            assert f"\n| `{library.rpartition('.')[2]}.{name}` | " in page
        for name in held.classes:
            assert f"\n### {library.rpartition('.')[2]}.{name}\n" in page
    assert main(["classes", "c33_8"]) == 0
    assert "band astm.c33_89    (use std.gradings.astm)" in capsys.readouterr().out
