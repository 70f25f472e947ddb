"""The bench in a real browser, by the keyboard alone: headless Chromium over its own protocol."""

from __future__ import annotations

import io
import json
import time
import zipfile
from pathlib import Path

import pytest

from hoggin.bench.server import BenchServer
from tests.bench.conftest import address, opens
from tests.bench.probes import (
    IN_TEXT,
    NOTICE,
    READY,
    SAID,
    SAVED,
    STATUS,
    TABLES,
    TEXT,
    has,
    open_dialog,
)
from tests.view.browser import Page
from tests.view.contrast import TEXT as LEAST_CONTRAST
from tests.view.contrast import contrast, rgb
from tests.view.probes import DETAILS, FOCUSED, OPEN

pytestmark = pytest.mark.slow

OLDER = "!document.getElementById('age').hidden"


def select(web: Page, words: str) -> None:
    """Find words in the text, which selects them."""
    web.key("f", ctrl=True)
    web.until("probes.editor('.cm-search') !== null")
    web.type(words)
    web.key("Enter")
    web.key("Escape")
    web.until(IN_TEXT)


def back_to(web: Page, name: str) -> None:
    """Shift and Tab until the element of that id has the focus."""
    for _ in range(20):
        web.key("Tab", shift=True)
        if web.value(FOCUSED) == name:
            return
    raise AssertionError(f"Shift Tab does not reach {name}")


def refused(web: Page, status: int) -> None:
    """The browser logs a refusal of the server, which this test is about."""
    web.faults[:] = [fault for fault in web.faults if f"status of {status}" not in fault]


def test_what_is_typed_is_balanced_and_drawn_before_it_is_saved(shown: Page, plant: Path) -> None:
    before = plant.read_text()
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(TABLES, "css 14 mm"))
    assert shown.value(SAVED) == "not saved"
    shown.until(has(STATUS, "The unsaved text changed"))
    assert plant.read_text() == before


def test_ctrl_s_saves_the_text_as_it_is_typed(shown: Page, plant: Path) -> None:
    before = plant.read_text()
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.key("s", ctrl=True)
    shown.until(f"{SAVED} === 'saved'")
    assert plant.read_text() == before.replace("css 13 mm", "css 14 mm")
    shown.until(has(STATUS, "The last save changed"))


def test_while_the_text_has_errors_the_last_drawing_stays_and_is_marked_older(shown: Page) -> None:
    select(shown, "css 13 mm")
    shown.type("css 13 inch")
    shown.until(OLDER)
    assert shown.value("document.querySelectorAll('#drawing .item').length") > 10
    assert "NO VERDICTS" in shown.value("document.getElementById('verdicts').innerText")
    shown.key("z", ctrl=True)
    shown.until(f"!({OLDER})")


def test_errors_that_come_and_go_as_one_types_move_nothing(shown: Page) -> None:
    drawing = "probes.edges('#drawing')"
    select(shown, "css 13 mm")
    before = shown.value(drawing)
    shown.type("css 13 inch")
    shown.until(OLDER)
    assert shown.value(drawing) == before


def test_a_fault_is_underlined_and_explained_and_its_fix_is_applied(shown: Page) -> None:
    select(shown, "css 13 mm")
    shown.type("csss 13 mm")
    shown.until("probes.words('.cm-lintRange-error').join() === 'csss'")
    shown.until(has("document.getElementById('faults').textContent", "Errors and warnings: "))
    shown.key("F8")
    shown.until("probes.editor('.cm-tooltip-lint') !== null")
    said = shown.value("probes.editor('.cm-tooltip-lint').innerText")
    assert "error E0" in said and "help: " in said
    shown.key(".", ctrl=True)
    shown.until(open_dialog("choose"))
    assert "css" in shown.value("document.activeElement.textContent")
    shown.key("Enter")
    shown.until(has(TEXT, "chamber medium; css 13 mm"))
    shown.until("probes.words('.cm-lintRange-error').length === 0")
    assert shown.value(IN_TEXT)


