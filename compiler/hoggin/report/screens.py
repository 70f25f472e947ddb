"""The notes under the table of screen decks, and how an opening is written."""

from __future__ import annotations

from hoggin.schema.results import DeckResult, Results

_AREAS = (
    "Area needed is the larger of two. By tables: the screen makers' association's factors, at the "
    "class's efficiency. By partition: the area at which the deck, by the curve that the balance "
    "uses, passes the share of its undersize that its class asks for. The tables have no factor "
    "for near-size rock, so with much of it the partition asks for more."
)


def area_notes(results: Results) -> tuple[str, ...]:
    """How the two areas differ, where a deck has both."""
    decks = (deck for machine in results.machines for deck in machine.decks)
    return (_AREAS,) if any(deck.area_by_partition_m2 is not None for deck in decks) else ()


def shape(deck: DeckResult) -> str:
    """`square`, or `slotted 4:1` where the slot's length is known."""
    return deck.shape if deck.slot_ratio is None else f"{deck.shape} {deck.slot_ratio:g}:1"
