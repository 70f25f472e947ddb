"""Screen decks against their limits, in one case: area, bed depth, near size, blinding."""

from __future__ import annotations

from hoggin.models import damp
from hoggin.rating.checks import LOAD_WATCH, checked, within
from hoggin.rating.decks import DeckView
from hoggin.rating.view import picked
from hoggin.schema.facts import usual
from hoggin.schema.results import Check, DeckResult, Verdict

# Common practice, no source:
BED_FACTOR = usual("screen", "max_bed_factor")
NEAR_SIZE_WATCH = 0.30


def deck_checks(deck: DeckView, one: DeckResult, case: int) -> tuple[Check, ...]:
    """All checks of a deck; `one` is its numbers in this case."""
    on_load = [*_area(deck, one, case), *_bed(deck, one, case)]
    if deck.feed.empty[case]:
        return tuple(on_load)
    rest = (*_near_size(one), *_blinding(deck, one, case), *_spray(deck, case))
    return (*on_load, *rest, *_lumps(deck, one, case))


def _area(deck: DeckView, one: DeckResult, case: int) -> list[Check]:
    """Enough area by the association's tables and for the efficiency wanted: the stricter."""
    use, needed, by_partition = one.area_use, one.area_needed_m2, one.area_by_partition_m2
    if use is None or needed is None:
        return []
    text = f"needs {needed:.1f} m2 of {one.area_m2:.1f} m2 ({100 * use:.0f} %)"
    if by_partition is None or by_partition < needed:
        text += _by_area_model(deck, one, case)
    else:
        wanted = picked(deck.screen.stated("min_efficiency"), case)
        text += f" to pass {100 * wanted:.0f} % of its undersize"
    if by_partition is not None and one.undersize_efficiency is not None:
        text += f"; passes {100 * one.undersize_efficiency:.0f} %"
    verdict = within(use, 1.0, LOAD_WATCH)
    return [checked("deck area", verdict, text, 100 * use, 100.0, "%", "W0507")]


def _by_area_model(deck: DeckView, one: DeckResult, case: int) -> str:
    """What a needed area rests on, in words."""
    if deck.machine.models["area"].model == "factor_method":
        return " by the association's tables"
    rate = deck.rated.numbers.coefficients(deck.machine, "area").get("unit_rate")
    if rate is None or one.feed_t_h == 0.0:
        return ""
    lost = 100 * one.undersize_t_h / one.feed_t_h
    return f" at {picked(rate, case):g} t/h a m2; {lost:.0f} % of its feed passes the slots"


def _spray(deck: DeckView, case: int) -> list[Check]:
    """Whether any water reaches a deck that counts as wet; how much, its screen is judged by."""
    if deck.screen.rinse is None:
        return []
    reached = bool(picked(deck.reached, case))
    water = "the water of its slurry" if deck.flooded else "spray"
    text = f"{water} reaches it" if reached else "no spray reaches it, so it is taken as dry"
    verdict: Verdict = "ok" if reached else "over"
    return [checked("spray", verdict, text, float(reached), None, "", "W0543")]


def _bed(deck: DeckView, one: DeckResult, case: int) -> list[Check]:
    bed = one.bed_depth_mm
    if bed is None:
        return []
    factor = picked(deck.screen.stated("max_bed_factor", BED_FACTOR), case)
    most = factor * one.aperture_mm
    text = f"bed {bed:.0f} mm at the discharge, {factor:g} x aperture is {most:.0f} mm"
    if (deepest := deck.screen.number("max_bed_mm", case)) is not None:
        most = deepest
        text = f"bed {bed:.0f} mm at the discharge, {most:.0f} mm of it drains"
    return [checked("bed depth", within(bed, most), text, bed, most, "mm", "W0508")]


def _near_size(one: DeckResult) -> list[Check]:
    if one.near_size is None:  # nothing comes onto the deck
        return []
    near, most = 100 * one.near_size, 100 * NEAR_SIZE_WATCH
    verdict: Verdict = "watch" if near > most else "ok"
    return [checked("near size", verdict, f"{near:.0f} % near size", near, most, "%", "W0509")]


def _blinding(deck: DeckView, one: DeckResult, case: int) -> list[Check]:
    """Damp fines that close openings of a dry deck (the rule: `damp.blinded_share`)."""
    clay = picked(deck.clay, case)
    too_coarse = picked(deck.square_mm, case) >= picked(damp.blinding_aperture_mm(clay), case)
    if picked(deck.washed, case) or too_coarse or not picked(deck.blinding, case):
        return []
    moisture, closed = picked(deck.moisture, case), picked(deck.blinded_share, case)
    most = 100 * damp.BLINDING_MOISTURE
    dry = f"screened dry at {100 * moisture:.1f} % moisture"
    blinds = moisture > damp.BLINDING_MOISTURE
    if blinds:
        text = f"damp fines close some {100 * closed:.2g} % of the openings, {dry}"
    else:
        text = f"{one.aperture_mm:g} mm {dry}; damp fines close openings above about {most:g} %"
    if clay > 0.0:
        text += f"; the rock has {100 * clay:.1f} % clay"
    verdict: Verdict = "watch" if blinds else "ok"
    return [checked("blinding", verdict, text, 100 * moisture, most, "%", "W0523")]


def _lumps(deck: DeckView, one: DeckResult, case: int) -> list[Check]:
    """Whether the media stands the largest lumps that come onto it."""
    factor, top = deck.screen.number("max_lump_factor", case), picked(deck.feed.top_size_mm, case)
    if factor is None or top is None:
        return []
    most = factor * one.aperture_mm
    verdict: Verdict = "ok" if top <= most else "watch"
    text = f"rock up to {top:.0f} mm (98 % passing), {factor:g} x aperture is {most:.0f} mm"
    return [checked("lumps on the deck", verdict, text, top, most, "mm", "W0551")]
