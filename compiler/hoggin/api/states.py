"""A plant balanced as it is written and in each of its cases."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, overload

from hoggin.api.findings import preformatted
from hoggin.api.frames import Column, Library, frame
from hoggin.api.result import Result
from hoggin.api.tables import table
from hoggin.errors import HogginError
from hoggin.report.cases import AS_WRITTEN, State, document, files, states
from hoggin.report.text import terminal
from hoggin.writing import write

if TYPE_CHECKING:
    import pandas as pd
    import polars as pl

_CASE = "case"


@dataclass(frozen=True, eq=False, repr=False)
class States:
    """The results of a plant as it is written, then of its cases by name. As text and in a notebook
    it is the schedule over all of them."""

    results: tuple[Result, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """`as written`, then the names of the cases."""
        return tuple(one.case or AS_WRITTEN for one in self.results)

    @property
    def schedule(self) -> tuple[State, ...]:
        """Each state with the hours of the year that it is run."""
        return states([one.document for one in self.results])

    @property
    def met(self) -> bool:
        """Whether every requirement is met in every state."""
        return all(one.met for one in self.results)

    def __len__(self) -> int:
        return len(self.results)

    def __iter__(self) -> Iterator[Result]:
        return iter(self.results)

    def __getitem__(self, name: str) -> Result:
        """The result in a case, or `as written`.

        Raises:
            HogginError: for another name.
        """
        if name not in self.names:
            known = ", ".join(f"`{one}`" for one in self.names)
            raise HogginError(f"the plant has no case `{name}`; it has {known}")
        return self.results[self.names.index(name)]

    @overload
    def frame(self, of: str, library: Literal["pandas"]) -> pd.DataFrame: ...
    @overload
    def frame(self, of: str, library: Literal["polars"]) -> pl.DataFrame: ...
    @overload
    def frame(self, of: str, library: None = None) -> Any: ...
    def frame(self, of: str, library: Library | None = None) -> Any:
        """The frames of all states one below another; the column `case` says which. Arguments and
        errors are those of `Result.frame`."""
        return frame(
            _stacked(self.names, [table(one.document, of) for one in self.results]), library
        )

    def documents(self, backends: Sequence[str] = ()) -> dict[str, bytes]:
        """Every state's documents by file name, as `hoggin issue` writes them: those of a case in a
        folder of its own, with one schedule over all. Raises as `Result.documents` does."""
        from hoggin.report.documents import file_stems

        written, *cases = self.results
        contents = written.documents(backends)
        for stem, one in zip(file_stems(one.case for one in cases), cases, strict=True):
            contents |= _below(f"cases/{stem}", one.documents(backends))
        return contents | _below("cases", files(self.schedule)) if cases else contents

    def write(self, folder: str | Path) -> tuple[Path, ...]:
        """Write the documents into a folder, all or none, and give their paths.

        Raises:
            HogginError: where they can't be written.
        """
        return write(self.documents(), Path(folder))

    def __str__(self) -> str:
        return terminal(document(self.schedule))

    def __repr__(self) -> str:
        return f"<States: {self.results[0].title}: {', '.join(self.names)}>"

    def _repr_html_(self) -> str:
        return preformatted(str(self))


def _below(folder: str, contents: dict[str, bytes]) -> dict[str, bytes]:
    return {f"{folder}/{name}": content for name, content in contents.items()}


def _stacked(names: Sequence[str], tables: Sequence[Sequence[Column]]) -> list[Column]:
    """Tables one below another. A column that a state has not (a stream of another option) holds
    nothing there."""
    heights = [len(columns[0].values) for columns in tables]
    kinds = {one.name: one.kind for columns in tables for one in columns}
    cells: dict[str, list[Any]] = {name: [] for name in kinds}
    for columns, height in zip(tables, heights, strict=True):
        own = {one.name: one.values for one in columns}
        for name, column in cells.items():
            column += own.get(name, [None] * height)
    cases = [name for name, height in zip(names, heights, strict=True) for _ in range(height)]
    return [
        Column(_CASE, str, cases),
        *(Column(n, kinds[n], column) for n, column in cells.items()),
    ]
