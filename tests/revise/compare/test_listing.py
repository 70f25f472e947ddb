"""Files as sorted lines for a comparison by text: all that is stated stands in them."""

from __future__ import annotations

from hoggin.diagnostics.source import Source
from hoggin.revise.compare.listing import listing


def lines(text: str) -> list[str]:
    found = listing(Source("a.hog", text))
    assert found is not None
    return found.splitlines()


def test_what_a_block_states_is_led_by_its_name() -> None:
    assert lines(
        'plant "P" {\n  screen s: l.c(width: 2 m) {\n    deck top 1 in square\n  }\n}\n'
    ) == [
        'plant "P"',
        "plant: screen s: (width) 2000 mm",
        "plant: screen s: deck top 25.4 mm square",
        "plant: screen s: l.c",
    ]


def test_aims_choices_and_the_source_of_a_setting_are_no_longer_left_out() -> None:
    """By hand from the text: each line of the file is one of the listing."""
    choice = "choose jaw {\n option small { crusher a: l.c }\n option large { crusher a: l.d }\n}"
    found = lines(f'plant "P" {{\n maximize a.rate * (2 - 1) weight 3\n {choice}\n}}\n')
    assert found == [
        'plant "P"',
        "plant: choose jaw",
        "plant: choose jaw: option large",
        "plant: choose jaw: option large: crusher a: l.d",
        "plant: choose jaw: option small",
        "plant: choose jaw: option small: crusher a: l.c",
        "plant: maximize a.rate * (2 - 1) weight 3",
    ]
    stated = 'class crusher c(a: mm) {\n  setting css: 5 mm to 9 mm source "S"\n}\n'
    assert 'class crusher c: setting css: 5 mm to 9 mm source "S"' in lines(stated)


def test_layout_units_and_order_make_no_difference() -> None:
    one = "let a = 1 in\nlet b = (a+a)*2\nx -> y -> product z\n"
    other = "x->y\n\ny -> product z\nlet b = (a + a) * 2  # twice\nlet a = 25.4 mm\n"
    assert lines(one) == lines(other)
