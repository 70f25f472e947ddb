"""The browser's requests answered as bytes: made on request and kept while they are valid."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from importlib.resources import files

from hoggin.errors import HogginError
from hoggin.report.drawing.svg import STYLE
from hoggin.report.wording import DEFERENCE, PREDICTION, clean, subtitle
from hoggin.schema.results import Results
from hoggin.view.changes import changes, summary
from hoggin.view.details import details
from hoggin.view.drawing import ShownSheet, sheets
from hoggin.view.items import items
from hoggin.view.live import Live, State
from hoggin.view.local import Answer
from hoggin.view.parts import headline, part, tables, verdicts
from hoggin.view.reading import Reading

HTML = "text/html; charset=utf-8"
CSS = "text/css; charset=utf-8"
JSON = "application/json; charset=utf-8"
SCRIPTS = ("main.js", "plant.js", "sheet.js", "fill.js", "hand.js", "walk.js")
JAVASCRIPT = "text/javascript; charset=utf-8"
ASSETS = {
    "page.css": CSS,
    **dict.fromkeys(SCRIPTS, JAVASCRIPT),
    "icon.svg": "image/svg+xml",
}


class Pages:
    """The answers to the page's requests, by name; thread-safe."""

    def __init__(self, live: Live, page: bytes) -> None:
        self._live = live
        self._page = page
        self._lock = threading.Lock()
        self._plant: tuple[int, Answer] | None = None  # of the reading of this number

    def answer(self, name: str, key: str = "") -> Answer | None:
        """The answer of that name; None if there is none. `key` is the item whose details are
        asked."""
        found = asset(name)
        if found is not None:
            return found
        state = self._live.state
        match name:
            case "":
                return Answer(HTML, self._page)
            case "drawing.css":
                return Answer(CSS, STYLE.encode())
            case "state.json":
                return _state(state)
            case "plant.json":
                return self._plant_now(state)
            case "details.html":
                return _details(state, key)
        return None

    def _plant_now(self, state: State) -> Answer:
        """Drawing takes a second for a large plant, so it is done once a reading."""
        with self._lock:
            if self._plant is None or self._plant[0] != state.good_number:
                self._plant = state.good_number, _plant(state)
            return self._plant[1]


def asset(name: str) -> Answer | None:
    """A part of the page that is the same for every plant."""
    if name not in ASSETS:
        return None
    return Answer(ASSETS[name], (files("hoggin.view") / "page" / name).read_bytes())


def page(script: str, styles: Sequence[str] = (), beside: str = "") -> bytes:
    """The page of a plant. `script` runs it; `beside`, as HTML, stands before it."""
    filled = part("page.html.j2", None, script=script, styles=styles, beside=beside)
    return filled.encode()


def _results(reading: Reading | None) -> Results | None:
    return None if reading is None else reading.results


def _changed(state: State) -> Mapping[str, tuple[str, ...]]:
    """What differs from the good reading before, by the keys of the items."""
    return changes(_results(state.before), _results(state.good))


def _state(state: State) -> Answer:
    """The small part, made for every reading. `good` is the number that goes with `plant.json`."""
    good = _results(state.good)
    return _json(
        {
            "number": state.number,
            "good": state.good_number,
            "stale": state.stale,
            "fault": state.last.results is None,
            "title": clean(good.title) if good else "",
            "subtitle": subtitle(good) if good else "",
            "headline": headline(state),
            "changed": _summary(state),
            "verdicts": verdicts(state),
            "statement": f"{PREDICTION} {DEFERENCE}",
        }
    )


def _summary(state: State) -> str:
    if state.good is None or state.stale:
        return ""
    return summary(_results(state.before), state.good.results, state.good.saved)


def _plant(state: State) -> Answer:
    reading = state.good or Reading(None)
    results = reading.results
    drawn: tuple[ShownSheet, ...] = ()
    unable = ""
    words = {key: f"changed: {'; '.join(lines)}" for key, lines in _changed(state).items()}
    try:
        drawn = sheets(results, words) if results is not None else ()
    except HogginError as fault:
        unable = f"The flowsheet can't be drawn: {fault}"
    return _json(
        {
            "good": state.good_number,
            "sheets": [asdict(sheet) for sheet in drawn],
            "unable": unable,
            "items": [asdict(item) for item in (items(results) if results is not None else ())],
            "tables": tables(reading),
        }
    )


def _details(state: State, key: str) -> Answer | None:
    if state.good is None or state.good.results is None:
        return None
    found = details(state.good.results, key, state.good.places, _changed(state).get(key, ()))
    return None if found is None else Answer(HTML, found.encode())


def _json(content: object) -> Answer:
    return Answer(JSON, json.dumps(content, ensure_ascii=False).encode(errors="replace"))
