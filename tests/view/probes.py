"""What the tests ask the page, in its own language; `probes.js` has the longer questions."""

from __future__ import annotations

READY = "document.querySelector('#drawing .item') && document.querySelector('#status').textContent"
OPEN = "!document.getElementById('details').hidden"
DETAILS = "document.getElementById('details').innerText"
STATUS = "document.getElementById('status').textContent"
FOCUSED = "document.activeElement.dataset.key ?? document.activeElement.id"
LOOK = "probes.look()"


def item(key: str) -> str:
    return f'.item[data-key="{key}"]'


def turned(place: int) -> str:
    """Choose a sheet of the drawing, by its place from 0."""
    return (
        "(() => { const list = document.getElementById('sheet');"
        f"list.value = '{place}'; list.dispatchEvent(new Event('change')); }})()"
    )
