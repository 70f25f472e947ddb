"""The change of one result between two revisions of a plant, attributed to single edits."""

from hoggin.attribute.attribute import MOST_EXACT, UnsettledSide, attribute
from hoggin.attribute.attribution import Attribution, EditShare
from hoggin.attribute.project import Side, read_side
from hoggin.attribute.result import CannotAttribute

__all__ = [
    "MOST_EXACT",
    "Attribution",
    "CannotAttribute",
    "EditShare",
    "Side",
    "UnsettledSide",
    "attribute",
    "read_side",
]