def test_completion_offers_what_fits_and_enter_takes_it(shown: Page) -> None:
    select(shown, "chamber medium")
    shown.type("chamber fi")
    shown.until("probes.words('.cm-completionLabel').includes('fine')")
    time.sleep(0.1)  # the editor takes no key for a choice that has just appeared
    shown.key("Enter")
    shown.until(has(TEXT, "chamber fine; css 13 mm"))


def test_enter_after_a_whole_word_begins_a_new_line(shown: Page) -> None:
    select(shown, "css 13 mm")
    shown.type("css 13 mm")
    shown.until("probes.words('.cm-completionLabel').includes('mm')")
    time.sleep(0.1)
    shown.key("Enter")
    shown.until(has(TEXT, "css 13 mm\n"))


def test_ctrl_i_explains_what_the_cursor_is_on(shown: Page) -> None:
    select(shown, "css")
    shown.key("i", ctrl=True)
    shown.until("probes.editor('.about') !== null")
    assert "setting css of jaw: 20 mm to 350 mm" in shown.value("probes.editor('.about').innerText")
    shown.key("Escape")
    shown.until("probes.editor('.about') === null")


def test_ctrl_enter_goes_to_the_declaration(shown: Page) -> None:
    select(shown, "cone.load")
    shown.key("Home")
    for _ in range(len("  require c")):
        shown.key("ArrowRight")
    shown.key("Enter", ctrl=True)
    shown.until(has("probes.editor('.cm-activeLine').textContent", "crusher cone: cones."))


def test_the_line_and_the_flowsheet_lead_to_each_other(shown: Page) -> None:
    select(shown, "crusher cone")
    shown.key("Home")
    shown.key("Enter", alt=True)
    shown.until(OPEN)
    shown.until(has(DETAILS, "crusher cone"))
    shown.value("document.querySelector('#details .to-line').focus()")
    shown.key("Enter")
    shown.until(IN_TEXT)
    assert "crusher cone: cones." in shown.value(
        "probes.editor('.cm-activeLineGutter') && probes.editor('.cm-activeLine').textContent"
    )
    shown.key("Home", ctrl=True)
    shown.key("Enter", alt=True)
    shown.until(has(SAID, "Nothing that this line names"))


def test_a_declaration_in_the_compilers_library_is_shown_and_can_only_be_read(shown: Page) -> None:
    select(shown, "medium_speed")
    shown.key("Enter", ctrl=True)
    shown.until(open_dialog("library"))
    assert shown.value("document.getElementById('library-name').textContent") == "std.cones"
    assert "medium_speed" in shown.value("document.querySelector('#library mark').textContent")
    shown.key("Escape")
    shown.until(f"!({open_dialog('library')})")


def test_a_name_is_changed_everywhere_and_in_the_files_beside_it(
    web: Page, served: BenchServer, folder: Path, plant: Path
) -> None:
    library = folder / "ours.hog"
    library.write_text("let narrow = 13 mm\n")
    text = 'use "ours.hog" as ours\n' + plant.read_text().replace("css 13 mm", "css ours.narrow")
    plant.write_text(text)
    opens(web, address(served, plant))
    select(web, "ours.narrow")
    web.key("ArrowRight")
    web.key("F2")
    web.until(open_dialog("ask"))
    web.type("tight")
    web.key("Enter")
    web.until(has(TEXT, "css ours.tight"))
    web.until(has(SAID, "ours.hog"))
    assert library.read_text() == "let narrow = 13 mm\n"  # until it is saved
    web.until(f"!({OLDER})")
    web.open(address(served, library))
    web.until("document.getElementById('text')?.shadowRoot != null")
    web.until(has(TEXT, "let tight = 13 mm"))
    web.open("about:blank")
    web.until("location.href === 'about:blank'")


