"""The server of the bench: a page for each file of a folder, and one that lists them."""

from __future__ import annotations

import json
import queue
from functools import partial
from http import HTTPStatus
from importlib.resources import files
from typing import ClassVar

from hoggin.bench.bench import Bench, path_of
from hoggin.bench.exporting import documents, drawn
from hoggin.bench.folder import offered
from hoggin.bench.opened import Opened, about, event
from hoggin.bench.requests import ON_FILE, ON_FOLDER, BadRequestError, Told, refused, said, whole
from hoggin.errors import HogginError
from hoggin.report.drawing.formats import FORMATS
from hoggin.start.questions import QUESTIONS
from hoggin.view.local import PLAIN, PULSE_S, STILL_HERE, Answer, Asked, LocalServer, Stream
from hoggin.view.pages import CSS, HTML, JAVASCRIPT, asset
from hoggin.world import library_path, read_text

OWN = {
    "home.html": HTML,
    "bench.css": CSS,
    "bench.js": JAVASCRIPT,
    "home.js": JAVASCRIPT,
    "asking.js": JAVASCRIPT,
    "line.js": JAVASCRIPT,
    "editor.js": JAVASCRIPT,
}
_BAD = Answer(PLAIN, b"400 Bad Request\n", HTTPStatus.BAD_REQUEST)


class BenchServer(LocalServer):
    """Serves the files of a bench: `/TOKEN/` lists them, `/TOKEN/3/` is the page of the third."""

    methods: ClassVar[tuple[str, ...]] = ("GET", "HEAD", "POST")

    def __init__(self, bench: Bench, port: int = 0) -> None:
        self.bench = bench
        super().__init__(port)

    def answer(self, asked: Asked) -> Answer | Stream | None:
        try:
            match asked.steps:
                case (name,):
                    return self._of_folder(name, asked)
                case (number, name) if number.isascii() and number.isdigit():
                    opened = self.bench.numbered(int(number[:9]))
                    return None if opened is None else self._of_file(opened, name, asked)
        except BadRequestError:
            return _BAD
        except HogginError as fault:
            return refused(fault)
        except OSError as fault:
            return refused(HogginError(f"it can't be written: {fault.strerror or fault}"))
        return None

    # --- the folder

    def _of_folder(self, name: str, asked: Asked) -> Answer | None:
        if asked.method == "POST":
            act = ON_FOLDER.get(name)
            return None if act is None else act(self.bench, Told(asked.body))
        if name == "folder.json":
            return said(self._listed())
        return own(name or "home.html") or asset(name)

    def _listed(self) -> object:
        """Everything that the first page offers."""
        folder, unsaved = self.bench.folder, self.bench.texts()
        return {
            "folder": str(folder.root),
            "files": [
                {"name": name, "address": f"{number}/", "unsaved": folder.path(number) in unsaved}
                for number, name in folder.files()
            ],
            "questions": [
                {"name": one.name, "asks": one.asks, "hint": one.hint, "choices": one.choices}
                for one in QUESTIONS
            ],
            "examples": offered(),
        }

    # --- a file

    def _of_file(self, opened: Opened, name: str, asked: Asked) -> Answer | Stream | None:
        if asked.method == "POST":
            act = ON_FILE.get(name)
            return None if act is None else act(self.bench, opened, Told(asked.body))
        match name:
            case "events":
                return self._events(opened) if asked.method == "GET" else None
            case "file.json":
                return said(self._file(opened))
            case "place.json":
                return self._place(asked.query.get("uri", ""))
            case "documents":
                return _export(opened, "")
            case _ if name in FORMATS:
                return _export(opened, name)
        return own(name) or opened.pages.answer(name, asked.query.get("key", ""))

    def _file(self, opened: Opened) -> object:
        name = self.bench.folder.name(opened.path)
        return {"name": name, "uri": opened.path.as_uri(), **whole(opened)}

    def _place(self, uri: str) -> Answer | None:
        """Where something is declared: the page of a file, or the text of a library."""
        library = self.bench.library(uri)
        if library is not None:
            return said({"name": library, "text": read_text(library_path(library))})
        path = path_of(uri)
        if path is None or not self.bench.folder.holds(path):
            return None
        return said({"address": f"../{self.bench.folder.number(path)}/"})

    def _events(self, opened: Opened) -> Stream:
        """The page's name, the state of its text, and from then on all that is new."""
        with opened.visit(partial(self.bench.conversation, opened)) as visitor:
            yield event("hello", json.dumps(visitor.name))
            yield event("text", json.dumps(about(opened.draft.now)))
            yield event("reading", json.dumps(opened.live.state.number))
            while not self.bench.closed:
                try:
                    news = visitor.news.get(timeout=PULSE_S)
                except queue.Empty:
                    news = STILL_HERE
                if news is None:
                    return
                yield news


def own(name: str) -> Answer | None:
    """A part of the pages that is the bench's own."""
    if name not in OWN:
        return None
    return Answer(OWN[name], (files("hoggin.bench") / "page" / name).read_bytes())


def _export(opened: Opened, form: str) -> Answer:
    """Of the saved text: documents say which file they were made from."""
    if opened.draft.now.unsaved:
        fault = HogginError("the text is not saved; documents are made from the saved file")
        return refused(fault, HTTPStatus.CONFLICT)
    found = drawn(opened.path, form) if form else documents(opened.path)
    return Answer("application/octet-stream", found.content, saved_as=found.name)
