"""What is on the bench: a folder, the files of it that are open, and their language servers."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from urllib.parse import urlparse
from urllib.request import url2pathname

from hoggin.bench.folder import Folder
from hoggin.bench.language import Conversation, Languages, Say
from hoggin.bench.opened import Opened, ReadPlant
from hoggin.editor.desk import Balance
from hoggin.view.pages import page
from hoggin.world import library_names, library_path
from hoggin.writing import create


class Bench:
    """Files are opened when a page asks for them, and stay open; thread-safe."""

    def __init__(self, root: Path, read: ReadPlant, balance: Balance) -> None:
        self.folder = Folder(root)
        self.languages = Languages(balance)
        self.closed = False
        self._page, self._read = _page(), read
        self._lock = threading.Lock()
        self._opened: dict[Path, Opened] = {}
        self._libraries = {library_path(name).resolve(): name for name in library_names()}

    def opened(self, path: Path) -> Opened:
        """Raises UnreadableError."""
        with self._lock:
            if path not in self._opened:
                self._opened[path] = Opened(path, self._page, self._read, self.texts)
            return self._opened[path]

    def numbered(self, number: int) -> Opened | None:
        """The file of that number. Raises UnreadableError."""
        path = self.folder.path(number)
        return None if path is None else self.opened(path)

    def texts(self) -> dict[Path, str]:
        """The texts that are not saved, by their files."""
        opened = list(self._opened.items())
        drafts = {path: one.draft.now for path, one in opened}
        return {path: draft.text for path, draft in drafts.items() if draft.unsaved}

    def changed(self, changed: Opened, page: str = "") -> None:
        """A page changed the text of a file: every other page that reads it gets the new one."""
        text = changed.draft.now.text
        changed.tell_text(besides=page)
        for one in list(self._opened.values()):
            if one.live.reads(changed.path):
                one.live.read_soon()
            if one is not changed:
                for visitor in list(one.visitors.values()):
                    visitor.conversation.put(changed.path, text)

    def saved(self, saved: Opened) -> None:
        """A file was written, or its text taken from it."""
        saved.tell_text()
        for one in list(self._opened.values()):
            if one.live.reads(saved.path):
                one.live.read_soon()
            for visitor in list(one.visitors.values()):
                visitor.conversation.changed_on_disk()

    def conversation(self, opened: Opened, say: Say) -> Conversation:
        """A language server for a page on a file; it knows the unsaved texts of the others."""
        made = self.languages.conversation(say, self.may_speak_of)
        for path, text in self.texts().items():
            if path != opened.path:
                made.put(path, text)
        return made

    def may_speak_of(self, uri: str) -> bool:
        path = path_of(uri)
        return path is not None and self.folder.holds(path)

    def library(self, uri: str) -> str | None:
        """The name of the library of the compiler at that address."""
        path = path_of(uri)
        return None if path is None else self._libraries.get(path)

    def keep(self) -> Iterator[tuple[str, Path]]:
        """Write every unsaved text to a new file of the folder, so that none is lost with the
        bench: the name of its own file, and where it is. Raises OSError."""
        for path, text in self.texts().items():
            kept = self.folder.free("unsaved.hog")
            create(kept, text.encode())
            yield self.folder.name(path), kept

    def close(self) -> None:
        self.closed = True
        for one in list(self._opened.values()):
            one.stop()
        self.languages.close()


def _page() -> bytes:
    desk = files("hoggin.bench") / "page" / "desk.html"
    return page("bench.js", ["bench.css"], desk.read_text(encoding="utf-8"))


def path_of(uri: str) -> Path | None:
    """The file that an address of the language server names."""
    try:
        parsed = urlparse(uri)
        if parsed.scheme == "file" and not parsed.netloc:
            return Path(url2pathname(parsed.path)).resolve()
    except (ValueError, OSError, RuntimeError):
        pass
    return None