def test_the_text_is_laid_out(shown: Page) -> None:
    laid_out = has(TEXT, 'revision "A"\n  sieves   sieves.en_set2')
    select(shown, '  revision "A"')
    shown.type('       revision  "A"')
    back_to(shown, "lay-out")
    shown.key("Enter")
    shown.until(laid_out)


def test_tab_leaves_the_text_and_reaches_every_button(shown: Page) -> None:
    before = shown.value(TEXT)
    shown.key("Tab")
    assert not shown.value(IN_TEXT)
    assert shown.value(TEXT) == before
    shown.key("Tab", shift=True)
    assert shown.value(IN_TEXT)
    names = "export save-as lay-out rename show follow explain faults fix"
    for name in names.split():
        back_to(shown, name)
    for _ in range(10):
        shown.key("Tab")
    assert shown.value(IN_TEXT)
    assert "Tab leaves it" in shown.value("probes.editor('.cm-content').getAttribute('aria-label')")


def test_a_file_changed_elsewhere_is_not_written_over(shown: Page, plant: Path) -> None:
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(TABLES, "css 14 mm"))
    other = plant.read_text().replace('revision "A"', 'revision "B"')
    plant.write_text(other)
    shown.key("s", ctrl=True)
    shown.until(has(NOTICE, "was changed by another program"))
    time.sleep(0.5)
    assert plant.read_text() == other
    ways = shown.value("[...document.querySelectorAll('#notice button')].map(b => b.textContent)")
    refused(shown, 409)
    assert ways == ["Compare", "Use the file's text", "Save under another name"]


def test_what_differs_is_compared_and_then_saved(shown: Page, plant: Path) -> None:
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(TABLES, "css 14 mm"))
    plant.write_text(plant.read_text().replace('revision "A"', 'revision "B"'))
    shown.until(has(NOTICE, "was changed by another program"))  # before anything is saved
    shown.value("document.querySelector('#notice button').focus()")
    shown.key("Enter")
    shown.until(f"probes.words('.cm-deletedChunk').some(t => {has('t', 'revision')})")
    shown.until(IN_TEXT)
    shown.key("s", ctrl=True)
    shown.until(f"{SAVED} === 'saved'")
    assert 'revision "A"' in plant.read_text() and "css 14 mm" in plant.read_text()


def test_the_files_text_is_taken_or_ones_own_saved_under_another_name(
    shown: Page, plant: Path, folder: Path
) -> None:
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(TABLES, "css 14 mm"))
    plant.write_text(plant.read_text().replace('revision "A"', 'revision "B"'))
    shown.until(has(NOTICE, "was changed by another program"))
    shown.value("document.querySelectorAll('#notice button')[2].focus()")
    shown.key("Enter")
    shown.until(open_dialog("ask"))
    shown.type("gravel.hog\n")
    shown.until(has("document.getElementById('ask-fault').textContent", "already exists"))
    refused(shown, 422)
    shown.type("other.hog\n")
    shown.until(f"{has('location.href', '/2/')} && {READY}")
    assert "css 14 mm" in (folder / "other.hog").read_text()
    shown.value("void setTimeout(() => history.back())")
    shown.until(f"{has('location.href', '/1/')} && {READY} && {NOTICE}")
    shown.value("document.querySelectorAll('#notice button')[1].click()")
    shown.until(has(TEXT, 'revision "B"'))
    assert "css 13 mm" in shown.value(TEXT) and shown.value(SAVED) == "saved"


def test_a_file_that_is_not_edited_is_followed_as_it_is_saved_elsewhere(
    shown: Page, plant: Path
) -> None:
    plant.write_text(plant.read_text().replace("css 13 mm", "css 14 mm"))
    shown.until(has(TEXT, "css 14 mm"))
    shown.until(has(TABLES, "css 14 mm"))
    assert shown.value(SAVED) == "saved"


