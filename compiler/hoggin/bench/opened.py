"""A file on the bench: its text, what it shows, and the pages that look at it."""

from __future__ import annotations

import json
import queue
import secrets
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Protocol

from hoggin.bench.draft import Draft, DraftWorld, Text
from hoggin.bench.language import Conversation, Say
from hoggin.view.follow import FollowedWorld, Marks
from hoggin.view.live import Live
from hoggin.view.pages import Pages
from hoggin.view.reading import Reading

Texts = Callable[[], dict[Path, str]]
"""The texts that are not saved, of every file on the bench."""


class ReadPlant(Protocol):
    """Reads a plant in a world of its own kind: the reading, and the files that it asked for."""

    def __call__(
        self, file: Path, *, world_of: Callable[[Path], FollowedWorld]
    ) -> tuple[Reading, Marks]: ...


@dataclass(eq=False)
class Visitor:
    """A page that looks at a file. `news` are events that it is to be sent; None ends them."""

    name: str
    talk: Callable[[Say], Conversation]
    news: queue.SimpleQueue[bytes | None] = field(default_factory=queue.SimpleQueue)
    conversation: Conversation = field(init=False)

    def __post_init__(self) -> None:
        self.conversation = self.talk(lambda message: self.tell("language", message))

    def tell(self, kind: str, data: str) -> None:
        self.news.put(event(kind, data))


class Opened:
    """Raises UnreadableError where the file can't be read."""

    def __init__(self, path: Path, page: bytes, read: ReadPlant, texts: Texts) -> None:
        self.path = path
        self.draft = Draft(path)
        self.visitors: dict[str, Visitor] = {}
        self._read_plant, self._texts = read, texts
        self.live = Live(self._read, lambda number: self.tell("reading", number))
        self.pages = Pages(self.live, page)
        self._following = threading.Thread(target=self.live.follow, daemon=True)
        self._following.start()

    def tell(self, kind: str, content: object, besides: str = "") -> None:
        """Send an event to every page but the one of that name."""
        for name, visitor in list(self.visitors.items()):
            if name != besides:
                visitor.tell(kind, json.dumps(content))

    def tell_text(self, besides: str = "") -> None:
        self.tell("text", about(self.draft.now), besides)

    @contextmanager
    def visit(self, talk: Callable[[Say], Conversation]) -> Iterator[Visitor]:
        visitor = Visitor(secrets.token_urlsafe(12), talk)
        self.visitors[visitor.name] = visitor
        try:
            yield visitor
        finally:
            del self.visitors[visitor.name]
            visitor.conversation.end()

    def stop(self) -> None:
        self.live.stop()
        for visitor in list(self.visitors.values()):
            visitor.news.put(None)
        self._following.join(timeout=30)

    def _read(self) -> tuple[Reading, Marks]:
        if self.draft.look():
            self.tell_text()
        texts = self._texts()
        if self.draft.now.unsaved:  # also of one that is only being opened
            texts[self.path] = self.draft.now.text
        reading, asked = self._read_plant(self.path, world_of=lambda p: DraftWorld(p, texts))
        return replace(reading, saved=texts.keys().isdisjoint(asked)), asked


def about(text: Text) -> dict[str, Any]:
    """What a page gets beside the text."""
    return {
        "number": text.number,
        "unsaved": text.unsaved,
        "elsewhere": text.elsewhere,
        "gone": text.gone,
    }


def event(kind: str, data: str) -> bytes:
    """A server-sent event. JSON has no line ends in it."""
    return f"event: {kind}\ndata: {data}\n\n".encode()
