"""The text of one file as it is written on the bench, and the file that it came from."""

from __future__ import annotations

import threading
from dataclasses import dataclass, replace
from pathlib import Path

from hoggin import writing
from hoggin.errors import HogginError
from hoggin.view.follow import FollowedWorld, mark
from hoggin.world import UnreadableError, decoded, read_bytes

LARGEST_TEXT = 1_000_000  # bytes of a file that is opened


class ElsewhereError(HogginError):
    """The file was changed elsewhere, so it is not written."""


class OtherTextError(HogginError):
    """The text was changed on another page of the bench, so this change does not fit it."""


@dataclass(frozen=True, slots=True)
class Text:
    """`number` counts the texts. `base` is what the file held when this text was last taken from it
    or saved to it, and None where there was no file. `elsewhere`: it holds something else by now,
    or is gone."""

    number: int
    text: str
    base: bytes | None
    elsewhere: bool = False
    gone: bool = False

    @property
    def unsaved(self) -> bool:
        return self.base is None or decoded(self.base) != self.text


class Draft:
    """Nature the text; thread-safe. Raises UnreadableError where the file can't be read."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._lock = threading.Lock()
        base = _content(path)
        if base is None:
            raise UnreadableError("there is no such file")
        self._now = Text(1, decoded(base), base)

    @property
    def now(self) -> Text:
        return self._now

    def change(self, number: int, text: str) -> Text:
        """Take a text that was made from the one of this number. Raises OtherTextError."""
        with self._lock:
            if number != self._now.number:
                raise OtherTextError("the text was changed on another page")
            if text != self._now.text:
                self._now = replace(self._now, number=number + 1, text=text)
            return self._now

    def look(self) -> bool:
        """Look at the file: whether what is known of it has changed. A text that has no changes of
        its own follows the file."""
        with self._lock:
            before, found = self._now, _content(self.path)
            if found == before.base:
                self._now = replace(before, elsewhere=False, gone=False)
            elif found is not None and not before.unsaved:
                self._now = Text(before.number + 1, decoded(found), found)
            else:
                self._now = replace(before, elsewhere=True, gone=found is None)
            return self._now != before

    def save(self) -> Text:
        """Write the text to the file, whole or not at all. Raises ElsewhereError where the file is
        not as it was, and OSError."""
        with self._lock:
            content = self._now.text.encode()
            try:
                if self._now.base is None:
                    writing.create(self.path, content)
                elif _content(self.path) != self._now.base:
                    raise ElsewhereError("the file was changed elsewhere")
                else:
                    writing.replace(self.path, content, like=self.path, over=self._now.base)
            except (writing.ChangedError, FileExistsError, FileNotFoundError) as fault:
                raise ElsewhereError("the file was changed elsewhere") from fault
            self._now = replace(self._now, base=content, elsewhere=False, gone=False)
            return self._now

    def take(self) -> Text:
        """Give the text up for what the file holds. Raises UnreadableError."""
        with self._lock:
            found = _content(self.path)
            if found is None:
                raise UnreadableError("there is no such file")
            self._now = Text(self._now.number + 1, decoded(found), found)
            return self._now

    def compared(self) -> tuple[str, Text]:
        """What the file holds, for who compares the text with it: from now on the text is meant to
        replace that. Raises UnreadableError."""
        with self._lock:
            found = _content(self.path)
            held = decoded(found or b"")
            self._now = replace(self._now, base=found, elsewhere=False, gone=False)
            return held, self._now


def _content(path: Path) -> bytes | None:
    """What a file holds; None where there is none. Raises UnreadableError."""
    if not path.exists():
        return None
    found = read_bytes(path)
    if len(found) > LARGEST_TEXT:
        raise UnreadableError(f"it is larger than {LARGEST_TEXT // 1_000_000} MB")
    return found


class DraftWorld(FollowedWorld):
    """A world in which these texts stand for what their files hold."""

    def __init__(self, main: Path, texts: dict[Path, str]) -> None:
        self._texts = texts
        super().__init__(main)

    def _bytes(self, path: Path) -> bytes:
        if path not in self._texts:
            return super()._bytes(path)
        self.asked[path] = mark(path)
        return self._texts[path].encode()
