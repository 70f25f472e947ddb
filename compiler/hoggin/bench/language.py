"""The language server, for the editors of pages: one for each page, all in one thread.

A page sends its messages by requests and gets its answers as events (`server.py`).
"""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hoggin.editor.desk import Balance
from hoggin.editor.server import server

_READY = "initialized"
_HEARD = ("", "initialize", _READY, "$/cancelRequest")
_OF_DOCUMENTS = "textDocument/"
Say = Callable[[str], None]
"""Sends a message to the page."""


class RefusedError(Exception):
    """A message that no page of ours sends."""


class Languages:
    """The thread that the language servers run in."""

    def __init__(self, balance: Balance) -> None:
        self._balance = balance
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()

    def conversation(self, say: Say, may_open: Callable[[str], bool]) -> Conversation:
        """may_open: whether the page may speak of the document of this address."""
        return Conversation(self._balance, self._loop, say, may_open)

    def close(self) -> None:
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(timeout=10)


class Conversation:
    """One page's language server."""

    def __init__(
        self,
        balance: Balance,
        loop: asyncio.AbstractEventLoop,
        say: Say,
        may_open: Callable[[str], bool],
    ) -> None:
        self._made = server(balance)
        self._loop, self._say, self._may_open = loop, say, may_open
        self._waiting: dict[Path, str] | None = {}  # texts, until the server is set up
        self._made.protocol.set_writer(self, include_headers=False)

    def write(self, data: bytes) -> None:
        self._say(data.decode())

    def close(self) -> None:
        """What writes to the page has nothing to close: the page's own events end elsewhere."""

    def hear(self, messages: list[str]) -> None:
        """Take messages of the page, in order. Raises RefusedError for what no page sends."""
        methods = [self._method(message) for message in messages]
        for method, message in zip(methods, messages, strict=True):
            self._loop.call_soon_threadsafe(self._take, method, message)

    def put(self, path: Path, text: str) -> None:
        """The text of a file that is written on another page."""
        self._loop.call_soon_threadsafe(self._put, path, text)

    def changed_on_disk(self) -> None:
        self._loop.call_soon_threadsafe(self._look_again)

    def end(self) -> None:
        self._loop.call_soon_threadsafe(self._made.desk.close)

    def _method(self, message: str) -> str:
        """The method of a message that a page of ours may send; "" of an answer. Raises
        RefusedError."""
        try:
            told: Any = json.loads(message)
            method = told.get("method", "")
            document = (told.get("params") or {}).get("textDocument")
        except (ValueError, AttributeError, RecursionError) as fault:
            raise RefusedError(message) from fault
        if method in _HEARD:
            return str(method)
        known = isinstance(method, str) and method.startswith(_OF_DOCUMENTS)
        uri = document.get("uri") if isinstance(document, dict) else None
        if not known or not isinstance(uri, str) or not self._may_open(uri):
            raise RefusedError(message)
        return str(method)

    def _put(self, path: Path, text: str) -> None:
        if self._waiting is None:
            self._made.desk.put(path.as_uri(), text)
        else:
            self._waiting[path] = text

    def _look_again(self) -> None:
        if self._waiting is None:
            self._made.desk.changed_on_disk()

    def _take(self, method: str, message: str) -> None:
        protocol = self._made.protocol
        try:
            protocol.handle_message(json.loads(message, object_hook=protocol.structure_message))
        except Exception as fault:  # of any kind: the others' servers run in the same thread
            self._made.report_server_error(fault, "bench")
        if self._waiting is not None and method == _READY:
            waiting, self._waiting = self._waiting, None
            for path, text in waiting.items():
                self._put(path, text)
