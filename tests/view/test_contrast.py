"""The page's colours, light and dark, against WCAG 2.2 (1.4.3 and 1.4.11, from memory)."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from tests.view.contrast import EDGE, TEXT, contrast, hexadecimal

STYLE = (files("hoggin.view") / "page" / "page.css").read_text(encoding="utf-8")
LIGHT, DARK = (
    dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block))
    for block in re.findall(r":root \{(.*?)\}", STYLE, flags=re.S)
)
ON = [("ink", "paper"), ("quiet", "paper"), ("link", "paper"), ("paper", "ink"), ("ink", "tint"),
      ("link", "tint"), ("quiet", "tint"), ("ink", "picked")]  # fmt: skip
BESIDE = [("ring", "paper"), ("ring", "tint"), ("ring", "picked"), ("edge", "paper")]


def test_the_formula_gives_the_known_extremes_and_the_known_grey() -> None:
    """21:1 for black on white, and #767676 as the lightest grey that reads on white (WCAG, from
    memory)."""
    white = hexadecimal("#ffffff")
    assert contrast(hexadecimal("#000000"), white) == pytest.approx(21)
    assert contrast(white, white) == 1
    assert contrast(hexadecimal("#767676"), white) >= TEXT > contrast(hexadecimal("#777777"), white)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("pairs", "least"), [(ON, TEXT), (BESIDE, EDGE)], ids=["text", "edges"])
def test_colours_stand_out(
    colours: dict[str, str], pairs: list[tuple[str, str]], least: float
) -> None:
    for one, other in pairs:
        found = contrast(hexadecimal(colours[one]), hexadecimal(colours[other]))
        assert found >= least, (one, other, found)


def test_no_colour_stands_outside_the_two_lists() -> None:
    """So that none escapes this test, and dark misses none."""
    rest = re.sub(r":root \{.*?\}", "", STYLE, flags=re.S)
    selectors_cut = re.sub(r"\[[^\]]*\]", "", rest)
    assert not re.findall(r"#[0-9a-f]{3,8}\b(?=[; ])", selectors_cut)
    assert set(LIGHT) == set(DARK)