def test_unsaved_text_outlives_a_reload_and_leaving_it_is_asked_about(shown: Page) -> None:
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(TABLES, "css 14 mm"))
    shown.value("window.isBefore = true; void setTimeout(() => location.reload())")
    shown.until(f"!window.isBefore && {READY} && {has(TEXT, 'css 14 mm')}")
    assert shown.asked == ["beforeunload"]
    assert shown.value(SAVED) == "not saved"
    shown.asked.clear()


def test_text_typed_while_the_bench_does_not_answer_is_sent_when_it_does(shown: Page) -> None:
    shown.offline(True)
    select(shown, "css 13 mm")
    shown.type("css 14 mm")
    shown.until(has(SAID, "NO CONNECTION"))
    assert "css 14 mm" in shown.value(TEXT)
    shown.offline(False)
    shown.until(has(TABLES, "css 14 mm"))
    shown.faults[:] = [fault for fault in shown.faults if "ERR_" not in fault]


def test_two_pages_on_one_file_show_one_text(shown: Page, served: BenchServer, plant: Path) -> None:
    """The other page is played by its requests."""
    opened = served.bench.opened(plant)
    text = opened.draft.now.text.replace("css 13 mm", "css 14 mm")
    opened.draft.change(opened.draft.now.number, text)
    served.bench.changed(opened)
    shown.until(has(TEXT, "css 14 mm"))
    shown.until(has(TABLES, "css 14 mm"))
    assert shown.value(SAVED) == "not saved"


def test_the_second_of_two_pages_that_change_a_text_at_once_is_asked(
    shown: Page, served: BenchServer, plant: Path
) -> None:
    opened = served.bench.opened(plant)
    select(shown, "css 13 mm")
    text = opened.draft.now.text.replace('revision "A"', 'revision "B"')
    shown.type("css 14 m")
    opened.draft.change(opened.draft.now.number, text)  # before the page is told
    shown.type("m")
    shown.until(has(NOTICE, "on another page"))
    refused(shown, 409)
    assert opened.draft.now.text == text
    shown.value("document.querySelectorAll('#notice button')[2].focus()")
    shown.key("Enter")
    shown.until(has(TABLES, "css 14 mm"))
    assert "css 14 mm" in opened.draft.now.text


@pytest.mark.parametrize(
    ("place", "ending"), [(0, ".zip"), (1, ".pdf"), (2, ".svg"), (3, ".png"), (4, ".dxf")]
)
def test_the_package_and_the_flowsheet_are_downloaded(
    shown: Page, tmp_path: Path, place: int, ending: str
) -> None:
    shown.downloads(tmp_path)
    back_to(shown, "export")
    shown.key("Enter")
    shown.until(open_dialog("choose"))
    for _ in range(place):
        shown.key("Tab")
    shown.key("Enter")
    shown.until(has(SAID, "Downloaded: gravel"))
    name = shown.value(SAID).removeprefix("Downloaded: ")
    assert name.endswith(ending)
    end = time.monotonic() + 20
    while not (tmp_path / name).exists() and time.monotonic() < end:
        time.sleep(0.05)
    content = (tmp_path / name).read_bytes()
    begins = {".zip": b"PK", ".pdf": b"%PDF", ".svg": b"<svg", ".png": b"\x89PNG", ".dxf": b"  0"}
    assert content.lstrip().startswith(begins[ending].lstrip())
    if place == 0:
        names = zipfile.ZipFile(io.BytesIO(content)).namelist()
        assert {"gravel/flowsheet.pdf", "gravel/report/report.pdf"} <= set(names)


