"""A plant's text that is in no file."""

from __future__ import annotations

from pathlib import Path

from hoggin.world import World


class TextWorld(World):
    """A text that stands for a file in a folder; what it uses is read from the disk."""

    def __init__(self, text: str, path: Path) -> None:
        self._text = text.encode()
        super().__init__(path)

    def _bytes(self, path: Path) -> bytes:
        return self._text if path == self.main else super()._bytes(path)
