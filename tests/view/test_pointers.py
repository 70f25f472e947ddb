"""The flowsheet under fingers and the wheel, in a real browser."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from hoggin.schema.results import Results
from hoggin.view.reading import Reading
from tests.view.browser import Page
from tests.view.conftest import serving, shows
from tests.view.probes import DETAILS, LOOK, OPEN, item, turned

pytestmark = pytest.mark.slow

SHEET = "document.getElementById('flowsheet-heading').scrollIntoView()"


@pytest.fixture
def touched(shown: Page) -> Iterator[Page]:
    shown.fingers(5)
    shown.value(SHEET)
    yield shown
    shown.fingers(0)


def test_a_tap_shows_details(touched: Page) -> None:
    place = touched.value(f"probes.middle({json.dumps(item('sorting'))})")
    touched.touch("Start", place)
    touched.touch("End")
    touched.until(f"{OPEN} && {DETAILS}.includes('screen 20-SC-201')")


def test_one_finger_moves_the_drawing(touched: Page) -> None:
    under = "probes.under(400, 400)"
    point = touched.value(under)
    touched.touch("Start", (400, 400))
    touched.touch("Move", (430, 420))
    touched.touch("Move", (460, 440))
    touched.touch("End")
    assert touched.value("probes.under(460, 440)") == pytest.approx(point, abs=0.01)
    assert not touched.value(OPEN)


def test_two_fingers_spread_to_thrice_their_distance_come_thrice_as_near(touched: Page) -> None:
    """And what is between them stays there."""
    before, point = touched.value(LOOK), touched.value("probes.under(450, 400)")
    touched.touch("Start", (400, 400))
    touched.touch("Start", (400, 400), (500, 400))
    for step in range(10, 101, 10):
        touched.touch("Move", (400 - step, 400), (500 + step, 400))
    touched.touch("End")
    assert touched.value(LOOK)[2] == pytest.approx(before[2] / 3, rel=1e-6)
    assert touched.value("probes.under(450, 400)") == pytest.approx(point, abs=0.01)
    assert not touched.value(OPEN)


def test_a_finger_that_stays_when_the_other_is_lifted_moves_the_drawing_on(shown: Page) -> None:
    """With events made in the page: the protocol lifts all fingers at once."""
    shown.value(SHEET)

    def finger(what: str, number: int, x: float, y: float) -> None:
        told = {"pointerId": number, "clientX": x, "clientY": y, "isPrimary": number == 1,
                "bubbles": True}  # fmt: skip
        shown.value(
            f"document.querySelector('#drawing svg:not([hidden])').dispatchEvent("
            f"new PointerEvent('pointer{what}', {json.dumps(told)}))"
        )

    finger("down", 1, 400, 400)
    finger("down", 2, 500, 400)
    finger("move", 2, 520, 400)
    finger("up", 1, 400, 400)
    point, look = shown.value("probes.under(520, 400)"), shown.value(LOOK)
    finger("move", 2, 560, 410)
    assert shown.value("probes.under(560, 410)") == pytest.approx(point, abs=0.01)
    assert shown.value(LOOK)[2] == look[2]
    finger("up", 2, 560, 410)
    finger("move", 2, 600, 500)
    assert shown.value("probes.under(560, 410)") == pytest.approx(point, abs=0.01)
    assert not shown.value(OPEN)


def test_the_wheel_scrolls_the_page_on_where_the_whole_plant_is_seen(shown: Page) -> None:
    shown.value(SHEET)
    top, look = shown.value("scrollY"), shown.value(LOOK)
    shown.wheel(600, 400, 300)
    shown.until(f"scrollY > {top}")
    assert shown.value(LOOK) == look


def test_what_is_picked_stays_marked_under_the_mouse(shown: Page) -> None:
    fill = "getComputedStyle(document.querySelector('.item.picked .hit')).fill"
    shown.click(item("secondary"))
    shown.until(OPEN)
    picked = shown.value(fill)
    shown.hover(*shown.value(f"probes.middle({json.dumps(item('secondary'))})"))
    assert shown.value(f"document.querySelector('{item('secondary')}').matches(':hover')")
    assert shown.value(fill) == picked
    shown.hover(5, 5)
    assert shown.value(fill) == picked


@pytest.mark.parametrize("width", [1400, 420])
def test_every_sheet_begins_large_enough_to_read_and_not_off_the_sheet(
    web: Page, large: Results, width: int
) -> None:
    """Words of 9 px and more, common practice, no source; small ones are 2.2 to 2.5 on paper."""
    web.size(width, 900)
    with serving(lambda: (Reading(large), {})) as server:
        shows(web, server)
        for place in range(web.value("document.getElementById('sheet').length")):
            web.value(turned(place))
            left, top, right, foot = web.value("probes.whole()")
            seen = web.value("probes.seen()")
            assert web.value("probes.smallest()") >= 9 * 2.2 / 2.5
            assert (seen[0] >= left - 0.1 and seen[2] <= right + 0.1) or width == 1400
            assert (seen[1] >= top - 0.1 and seen[3] <= foot + 0.1) or seen[3] - seen[
                1
            ] > foot - top
