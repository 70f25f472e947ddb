"""A part of the results document for all cases at once, and the same part for one of them.

A view has an attribute for every field of its part: an array with a leading batch axis for a
quantity, the plain value for what all cases share, views for the parts within it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

import numpy as np
from pydantic import BaseModel

from hoggin.schema.plant import Listed
from hoggin.schema.rounding import nine_digits


class View:
    """Some cases of one part of the results document."""

    document: ClassVar[type[BaseModel]]
    none = np.full(1, np.nan)  # no value in any case

    def one(self, case: int, **given: Any) -> Any:
        """This part of the document for one case; `given` fields are taken as they are."""
        fields = {
            name: picked(getattr(self, name), case)
            for name in self.document.model_fields
            if name not in given
        }
        return self.document(**fields, **given)


class ListedView(View):
    """A part that documents list with what the plant says of it for them."""

    def __init__(self, thing: Listed) -> None:
        self.tag, self.title, self.item_tag = thing.tag, thing.title, thing.item_tag
        self.sheet, self.notes = thing.sheet, thing.notes


def picked(value: Any, case: int) -> Any:
    """One case of a value. A number to nine digits; None for what has no value there."""
    if isinstance(value, View):
        return value.one(case)
    if isinstance(value, np.ndarray):
        row = value[case if len(value) > 1 else 0]
        return tuple(map(plain, row.tolist())) if np.ndim(row) else plain(row.item())
    if isinstance(value, tuple):
        return tuple(picked(item, case) for item in value)
    return plain(value) if isinstance(value, float) else value


def plain(value: Any) -> Any:
    """A number as documents hold it: nine significant digits, None where there is none."""
    if not isinstance(value, float):
        return value
    if np.isnan(value):
        return None
    return nine_digits(value)


def ones(views: Iterable[View], case: int) -> tuple[Any, ...]:
    """One case of each of some parts."""
    return tuple(view.one(case) for view in views)
