"""What the pages of the bench ask to be done: each a function of the bench and what the page says.

A refusal is a sentence for the page to show; nothing is half done.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from http import HTTPStatus
from typing import Any, TypeVar

from hoggin.bench.bench import Bench, path_of
from hoggin.bench.draft import ElsewhereError, OtherTextError
from hoggin.bench.folder import example_text
from hoggin.bench.language import RefusedError
from hoggin.bench.opened import Opened, about
from hoggin.diagnostics.render import render_all
from hoggin.diagnostics.source import Source
from hoggin.editor.places import offset_of
from hoggin.errors import HogginError
from hoggin.start.choose import propose
from hoggin.start.questions import QUESTIONS, AnswersError, answered
from hoggin.view.local import JSON_BODY, Answer
from hoggin.writing import create

_T = TypeVar("_T")


class BadRequestError(Exception):
    """A body that no page of ours sends."""


class Told:
    """The body of a request: an object of JSON. Raises BadRequestError for anything else."""

    def __init__(self, body: bytes) -> None:
        try:
            found = json.loads(body)
        except (ValueError, RecursionError) as fault:
            raise BadRequestError from fault
        if not isinstance(found, dict):
            raise BadRequestError
        self._found: dict[str, Any] = found

    def text(self, name: str) -> str:
        return self._of(name, str)

    def number(self, name: str) -> int:
        return self._of(name, int)

    def entries(self, name: str) -> list[Any]:
        return self._of(name, list)

    def texts(self, name: str) -> list[str]:
        found = self.entries(name)
        if not all(isinstance(one, str) for one in found):
            raise BadRequestError
        return found

    def _of(self, name: str, kind: type[_T]) -> _T:
        found = self._found.get(name)
        if not isinstance(found, kind) or isinstance(found, bool):
            raise BadRequestError
        if isinstance(found, str) and not _is_text(found):
            raise BadRequestError
        return found


def _is_text(found: str) -> bool:
    """Whether it can be written to a file: JSON may have halves of characters."""
    try:
        found.encode()
    except UnicodeEncodeError:
        return False
    return True


def said(content: object, status: HTTPStatus = HTTPStatus.OK) -> Answer:
    return Answer(JSON_BODY, json.dumps(content, ensure_ascii=False).encode(), status)


def refused(fault: HogginError, status: HTTPStatus = HTTPStatus.UNPROCESSABLE_ENTITY) -> Answer:
    """Why something was not done, for the page to show."""
    sentence = render_all(fault.diagnostics) if fault.diagnostics else str(fault)
    faults = fault.faults if isinstance(fault, AnswersError) else {}
    return said({"fault": sentence, "faults": faults}, status)


# --- about one file


def whole(opened: Opened) -> Mapping[str, object]:
    draft = opened.draft.now
    return {"text": draft.text, **about(draft)}


def _change(bench: Bench, opened: Opened, told: Told) -> Answer:
    """Take the page's text. Where another page was first, the answer has the text of that one."""
    try:
        opened.draft.change(told.number("number"), _one_end(told.text("text")))
    except OtherTextError as fault:
        return said({"fault": str(fault), **whole(opened)}, HTTPStatus.CONFLICT)
    bench.changed(opened, told.text("page"))
    return said(about(opened.draft.now))


def _save(bench: Bench, opened: Opened, _: Told) -> Answer:
    try:
        opened.draft.save()
    except ElsewhereError as fault:
        opened.draft.look()
        opened.tell_text()
        return said({"fault": str(fault), **about(opened.draft.now)}, HTTPStatus.CONFLICT)
    bench.saved(opened)
    return said(about(opened.draft.now))


def _take(bench: Bench, opened: Opened, _: Told) -> Answer:
    """Give the text up for the file's."""
    opened.draft.take()
    bench.saved(opened)
    return said(whole(opened))


def _compare(_: Bench, opened: Opened, __: Told) -> Answer:
    """What the file holds; from now on the text may replace it."""
    held, _now = opened.draft.compared()
    opened.tell_text()
    return said({"held": held, **about(opened.draft.now)})


def _save_as(bench: Bench, _: Opened, told: Told) -> Answer:
    return _written(bench, told.text("name"), _one_end(told.text("text")))


def _language(_: Bench, opened: Opened, told: Told) -> Answer:
    visitor = opened.visitors.get(told.text("page"))
    if visitor is None:  # its events have ended; it gets another name with the next ones
        return said({"fault": "the bench does not know this page; reload it"}, HTTPStatus.GONE)
    try:
        visitor.conversation.hear(told.texts("messages"))
    except RefusedError as fault:
        raise BadRequestError from fault
    return said({})


def _edit(bench: Bench, _: Opened, told: Told) -> Answer:
    """Change the text of another file of the folder, as a rename does; it is not saved."""
    path = path_of(told.text("uri"))
    if path is None or not bench.folder.holds(path):
        raise BadRequestError
    edited = bench.opened(path)
    draft = edited.draft.now
    source = Source(path.name, draft.text)
    try:
        edits = [(*_ends(source, e["range"]), str(e["newText"])) for e in told.entries("edits")]
    except (ValueError, TypeError, KeyError) as fault:
        raise BadRequestError from fault
    text = draft.text
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    edited.draft.change(draft.number, text)
    bench.changed(edited)
    return said({"name": bench.folder.name(path)})


def _ends(source: Source, span: Mapping[str, Any]) -> tuple[int, int]:
    start, end = ((int(span[end]["line"]), int(span[end]["character"])) for end in ("start", "end"))
    return offset_of(source, start), offset_of(source, end)


# --- about the folder


def _begin(bench: Bench, told: Told) -> Answer:
    """A first plant from the answers to the questions of `hoggin start`."""
    try:
        path = bench.folder.new(told.text("name"))
    except HogginError as fault:
        raise AnswersError({"name": str(fault)}) from fault
    answers = answered({one.name: told.text(one.name) for one in QUESTIONS})
    return _written(bench, path.name, propose(answers, path.name).text)


def _copy(bench: Bench, told: Told) -> Answer:
    text = example_text(told.text("name"))
    return _written(bench, bench.folder.free(told.text("name")).name, text)


def _written(bench: Bench, name: str, text: str) -> Answer:
    """A new file, and the address of its page from the page of the folder."""
    path = bench.folder.new(name)
    try:
        create(path, text.encode())
    except FileExistsError:
        raise HogginError(f"`{name}` already exists and is not changed") from None
    return said({"name": name, "address": f"{bench.folder.number(path)}/"}, HTTPStatus.CREATED)


def _one_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


ON_FILE: Mapping[str, Callable[[Bench, Opened, Told], Answer]] = {
    "text": _change,
    "save": _save,
    "take": _take,
    "compare": _compare,
    "save-as": _save_as,
    "language": _language,
    "edit": _edit,
}
ON_FOLDER: Mapping[str, Callable[[Bench, Told], Answer]] = {"begin": _begin, "copy": _copy}
