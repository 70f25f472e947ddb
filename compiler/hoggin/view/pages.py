"""What the browser asks for, as bytes: made when asked, kept as long as it holds."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files

from hoggin.errors import HogginError
from hoggin.report.wording import DEFERENCE, PREDICTION, clean, subtitle
from hoggin.view.details import details
from hoggin.view.drawing import drawing
from hoggin.view.items import Item, items
from hoggin.view.live import Live, State
from hoggin.view.parts import headline, tables, verdicts
from hoggin.view.reading import Reading

HTML = "text/html; charset=utf-8"
JSON = "application/json; charset=utf-8"
ASSETS = {
    "": ("page.html", HTML),
    "page.css": ("page.css", "text/css; charset=utf-8"),
    "main.js": ("main.js", "text/javascript; charset=utf-8"),
    "sheet.js": ("sheet.js", "text/javascript; charset=utf-8"),
    "fill.js": ("fill.js", "text/javascript; charset=utf-8"),
    "hand.js": ("hand.js", "text/javascript; charset=utf-8"),
    "walk.js": ("walk.js", "text/javascript; charset=utf-8"),
    "icon.svg": ("icon.svg", "image/svg+xml"),
}


@dataclass(frozen=True, slots=True)
class Answer:
    kind: str
    body: bytes


class Pages:
    """The answers to what the page asks, by name; safe to ask from many threads."""

    def __init__(self, live: Live) -> None:
        self._live = live
        self._lock = threading.Lock()
        self._plant: tuple[int, Answer] | None = None  # of the reading of this number

    def answer(self, name: str, key: str = "") -> Answer | None:
        """The answer of that name; None where there is none. `key` is whose details are asked."""
        if name in ASSETS:
            file, kind = ASSETS[name]
            return Answer(kind, (files("hoggin.view") / "page" / file).read_bytes())
        made: dict[str, Callable[[State], Answer | None]] = {
            "state.json": _state,
            "plant.json": self._plant_now,
            "details.html": lambda state: _details(state, key),
        }
        return made[name](self._live.state) if name in made else None

    def _plant_now(self, state: State) -> Answer:
        """Drawing takes a second for a large plant, so it is done once a reading."""
        with self._lock:
            if self._plant is None or self._plant[0] != state.good_number:
                self._plant = state.good_number, _plant(state)
            return self._plant[1]


def _state(state: State) -> Answer:
    """The small part, made for every reading. `good` is the number that goes with `plant.json`."""
    good = state.good.results if state.good else None
    return _json(
        {
            "number": state.number,
            "good": state.good_number,
            "stale": state.stale,
            "fault": state.last.results is None,
            "title": clean(good.title) if good else "",
            "subtitle": subtitle(good) if good else "",
            "headline": headline(state),
            "verdicts": verdicts(state),
            "statement": f"{PREDICTION} {DEFERENCE}",
        }
    )


def _plant(state: State) -> Answer:
    reading = state.good or Reading(None)
    svg, unable = "", ""
    found: tuple[Item, ...] = ()
    if reading.results is not None:
        found = items(reading.results)
        try:
            svg = drawing(reading.results)
        except HogginError as fault:
            unable = f"The flowsheet can't be drawn: {fault}"
    return _json(
        {
            "good": state.good_number,
            "drawing": svg,
            "unable": unable,
            "items": [item.facts() for item in found],
            "tables": tables(reading),
        }
    )


def _details(state: State, key: str) -> Answer | None:
    if state.good is None or state.good.results is None:
        return None
    found = details(state.good.results, key, state.good.places)
    return None if found is None else Answer(HTML, found.encode())


def _json(content: object) -> Answer:
    return Answer(JSON, json.dumps(content, ensure_ascii=False).encode(errors="replace"))
