"""What the tests ask the page of the bench, in its own language."""

from __future__ import annotations

import json

READY = (
    "globalThis.probes && document.querySelector('#drawing .item')"
    " && document.getElementById('text').shadowRoot"
    " && document.querySelector('#status').textContent"
)
TEXT = "probes.editor('.cm-content').innerText"
SAID = "document.getElementById('said').textContent"
SAVED = "document.getElementById('saved').textContent"
NOTICE = "!document.getElementById('notice').hidden && document.getElementById('notice').innerText"
STATUS = "document.getElementById('status').textContent"
TABLES = "document.getElementById('tables').textContent"
IN_TEXT = "document.activeElement.id === 'text'"


def open_dialog(name: str) -> str:
    return f"document.getElementById({json.dumps(name)}).open"


def has(expression: str, text: str) -> str:
    return f"String({expression}).includes({json.dumps(text)})"
