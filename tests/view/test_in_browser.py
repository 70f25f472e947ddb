"""The page in a real browser: headless Chromium, driven over its own protocol."""

from __future__ import annotations

import http.server
import json
import re
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest

from hoggin.schema.results import Results
from hoggin.view.door import door
from hoggin.view.drawing import ShownSheet, sheets
from hoggin.view.reading import Reading
from tests.view.browser import Page
from tests.view.conftest import serving, serving_file, shows
from tests.view.contrast import EDGE, TEXT, contrast, rgb
from tests.view.probes import DETAILS, DRAWN, FOCUSED, LOOK, OPEN, READY, STATUS, gone_to, item
from tests.view.test_live import edited

pytestmark = pytest.mark.slow


def test_a_click_on_a_machine_shows_its_grading_load_and_source_line(
    shown: Page, plant: Path
) -> None:
    shown.click(item("secondary"))
    shown.until(OPEN)
    said = shown.value(DETAILS)
    line = next(
        n
        for n, text in enumerate(plant.read_text().splitlines(), 1)
        if "crusher secondary:" in text
    )
    assert f"quarry.hog:{line}" in said
    assert "crusher secondary: cones.supported_shaft(head: 1850 mm) {" in said
    assert "load (%)" in said and "css\n40 mm" in said and "Cautions" in said
    assert shown.value("document.querySelectorAll('#details .plot .series').length") == 2
    assert shown.value(
        f"document.querySelector('{item('secondary')}').getAttribute('aria-current')"
    )


def test_the_file_that_a_browser_is_given_leads_to_the_page(web: Page, plant: Path) -> None:
    with serving_file(plant) as server, door(server.url) as address:
        web.open(address)
        web.until(f"location.href === {json.dumps(server.url)}")
        web.until(READY)
    web.requests[:] = [url for url in web.requests if url != address]


def test_a_click_on_a_line_shows_the_stream(shown: Page, plant: Path) -> None:
    name = "tunnel_feeder -> sorting"
    place = shown.value(f"probes.halfWay({json.dumps(name)})")
    shown.press(*place)
    shown.release(*place)
    shown.until(OPEN)
    said = shown.value(DETAILS)
    assert "stream tunnel_feeder -> sorting" in said
    line = next(
        n for n, text in enumerate(plant.read_text().splitlines(), 1)
        if "-> tunnel_feeder -> sorting" in text
    )  # fmt: skip
    assert f"quarry.hog:{line}" in said


def test_a_save_changes_what_is_shown_without_a_reload(shown: Page, plant: Path) -> None:
    shown.value("window.stays = true")
    shown.click(item("secondary"))
    shown.until(OPEN)
    shown.click("#nearer")
    before, look = shown.value(DETAILS), shown.value(LOOK)
    status = shown.value(STATUS)
    edited(plant, "css     40 mm", "css     46 mm")
    shown.until(f"{DETAILS}.includes('css\\n46 mm')")
    shown.until(f"{STATUS} !== {json.dumps(status)}")
    assert shown.value("window.stays") is True
    capacity = re.compile(r"capacity \(t/h\)\s+([\d.]+)")
    found = [capacity.search(text) for text in (before, shown.value(DETAILS))]
    then, now = (float(match[1]) for match in found if match)
    assert now > then  # a wider setting passes more (common practice, no source)
    assert "css 46 mm" in shown.value("document.querySelector('#tables').textContent")
    assert shown.value(LOOK)[2] == pytest.approx(look[2], rel=0.1)
    assert shown.value("document.querySelector('.item.picked').dataset.key") == "secondary"
    assert re.search(r"\d of 7 requirements met", shown.value(STATUS))


def test_errors_take_the_place_of_verdicts_and_the_old_flowsheet_is_marked_as_old(
    shown: Page, plant: Path
) -> None:
    edited(plant, "css     40 mm", "css     400 mm # <img src=x onerror=alert(1)>")
    shown.until("!document.getElementById('age').hidden")
    said = shown.value("document.getElementById('verdicts').innerText")
    assert "NO VERDICTS" in said and "error E0404" in said and "<img src=x" in said
    assert "OLDER TEXT" in shown.value("document.getElementById('plant').innerText")
    assert shown.value("document.querySelectorAll('#drawing .item').length") > 20
    assert shown.value("document.querySelectorAll('img').length") == 0
    edited(plant, "css     400 mm", "css     41 mm")
    shown.until("document.getElementById('age').hidden")
    shown.until("document.querySelector('#tables').textContent.includes('css 41 mm')")
    assert "met" in shown.value("document.getElementById('verdicts').innerText")


