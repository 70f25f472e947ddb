"""Two results side by side."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.api.findings import preformatted
from hoggin.api.result import Result
from hoggin.errors import HogginError
from hoggin.report import comparison as report
from hoggin.report import text
from hoggin.report.tables import Document
from hoggin.revise.compare import Comparison, Side
from hoggin.revise.compare import compare as compared

_WAYS = report.Ways("`least=0` adds them", "`document` holds them")


@dataclass(frozen=True, repr=False)
class Difference:
    """What was changed between two results, and what follows. `document` is the whole of it; as
    text and in a notebook it is the table that `hoggin compare` prints."""

    document: Comparison

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return self.document.same

    def __str__(self) -> str:
        return text.terminal(self._document)

    def __repr__(self) -> str:
        return f"<Difference: {self.document.before.title} -> {self.document.after.title}>"

    def _repr_markdown_(self) -> str:
        return text.markdown(self._document)

    def _repr_html_(self) -> str:
        return preformatted(str(self))

    @property
    def _document(self) -> Document:
        return report.document(self.document, ways=_WAYS)


def compare(before: Result, after: Result, *, least: float = 1.0) -> Difference:
    """Compare two results.

    Args:
        before, after: results of `Plant.balance`.
        least: the least weight of a consequence that is listed, per cent.

    >>> import hoggin
    >>> plant = hoggin.load("examples/gravel.hog")
    >>> compare(plant.balance(), plant.balance({"cone.css": "15 mm"})).document.changes[0].what
    'css'
    """
    return Difference(compared(_side("before", before), _side("after", after), least))


def _side(name: str, result: Result) -> Side:
    plant = result.document.plant
    if plant is None:
        raise HogginError(f"the result {name} has no plant to compare")
    return Side(name, plant, result.document)
