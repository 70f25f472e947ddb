"""A drawing that a notebook shows."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, repr=False)
class Picture:
    """A drawing. `svg` is its text; a notebook shows it."""

    title: str
    svg: str

    def write(self, path: str | Path) -> Path:
        """Write it as an SVG file, and give its path.

        Raises:
            HogginError: where that fails.
        """
        from hoggin.writing import write

        place = Path(path)
        return write({place.name: self.svg.encode()}, place.parent)[0]

    def __repr__(self) -> str:
        return f"<Picture: {self.title}>"

    def _repr_svg_(self) -> str:
        return self.svg
