"""The page of the extension's preview in a real browser, with what the language server gives for
the example: it draws, leads to the text, takes the editor's colours, and stays off the network."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from hoggin.balancing import rated
from hoggin.editor.preview import lines, preview
from hoggin.editor.project import Project
from tests.editor.fuzzing import EXAMPLE
from tests.view.browser import Page, chromium, page

MEDIA = Path(__file__).parents[2] / "editor_support/vscode/media"
PAGE = """<!DOCTYPE html><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy"
  content="default-src 'none'; style-src file: 'nonce-n'; script-src 'nonce-n'">
<link rel="stylesheet" href="{media}/preview.css">
<style nonce="n">:root {{ --vscode-editor-foreground: #dddddd; --vscode-editor-background: #101820;
  --vscode-editorError-foreground: #ff8080; --vscode-textLink-foreground: #66b3ff; }}</style>
<p id="said" role="status" hidden></p><nav id="sheets" hidden></nav><main id="drawing"></main>
<div id="tables"></div><footer id="notes"></footer>
<script nonce="n">
  var posted = [], acquireVsCodeApi = () => ({{ postMessage: one => posted.push(one) }});
</script>
<script nonce="n" src="{media}/preview.js"></script>
"""


@pytest.fixture(scope="module")
def found() -> dict[str, Any]:
    project = Project()
    checked = project.snapshot(EXAMPLE).checked
    results = rated(checked)
    project.keep(EXAMPLE, checked, results)
    snapshot = project.snapshot(EXAMPLE)
    assert snapshot.results is not None
    return {**asdict(preview(snapshot.results)), "said": "", "lines": dict(lines(snapshot))}


@pytest.fixture(scope="module")
def shown(found: dict[str, Any], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    program = chromium()
    if program is None:
        pytest.skip("no Chromium here")
    folder = tmp_path_factory.mktemp("preview")
    (folder / "page.html").write_text(PAGE.format(media=MEDIA.as_uri()), encoding="utf-8")
    with page(program, folder / "profile") as opened:
        opened.size(900, 1100)
        opened.open((folder / "page.html").as_uri())
        opened.until("document.readyState == 'complete'")
        _say(opened, {"kind": "show", "found": found})
        opened.until("!!document.querySelector('#drawing svg')")
        yield opened


def _say(shown: Page, message: dict[str, Any]) -> None:
    """As the extension does: a message to the window."""
    shown.value(f"window.postMessage({json.dumps(message)}), 0")


@pytest.mark.slow
def test_the_page_asks_for_what_to_show(shown: Page) -> None:
    assert shown.value("posted[0].kind") == "ready"


def test_everything_drawn_and_every_table_is_shown(shown: Page, found: dict[str, Any]) -> None:
    names = set(shown.value("[...document.querySelectorAll('[data-of]')].map(g => g.dataset.of)"))
    assert names >= found["lines"].keys()
    captions = shown.value("[...document.querySelectorAll('figcaption')].map(c => c.textContent)")
    assert captions == [table["title"] for table in found["tables"]]
    assert "prediction" in shown.value("document.querySelector('#notes').textContent")


def test_the_drawing_has_the_editors_colours(shown: Page) -> None:
    ink = "getComputedStyle(document.querySelector('#drawing .words')).fill"
    assert shown.value(ink) == "rgb(221, 221, 221)"


def test_a_click_on_a_machine_leads_to_its_line(shown: Page, found: dict[str, Any]) -> None:
    shown.value(
        "document.querySelector('[data-of=\"machine primary\"]')"
        ".dispatchEvent(new MouseEvent('click')), 0"
    )
    assert shown.value("posted.at(-1)") == {"kind": "go", "line": found["lines"]["machine primary"]}


def test_enter_on_a_machine_leads_to_its_line_too(shown: Page, found: dict[str, Any]) -> None:
    shown.value("document.querySelector('[data-of=\"machine bars\"]').focus(), 0")
    shown.key("Enter")
    line = found["lines"]["machine bars"]
    assert shown.value("posted.at(-1)") == {"kind": "go", "line": line}


def test_what_the_cursors_line_states_is_marked(shown: Page, found: dict[str, Any]) -> None:
    _say(shown, {"kind": "mark", "line": found["lines"]["machine primary"]})
    marked = "[...document.querySelectorAll('.marked')].map(g => g.dataset.of)"
    shown.until(f"{marked}.length")
    assert shown.value(marked) == ["machine primary"]


def test_without_results_the_last_drawing_stays_and_the_reason_is_shown(shown: Page) -> None:
    _say(shown, {"kind": "show", "found": None})
    shown.until("!document.querySelector('#said').hidden")
    assert "no errors" in shown.value("document.querySelector('#said').textContent")
    assert shown.value("document.querySelectorAll('#drawing svg').length") == 1


@pytest.mark.slow
def test_nothing_is_asked_of_the_network_and_no_rule_is_broken(shown: Page) -> None:
    assert all(url.startswith("file:") for url in shown.requests)
    assert shown.faults == []
