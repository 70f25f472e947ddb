"""What the tests ask the page, in its own language; `probes.js` has the longer questions."""

from __future__ import annotations

import json

READY = "document.querySelector('#drawing .item') && document.querySelector('#status').textContent"
OPEN = "!document.getElementById('details').hidden"
DETAILS = "document.getElementById('details').innerText"
STATUS = "document.getElementById('status').textContent"
DRAWN = f"!{STATUS}.includes('being drawn')"  # a slow drawing is announced before it is there
FOCUSED = "document.activeElement.dataset.key ?? document.activeElement.id"
LOOK = "probes.look()"


def item(key: str) -> str:
    return f'.item[data-key="{key}"]'


def turned(place: int) -> str:
    """Choose a sheet of the drawing, by its place from 0."""
    return _chosen("sheet", str(place))


def gone_to(key: str) -> str:
    """Choose an item in the list of all."""
    return _chosen("find", key)


def _chosen(name: str, value: str) -> str:
    return (
        f"(() => {{ const list = document.getElementById('{name}');"
        f"list.value = {json.dumps(value)}; list.dispatchEvent(new Event('change')); }})()"
    )