def test_a_file_with_errors_from_the_start_shows_them_and_then_the_plant(
    web: Page, plant: Path
) -> None:
    text = plant.read_text()
    plant.write_text(text.replace("css     40 mm", "css     400 mm"))
    with serving_file(plant) as server:
        web.open(server.url)
        web.until("document.getElementById('verdicts')?.innerText.includes('error E0404')")
        assert web.value("document.getElementById('plant').hidden")
        assert web.value("document.querySelector('nav').innerText").strip() == "Verdicts"
        plant.write_text(text)
        web.until(READY)
        assert not web.value("document.getElementById('plant').hidden")


def test_details_close_when_their_machine_is_gone(shown: Page, plant: Path) -> None:
    shown.click(item("drain"))
    shown.until(OPEN)
    plant.write_text(
        plant.read_text().replace("order_book.drain    -> drain", "order_book.drain -> ballast")
        .replace("product drain {", "product ballast {")
    )  # fmt: skip
    shown.until(f"!({OPEN})")
    assert shown.value(f"document.querySelector('{item('ballast')}') !== null")


def test_a_save_leaves_focus_and_scrolled_tables_where_they_were(shown: Page, plant: Path) -> None:
    second = "document.querySelectorAll('#tables button.to[data-key=\"surge\"]')[1]"
    wide = "document.querySelector('.scroll[aria-label$=\"Stream gradings\"]')"
    shown.size(700, 900)
    shown.value(f"{second}.focus()")
    shown.value(f"{wide}.scrollTo(150, 60)")
    edited(plant, "css     40 mm", "css     42 mm")
    shown.until("document.querySelector('#tables').textContent.includes('css 42 mm')")
    assert shown.value(f"document.activeElement === {second}")
    assert shown.value(f"[{wide}.scrollLeft, {wide}.scrollTop]") == [150, 60]


def test_the_focus_goes_to_the_heading_where_what_had_it_is_gone(shown: Page, plant: Path) -> None:
    shown.value("document.querySelector('#tables button.to[data-key=\"drain\"]').focus()")
    plant.write_text(re.sub(r"\bdrain\b", "ballast", plant.read_text()))
    shown.until("document.querySelector('#tables').textContent.includes('ballast')")
    assert shown.value(FOCUSED) == "mass-balance-heading"


