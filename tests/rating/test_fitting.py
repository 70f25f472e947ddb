"""What is said to do, where a limit is passed, does: written into the text and balanced again.

The feeds of these machines do not depend on their own size, so the same feed meets the new one. The
size named is the nearest: one round step smaller still passes the limit.
"""

from __future__ import annotations

import math
import re
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balancing import balanced
from hoggin.rating.fitting import ladder, nearest
from hoggin.schema.plant import Size
from hoggin.schema.results import Check, Results
from tests.check.reading import check_text
from tests.rating.conftest import HEAD

pytestmark = pytest.mark.slow

TEXT = (
    HEAD
    + """
use std.conveyors
plant "p" {
  sieves { 100 mm, 40 mm, 20 mm, 10 mm }
  feed rock { rock rock; rate 300 t/h; passing { 300 mm: 100 %, 100 mm: 40 %, 10 mm: 5 % } }
  crusher jaw: jaws.single_toggle(gape: 700 mm, width: 900 mm) { css 90 mm }
  conveyor belt: conveyors.troughed(width: 500 mm, length: 20 m, lift: 3 m)
  screen sizing: screens.inclined(width: 1.5 m, length: 3.6 m) { deck top 40 mm square }
  crusher cone: cones.medium_speed(head: 900 mm) { duty secondary; chamber coarse; css 22 mm }
  rock -> jaw -> belt -> sizing
  sizing.top.over -> cone -> product chips
  sizing.under -> product base
}
"""
)
STATED = {
    "jaw": "gape: 700 mm, width: 900 mm",
    "belt": "width: 500 mm",
    "sizing": "width: 1.5 m, length: 3.6 m",
    "cone": "head: 900 mm",
}


def _balanced(text: str) -> Results:
    return balanced(check_text(text))


def _check(results: Results, tag: str, name: str) -> Check:
    machine = next(one for one in results.machines if one.tag == tag)
    checks = (*machine.checks, *(check for deck in machine.decks for check in deck.checks))
    return next(check for check in checks if check.name == name)


LIMITS = [
    ("jaw", "load"),
    ("belt", "load"),
    ("sizing", "deck area"),
    ("cone", "load"),
    ("cone", "installed power"),
    ("cone", "feed opening"),
]


@pytest.mark.parametrize(("tag", "name"), LIMITS)
def test_the_named_size_does_and_a_smaller_one_does_not(tag: str, name: str) -> None:
    check = _check(_balanced(TEXT), tag, name)
    assert check.verdict == "over"
    size = check.fit.split("`")[1]
    sized = TEXT.replace(f"({STATED[tag]}", f"({size}")
    assert sized != TEXT
    assert _check(_balanced(sized), tag, name).verdict != "over"
    numbers = re.findall(r"(\w+): ([\d.]+)", size)
    if len(numbers) == 1:
        (word, number), step = numbers[0], 50
        smaller = f"{word}: {float(number) - step:g} mm"
        again = TEXT.replace(f"({STATED[tag]}", f"({smaller}")
        assert _check(_balanced(again), tag, name).verdict == "over"


@pytest.mark.parametrize(("tag", "name"), [one for one in LIMITS if one[1] != "feed opening"])
def test_the_named_count_does_and_one_fewer_does_not(tag: str, name: str) -> None:
    found = re.search(r"`count (\d+)`", _check(_balanced(TEXT), tag, name).fit)
    assert found is not None
    for count, over in ((int(found[1]), False), (int(found[1]) - 1, True)):
        line = next(one for one in TEXT.splitlines() if f" {tag}: " in one)
        put = (
            line.replace("{", f"{{ count {count};", 1)
            if "{" in line
            else f"{line} {{ count {count} }}"
        )
        assert (_check(_balanced(TEXT.replace(line, put)), tag, name).verdict == "over") is over


WASHED = (
    HEAD
    + """
use std.washing
plant "wash" {
  sieves sieves.astm_c33
  feed sand { rock rock; rate 60 t/h; passing { 9.5 mm: 100 %, 1.18 mm: 60 %, 0.15 mm: 3 % } }
  sump tank { added_water 300 m3/h }
  classifier MACHINE
  sand -> tank -> one
  one.coarse -> product coarse; one.fine -> product fine
}
"""
)


