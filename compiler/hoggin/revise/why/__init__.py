"""The change of one result between two revisions of a plant, attributed to single edits."""

from hoggin.revise.why.attribute import MOST_EXACT, UnsettledSide, attribute
from hoggin.revise.why.attribution import Attribution, EditShare
from hoggin.revise.why.project import Side, read_side

__all__ = [
    "MOST_EXACT",
    "Attribution",
    "EditShare",
    "Side",
    "UnsettledSide",
    "attribute",
    "read_side",
]