def test_a_new_plant_is_made_from_the_answers(web: Page, served: BenchServer, folder: Path) -> None:
    web.open(served.url)
    web.until("document.querySelectorAll('#new input').length === 4")
    web.value("document.querySelector('#new [name=rate_t_h]').focus()")
    web.type("200")
    web.key("Tab")
    web.type("400 mm")
    web.key("Tab")
    web.key("Tab")
    web.type("0/4, 4/16")
    web.key("Enter")
    web.until(has("document.getElementById('fault-rate_t_h').textContent", "200 of what?"))
    refused(web, 422)
    assert web.value("document.activeElement.name") == "rate_t_h"
    web.key("End")
    web.type(" t/h")
    web.key("Tab")
    web.key("Enter")
    web.until(f"{has('location.href', '/2/')} && {READY}")
    assert "rate 200 t/h" in " ".join((folder / "plant.hog").read_text().split())
    web.until(has(STATUS, "requirements"))
    web.open("about:blank")
    web.until("location.href === 'about:blank'")


def test_an_example_is_opened_as_a_copy(web: Page, served: BenchServer, folder: Path) -> None:
    web.open(served.url)
    web.until("document.querySelectorAll('#examples button').length > 3")
    button = "#examples button[aria-label*='quarry.hog']"
    web.value(f"document.querySelector({json.dumps(button)}).focus()")
    web.key("Enter")
    web.until(f"{has('location.href', '/2/')} && {READY}")
    assert web.value(has(TEXT, "Skarrow Hill"))
    assert (folder / "quarry.hog").exists()
    web.open("about:blank")
    web.until("location.href === 'about:blank'")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_all_text_of_the_page_and_of_its_editor_stands_out(shown: Page, dark: bool) -> None:
    """WCAG 2.2, 1.4.3 (from memory): computed colours against the nearest ground behind them."""
    shown.dark(dark)
    select(shown, "css 13 mm")
    shown.type("csss 13 mm")
    shown.until("probes.words('.cm-lintRange-error').length === 1")
    shown.key("F8")
    shown.until("probes.editor('.cm-tooltip-lint') !== null")
    pairs = shown.value("[...probes.colours(), ...probes.colours(probes.editor('.cm-editor'))]")
    assert len(pairs) >= 8
    for text, behind in pairs:
        assert contrast(rgb(text), rgb(behind)) >= LEAST_CONTRAST, (text, behind)


def test_everything_that_can_be_used_has_a_name(shown: Page) -> None:
    """WCAG 2.2, 4.1.2 (from memory), as Chromium tells a screen reader."""
    used = {"button", "link", "combobox", "region", "textbox", "group", "heading"}
    told = shown.names()
    assert [role for role, name in told if role in used and not name.strip()] == []
    names = {name for role, name in told if role == "button"}
    assert {"Save", "Fix", "Errors and warnings", "Explain", "Declaration", "Rename"} <= names
    assert "Format" in names
    assert any(role == "textbox" and name.startswith("Text of gravel.hog") for role, name in told)


@pytest.mark.parametrize("width", [420, 320])
def test_a_narrow_page_is_one_column_and_scrolls_one_way_only(shown: Page, width: int) -> None:
    """WCAG 2.2, 1.4.10 (from memory)."""
    shown.size(width, 800)
    assert shown.value("document.documentElement.scrollWidth <= innerWidth")
    text, flowsheet = (shown.value(f"probes.edges('{one}')") for one in ("#text", "#drawing"))
    assert text[3] < flowsheet[1]


def test_on_a_wide_page_text_and_flowsheet_are_side_by_side(shown: Page) -> None:
    text, flowsheet = (shown.value(f"probes.edges('{one}')") for one in ("#text", "#drawing"))
    assert text[2] < flowsheet[0] and text[1] < 200
    assert shown.value("document.documentElement.scrollWidth <= innerWidth")


def test_no_text_of_a_plant_acts_in_the_page(web: Page, served: BenchServer, plant: Path) -> None:
    attack = "<img src=x onerror=alert(1)><script>alert(2)</script>"
    plant.write_text(plant.read_text().replace("Fenwick Flat gravel, 120 t/h", attack))
    opens(web, address(served, plant))
    select(web, "<img")
    web.key("i", ctrl=True)
    time.sleep(0.5)
    assert web.value("document.images.length") == 0
    assert web.asked == []
    web.open("about:blank")
    web.until("location.href === 'about:blank'")