@pytest.mark.parametrize(
    ("machine", "name"),
    [
        ("one: washing.screw(diameter: 800 mm) { cut 0.15 mm }", "load"),
        ("one: washing.screw(diameter: 800 mm) { cut 0.15 mm }", "pool"),
        ("one: washing.cyclone(diameter: 100 mm) { cut 0.05 mm }", "cyclone flow"),
    ],
)
def test_a_classifier_s_limits_say_how_many_would_do_as_all_others_do(
    machine: str, name: str
) -> None:
    results = _balanced(WASHED.replace("MACHINE", machine))
    found = re.search(r"`count (\d+)`", _check(results, "one", name).fit)
    assert found is not None
    for count, over in ((int(found[1]), False), (int(found[1]) - 1, True)):
        several = machine.replace("{", f"{{ count {count};")
        again = _balanced(WASHED.replace("MACHINE", several))
        assert (_check(again, "one", name).verdict == "over") is over


def test_more_machines_do_not_help_a_feed_that_is_too_coarse() -> None:
    assert "count" not in _check(_balanced(TEXT), "cone", "feed opening").fit


def test_no_size_is_named_beyond_the_range_of_the_class() -> None:
    """The largest medium-speed head of the class is 2200 mm."""
    check = _check(_balanced(TEXT.replace("rate 300 t/h", "rate 3000 t/h")), "cone", "load")
    assert "head" not in check.fit and "`count" in check.fit


def test_more_screens_do_not_help_a_motor_that_is_too_small_for_its_box() -> None:
    """Each box shakes its own mass, whatever it is fed: by hand, two boxes draw twice as much."""
    ours = "class screen ours: screens.inclined { installed_power 2 kW }\n"
    text = TEXT.replace("sizing: screens.inclined", "sizing: ours")
    text = text.replace("use std.conveyors", f"use std.conveyors\n{ours}")
    found = _check(_balanced(text), "sizing", "installed power")
    assert found.verdict == "over" and "count" not in found.fit


def _size(value: float, span: float) -> Size:
    return Size(value=value, low=value / 2, high=value * span, unit="mm")


_SIZES = st.lists(
    st.builds(_size, st.floats(100.0, 3000.0), st.floats(1.0, 3.0)), min_size=1, max_size=3
).map(tuple)


@settings(deadline=None)
@given(_SIZES, st.lists(st.floats(0.0, 2.0), min_size=3, max_size=3), st.floats(1.0, 20.0))
def test_the_nearest_size_is_that_of_trying_every_size(
    sizes: tuple[Size, ...], powers: list[float], over: float
) -> None:
    """Capacities that rise with powers of the sizes, in a class that refuses long shapes."""
    now = [size.value for size in sizes]

    def does(values: tuple[float, ...]) -> bool | None:
        if values[-1] / now[-1] > 1.5 * values[0] / now[0]:
            return None
        shares = [(v / n) ** p for v, n, p in zip(values, now, powers, strict=False)]
        return bool(math.prod(shares) > over)

    def growth(values: tuple[float, ...]) -> float:
        return math.prod(v / n for v, n in zip(values, now, strict=True))

    every = [
        values
        for values in product(*(ladder(size, 0.04 * len(sizes)) for size in sizes))
        if does(values)
    ]
    found = nearest(sizes, does)
    assert (found is None) == (not every)
    if found is not None:
        assert does(found) and growth(found) == pytest.approx(min(map(growth, every)))


def test_the_nearest_of_hundreds_of_sizes_is_found_by_some_tens_of_trials() -> None:
    sizes, tried = (_size(1000.0, 4.0), _size(1000.0, 4.0)), []

    def does(values: tuple[float, ...]) -> bool:
        tried.append(values)
        return math.prod(values) > 4e6

    found = nearest(sizes, does)
    sizes_in_all = math.prod(len(list(ladder(size, 0.08))) for size in sizes)
    assert found is not None and math.prod(found) == pytest.approx(4.05e6, rel=0.03)
    assert sizes_in_all > 900 and len(tried) < 100
