"""The notes under the table of screen decks, which compare two methods for the area."""

from __future__ import annotations

from hoggin.report import wording
from hoggin.schema.results import DeckResult, Results

_APART = 0.15  # of the larger area; below it the two methods are taken to agree


def area_notes(results: Results) -> tuple[str, ...]:
    """Decks on which Karra's capacity and the factor method ask for areas more than 15 % apart."""
    apart = [
        (f"{machine.tag}.{deck.name}", deck)
        for machine in results.machines
        for deck in machine.decks
        if _areas_apart(deck)
    ]
    if not apart:
        return ()
    notes = [
        "Area needed is by the screen makers' factor method. Area by Karra is the area whose "
        "capacity by Karra's equations equals the feed. They differ by more than "
        f"{wording.percent(_APART, 0)} % on "
        + ", ".join(tag for tag, _ in apart)
        + ": Karra's equations give near-size rock a large weight. Test, or use the larger area."
    ]
    if disputed := [tag for tag, deck in apart if _one_fits(deck)]:
        notes.append(
            "Only one of the two methods finds the area sufficient on " + ", ".join(disputed) + "."
        )
    return tuple(notes)


def shape(deck: DeckResult) -> str:
    """`square`, or `slotted 4:1` where the slot's length is known."""
    return deck.shape if deck.slot_ratio is None else f"{deck.shape} {deck.slot_ratio:g}:1"


def _areas_apart(deck: DeckResult) -> bool:
    needed, by_karra = deck.area_needed_m2, deck.area_by_karra_m2
    if needed is None or by_karra is None:
        return False
    return abs(needed - by_karra) > _APART * max(needed, by_karra)


def _one_fits(deck: DeckResult) -> bool:
    needed, by_karra = deck.area_needed_m2 or 0.0, deck.area_by_karra_m2 or 0.0
    return (needed <= deck.area_m2) != (by_karra <= deck.area_m2)
