"""The drawing of a large plant, sheet by sheet, in a real browser; how it looks and where it is."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from hoggin.schema.results import Results
from hoggin.view.reading import Reading
from tests.view.browser import Page
from tests.view.conftest import EXAMPLES, serving, serving_file, shows
from tests.view.contrast import EDGE, TEXT, contrast, rgb
from tests.view.probes import DETAILS, DRAWN, FOCUSED, LOOK, OPEN, STATUS, gone_to, item, turned
from tests.view.test_live import edited

pytestmark = pytest.mark.slow

SHOWN = "document.querySelector('#drawing svg:not([hidden])')"
SHEET = "Number(document.getElementById('sheet').value)"


@pytest.fixture
def divided(web: Page, large: Results) -> Iterator[Page]:
    web.size(1400, 900)
    with serving(lambda: (Reading(large), {})) as server:
        shows(web, server)
        yield web


def middle(web: Page, selector: str) -> tuple[int, int]:
    """The middle of an element of the sheet that is shown."""
    x, y = web.value(f"probes.middle({json.dumps(f'#drawing svg:not([hidden]) {selector}')})")
    return x, y


def clicked(web: Page, selector: str) -> None:
    place = middle(web, selector)
    web.press(*place)
    web.release(*place)


def test_one_sheet_is_shown_at_a_time_and_the_list_turns_to_another(divided: Page) -> None:
    count = divided.value("document.getElementById('sheet').length")
    assert count == divided.value("document.querySelectorAll('#drawing > svg').length") > 2
    assert divided.value(SHEET) == 0
    for place in (2, 1):
        divided.value(turned(place))
        shown = divided.value("document.querySelectorAll('#drawing > svg:not([hidden])').length")
        assert shown == 1
        title = divided.value(f"document.getElementById('sheet').options[{place}].text")
        named = divided.value(f"{SHOWN}.getAttribute('aria-label')")
        assert title.partition(": ")[2] == named.rpartition(": ")[2]


def test_a_box_of_the_overview_and_a_connector_turn_to_their_sheets(divided: Page) -> None:
    clicked(divided, ".way[data-sheet='3'] use")
    assert divided.value(SHEET) == 2
    key = divided.value(f"{SHOWN}.querySelector('.way').dataset.key")
    there = divided.value(f"Number({SHOWN}.querySelector('.way').dataset.sheet)")
    clicked(divided, ".way path")
    assert divided.value(SHEET) == there - 1
    assert divided.value(FOCUSED) == key
    assert not divided.value(OPEN)


def test_arrows_follow_a_stream_onto_the_next_sheet(divided: Page, large: Results) -> None:
    divided.value(turned(2))
    first = divided.value(f"{SHOWN}.querySelector('.way').dataset.key")
    stream = next(stream for stream in large.streams if stream.name == first)
    divided.value(f"{SHOWN}.querySelector('{item(first)}').focus()")
    divided.key("ArrowUp")
    assert divided.value(FOCUSED) == stream.source
    assert divided.value(SHEET) == 1
    assert divided.value("document.activeElement.closest('svg').hasAttribute('hidden')") is False


def test_page_down_and_up_turn_the_sheets_and_keep_the_focus_on_the_drawing(
    divided: Page,
) -> None:
    divided.value(turned(1))
    divided.value(f"{SHOWN}.querySelector('.item').focus()")
    divided.key("PageDown")
    assert divided.value(SHEET) == 2
    assert divided.value(f"{SHOWN}.contains(document.activeElement)")
    divided.key("PageUp")
    divided.key("PageUp")
    assert divided.value(SHEET) == 0


def test_go_to_turns_to_the_sheet_of_what_is_chosen(divided: Page, large: Results) -> None:
    last = large.machines[-1].tag
    divided.value(gone_to(last))
    divided.until(f"{OPEN} && {DETAILS}.includes({json.dumps(last)})")
    divided.until(f"{SHOWN}.querySelector({json.dumps(item(last))}) !== null")
    assert divided.value("probes.smallest()") >= 8


def test_a_plant_of_one_sheet_has_no_list_of_sheets(shown: Page) -> None:
    assert shown.value("document.getElementById('sheets').hidden")


def test_the_drawing_is_the_first_of_the_page_and_errors_come_before_it(
    shown: Page, plant: Path
) -> None:
    order = "[...document.querySelectorAll('main h2')].map((one) => one.textContent)"
    assert shown.value(order)[:2] == ["Flowsheet", "Verdicts"]
    edited(plant, "css     40 mm", "css     400 mm")
    shown.until("!document.getElementById('age').hidden")
    assert shown.value(order)[0] == "Verdicts"
    edited(plant, "css     400 mm", "css     40 mm")
    shown.until("document.getElementById('age').hidden")
    assert shown.value(order)[0] == "Flowsheet"


def test_details_take_no_size_from_the_text(shown: Page) -> None:
    shown.size(1400, 900)
    before = shown.value("probes.smallest()")
    whole = shown.value(LOOK)
    shown.click(item("secondary"))
    shown.until(OPEN)
    assert shown.value("probes.smallest()") == pytest.approx(before, rel=0.02)
    shown.click("#close")
    shown.until(f"!({OPEN})")
    assert shown.value(LOOK) == pytest.approx(whole, abs=0.5)


def test_a_save_marks_what_it_changed_and_says_so(shown: Page, plant: Path) -> None:
    marked = "[...document.querySelectorAll('.item.changed')].map((one) => one.dataset.key)"
    assert shown.value(marked) == []
    assert shown.value("document.getElementById('changed').hidden")
    edited(plant, "css     40 mm", "css     46 mm")
    shown.until(f"{STATUS}.includes('The last save changed') && {DRAWN}")
    keys = shown.value(marked)
    assert "secondary" in keys and "secondary -> sorting" in keys
    assert "shot_rock" not in keys and "hopper_feeder" not in keys  # nothing returns to them
    assert not shown.value("document.getElementById('changed').hidden")
    names = [name for role, name in shown.names() if role == "button"]
    assert any("changed: css 46 mm, before 40 mm" in name for name in names)
    shown.click(item("secondary"))
    shown.until(OPEN)
    assert "css 46 mm, before 40 mm" in shown.value(DETAILS)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_lines_symbols_and_marks_stand_out(shown: Page, plant: Path, dark: bool) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11 (from memory), by the computed colours."""
    edited(plant, "css     40 mm", "css     46 mm")
    shown.until("document.querySelector('.item.changed.stream') !== null")
    shown.dark(dark)
    ground, line, plate, number, tag_plate, tag = shown.value(
        "(() => { const css = (one) => getComputedStyle(document.querySelector(one));"
        "return [css('body').backgroundColor, css('#drawing .piece .line').stroke,"
        "css('.changed.stream .ink').fill, css('.changed.stream text').fill,"
        "css('.changed.machine > .ink').fill, css('.changed.machine text').fill]; })()"
    )
    assert contrast(rgb(line), rgb(ground)) >= EDGE
    assert contrast(rgb(number), rgb(plate)) >= TEXT
    assert contrast(rgb(tag), rgb(tag_plate)) >= TEXT
    assert (sum(rgb(ground)) < 3 * 128) == dark


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_symbols_are_filled_with_the_ground_of_the_page(
    shown: Page, tmp_path: Path, dark: bool
) -> None:
    """By the pixels: a symbol is drawn where it is used, and no script can ask for its colours."""
    shown.dark(dark)
    shown.value(gone_to("primary"))
    shown.until(OPEN)
    shown.click("#close")
    shown.until(f"!({OPEN})")
    left, top, right, foot = shown.value(f"probes.edges({json.dumps(item('primary') + ' use')})")
    ground = shown.value("getComputedStyle(document.body).backgroundColor")
    shown.picture(tmp_path / "page.png")
    picture = Image.open(tmp_path / "page.png").convert("RGB")
    colours = Counter(
        picture.getpixel((x, y))
        for x in range(round(left), round(right))
        for y in range(round(top), round(foot))
    )
    assert colours.most_common(1)[0][0] == rgb(ground)
    assert len(colours) > 1  # its outline


def test_a_stream_of_water_is_selected_as_any_other(web: Page) -> None:
    with serving_file(EXAMPLES / "cookbook" / "washed_gravel.hog") as server:
        shows(web, server)
        web.value(f"document.querySelector('{item('rinsing')}').focus()")
        web.value(f"document.querySelector('{item('water W2')}').focus()")
        web.key("ArrowDown")
        assert web.value(FOCUSED) in ("rinsing", "crushed", "screw")
        web.key("ArrowUp")
        web.click(item("water W2"))
        web.until(OPEN)
        assert "Water alone." in web.value(DETAILS)
