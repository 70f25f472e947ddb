"""Source texts and spans in them. Every later thing that can be blamed carries a span."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, dataclass_transform

_T = TypeVar("_T")


@dataclass(frozen=True, eq=False)
class Source:
    """A text and the name it is shown by (a path under the project root, or `std.cones`)."""

    name: str
    text: str

    @cached_property
    def _line_starts(self) -> list[int]:
        return [0, *(found.end() for found in re.finditer("\n", self.text))]

    def line_column(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, both counted from 1."""
        line = bisect_right(self._line_starts, offset)
        return line, offset - self._line_starts[line - 1] + 1

    def offset(self, line: int, column: int) -> int:
        """The offset of a place; the inverse of `line_column`."""
        return self._line_starts[line - 1] + column - 1

    def line_text(self, line: int) -> str:
        start, end = self.line_limits(line)
        return self.text[start:end]

    def line_limits(self, line: int) -> tuple[int, int]:
        """The offsets of a line, without its line break."""
        start = self._line_starts[line - 1]
        last = line == len(self._line_starts)
        end = len(self.text) if last else self._line_starts[line] - 1
        while end > start and self.text[end - 1] == "\r":
            end -= 1
        return start, end


@dataclass_transform(frozen_default=True)
def _record(cls: type[_T]) -> type[_T]:
    """Frozen by the type checker alone: made three times faster, and a source has thousands."""
    return dataclass(slots=True, unsafe_hash=True)(cls)


@_record
class Span:
    """A stretch of a source, by offsets [start, end)."""

    source: Source
    start: int
    end: int

    @property
    def line(self) -> int:
        return self.source.line_column(self.start)[0]

    @property
    def column(self) -> int:
        return self.source.line_column(self.start)[1]

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    def holds(self, other: Span) -> bool:
        """Whether another stretch of the same source lies in this one."""
        same = self.source is other.source
        return same and self.start <= other.start and other.end <= self.end

    def to(self, other: Span) -> Span:
        """The stretch from the start of this span to the end of another in the same source."""
        return Span(self.source, self.start, other.end)