def test_while_a_new_flowsheet_is_drawn_the_old_one_is_told_to_be_old(
    shown: Page, plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slowly(results: Results, changed: Mapping[str, str]) -> tuple[ShownSheet, ...]:
        go.wait(30)
        return sheets(results, changed)

    monkeypatch.setattr("hoggin.view.pages.sheets", slowly)
    edited(plant, "css     40 mm", "css     46 mm")
    shown.until(f"{STATUS}.includes('The flowsheet is being drawn.')")
    assert "OLDER until then" in shown.value(STATUS)
    stale = "document.getElementById('plant').classList.contains('stale')"
    assert shown.value(stale)
    go.set()
    shown.until("document.querySelector('#tables').textContent.includes('css 46 mm')")
    shown.until(DRAWN)
    assert not shown.value(stale)


def test_a_file_that_is_gone_is_told_as_that(shown: Page, plant: Path) -> None:
    plant.unlink()
    shown.until(f"{STATUS}.includes('there is no such file')")
    assert "OLDER TEXT" in shown.value("document.getElementById('plant').innerText")
    assert "errors" not in shown.value("document.body.innerText")


def test_all_is_to_be_done_from_the_keyboard(shown: Page) -> None:
    for _ in range(40):
        shown.key("Tab")
        if shown.value("document.activeElement.closest('#drawing') !== null"):
            break
    assert shown.value(FOCUSED) == "shot_rock"
    path = []
    for _ in range(4):
        shown.key("ArrowDown")
        path.append(shown.value(FOCUSED))
    assert path == ["shot_rock -> hopper_feeder", "hopper_feeder", "hopper_feeder -> bars", "bars"]
    shown.key("ArrowDown")
    assert shown.value(FOCUSED) == "bars.top.over -> primary"
    shown.key("ArrowRight")
    assert shown.value(FOCUSED) == "bars.under -> dirt"
    shown.key("ArrowUp")
    assert shown.value(FOCUSED) == "bars"
    shown.key("ArrowDown")
    assert shown.value(FOCUSED) == "bars.under -> dirt"
    shown.key("Enter")
    shown.until(OPEN)
    shown.until(f"{FOCUSED} === 'details-heading'")
    assert "bars.under -> dirt" in shown.value(DETAILS)
    shown.key("Escape")
    shown.until(f"!({OPEN})")
    assert shown.value(FOCUSED) == "bars.under -> dirt"
    shown.key(" ")
    shown.until(OPEN)


def test_the_focus_is_seen(shown: Page) -> None:
    shown.value(f"document.querySelector('{item('surge')}').focus()")
    shown.key("ArrowDown")
    ring = shown.value("probes.edges('.ring')")
    box = shown.value(f"probes.edges({json.dumps(item('surge -> tunnel_feeder'))})")
    assert ring[0] < box[0] and ring[1] < box[1] and ring[2] > box[2] and ring[3] > box[3]
    assert shown.value("getComputedStyle(document.querySelector('.ring')).visibility") == "visible"


def test_plus_minus_and_nought_change_the_size(shown: Page) -> None:
    shown.value(f"document.querySelector('{item('surge')}').focus()")
    whole = shown.value(LOOK)
    shown.key("+")
    assert shown.value(LOOK)[2] == pytest.approx(whole[2] / 1.25)
    shown.key("+")
    shown.key("-")
    assert shown.value(LOOK)[2] == pytest.approx(whole[2] / 1.25)
    shown.key("ArrowRight", shift=True)
    assert shown.value(LOOK)[0] > whole[0]
    shown.key("0")
    assert shown.value(LOOK) == pytest.approx(whole)
    shown.click("#nearer")
    shown.click("#farther")
    assert shown.value(LOOK)[2] == pytest.approx(whole[2])


def test_the_wheel_comes_nearer_about_the_pointer_and_a_drag_moves_and_opens_nothing(
    shown: Page,
) -> None:
    x, y = shown.value(f"probes.middle({json.dumps(item('sorting'))})")
    under = f"probes.under({x}, {y})"
    before, point = shown.value(LOOK), shown.value(under)
    shown.wheel(x, y, -400)
    shown.until(f"{LOOK}[2] < {before[2]}")
    assert shown.value(under) == pytest.approx(point, abs=1e-3)
    shown.press(x, y)
    shown.move(x + 60, y + 30)
    shown.release(x + 60, y + 30)
    moved = shown.value(under)
    scale = shown.value("document.querySelector('#drawing svg').getScreenCTM().a")
    assert moved == pytest.approx([point[0] - 60 / scale, point[1] - 30 / scale], abs=0.01)
    assert not shown.value(OPEN)


def test_go_to_and_the_tables_lead_to_the_details_and_the_drawing(shown: Page) -> None:
    shown.value(gone_to("tertiary"))
    shown.until(f"{OPEN} && {DETAILS}.includes('crusher 30-CR-301')")
    shown.value("document.querySelector('#tables button.to[data-key=\"sand\"]').click()")
    shown.until(f"{DETAILS}.includes('product sand')")
    shown.until(f"{FOCUSED} === 'details-heading'")
    shown.key("Escape")
    shown.until(f"!({OPEN})")
    assert shown.value("document.activeElement.closest('#tables') !== null")


def test_every_item_is_reached_by_arrows_alone(web: Page, large: Results) -> None:
    """A breadth-first search over the page's own step function: no item is out of reach."""
    with serving(lambda: (Reading(large), {})) as server:
        shows(web, server)
        reached, all_items = web.value("probes.reached()")
        assert set(reached) == set(all_items)


def test_everything_that_can_be_used_has_a_name(shown: Page) -> None:
    """WCAG 2.2, 4.1.2 (from memory), as Chromium tells a screen reader."""
    shown.click(item("secondary"))
    shown.until(OPEN)
    used = {"button", "link", "combobox", "region", "complementary", "group", "img", "navigation",
            "heading", "textbox", "option", "MenuListOption", "DisclosureTriangle"}  # fmt: skip
    told = shown.names()
    nameless = [role for role, name in told if role in used and not name.strip()]
    assert nameless == []
    names = [name for role, name in told if role == "button"]
    assert any(name.startswith("crusher 20-CR-201, 409.2 t/h") for name in names)
    assert {"Zoom in", "Zoom out", "Whole sheet", "Close"} <= set(names)
    assert "Enter opens the details" in shown.description(
        "Flowsheet of Skarrow Hill quarry, 450 t/h"
    )


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_all_text_that_is_shown_stands_out(web: Page, quarry: Results, dark: bool) -> None:
    """Computed colours of every text against the nearest ground behind it (WCAG 2.2, 1.4.3); of
    drawings the ground is the fill of the shape before, or the page."""
    web.dark(dark)
    with serving(lambda: (Reading(quarry, "warning"), {})) as server:
        shows(web, server)
        web.click(item("secondary"))
        web.until(OPEN)
        web.value(f"document.querySelector('{item('sizing')}').focus()")
        pairs, ground = web.value(
            "[probes.colours(), getComputedStyle(document.body).backgroundColor]"
        )
        ring = web.value("getComputedStyle(document.querySelector('.ring')).stroke")
    assert len(pairs) >= 4
    for text, behind in pairs:
        assert contrast(rgb(text), rgb(behind)) >= TEXT, (text, behind)
    assert contrast(rgb(ring), rgb(ground)) >= EDGE
    assert (sum(rgb(ground)) < 3 * 128) == dark


def test_no_text_of_a_plant_acts_in_the_page(web: Page, hostile: Results) -> None:
    with serving(lambda: (Reading(hostile, "<script>alert(1)</script>"), {})) as server:
        shows(web, server)
        for machine in hostile.machines:
            web.click(item(machine.tag))
            web.until(f"{DETAILS}.includes({json.dumps(machine.tag)})")
        assert web.value("document.scripts.length") == 1


def test_a_narrow_page_scrolls_one_way_only(shown: Page) -> None:
    """WCAG 2.2, 1.4.10: at 320 CSS pixels nothing but tables and drawings scrolls sideways."""
    shown.size(320, 700)
    shown.value(gone_to("secondary"))
    shown.until(OPEN)
    assert shown.value("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("width", [1400, 420])
def test_the_links_stay_at_the_top_and_cover_no_heading_they_lead_to(
    shown: Page, width: int
) -> None:
    shown.size(width, 800)
    shown.value("document.querySelector('nav a[href=\"#mass-balance-heading\"]').click()")
    box = "document.querySelector('{}').getBoundingClientRect()"
    bar, heading = box.format("nav"), box.format("#mass-balance-heading")
    shown.until(f"{heading}.top < innerHeight")
    assert shown.value("scrollY") > 0
    assert shown.value(f"{bar}.top") == 0
    assert shown.value(f"{bar}.bottom") <= shown.value(f"{heading}.top")
    assert shown.value(f"{bar}.height") < 60


def test_the_end_of_the_server_is_told(web: Page, small: Results) -> None:
    with serving(lambda: (Reading(small), {})) as server:
        shows(web, server)
    web.until(f"{STATUS}.includes('NO CONNECTION')")
    assert web.value("document.querySelectorAll('#drawing .item').length") > 0
    web.faults[:] = [fault for fault in web.faults if "ERR_" not in fault]  # of the connection


def test_another_site_in_the_same_browser_gets_nothing(web: Page, small: Results) -> None:
    """It knows the token even, and tries to read, to load as a script, a picture, and a frame."""
    with serving(lambda: (Reading(small), {})) as server, another_site() as elsewhere:
        web.open(elsewhere)
        web.until("document.title === 'elsewhere'")
        assert web.value(f"probes.taken({json.dumps(server.url)})") == ["refused"] * 4
        assert web.framed() == ["chrome-error://chromewebdata/"]
    web.faults.clear()  # the refusals,
    web.requests.clear()  # and the browser's own pictures of them


class _Elsewhere(http.server.BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!DOCTYPE html><title>elsewhere</title><body>")

    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def another_site() -> Iterator[str]:
    """A page of another origin, from a port of its own."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), _Elsewhere)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
