"""Tramp metal: how large and how often it arrives, what magnets and detectors take of it, and what
a crusher's relief lets through.

A piece may take any way that rock takes; of several, the one that brings most is counted. A magnet
takes a share of the iron; a detector stops the belt for a share of all pieces that it can see. No
piece passes a deck that is finer than it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hoggin.models.arrays import Array, over
from hoggin.models.setting import gap_of_lift_mm
from hoggin.rating.checks import checked
from hoggin.rating.setting import set_to
from hoggin.rating.view import View, picked
from hoggin.schema.plant import Feed, Machine
from hoggin.schema.results import Check, TrampResult, Verdict

if TYPE_CHECKING:
    from hoggin.rating.machines import MachineView
    from hoggin.rating.rated import Rated

# The check of each kind of tramp, what it calls it, and whether a magnet holds it.
_METALS = (
    ("tramp relief", "tramp iron", True),
    ("tramp relief, other metal", "tramp metal that no magnet holds", False),
)
_RIGHT_ANGLE = 90.0  # of a relief whose stroke is stated as the opening itself
Passing = Mapping[str, Callable[[Array], Array]]  # what a machine lets on, by its tag


@dataclass(frozen=True, slots=True)
class Arrival:
    """Tramp of one feed at a machine, (B,) or (1,).

    magnetic: whether a magnet holds it. size_mm: of the largest piece. share: of the feed's pieces,
    those that may arrive. unseen_mm: the largest that no detector on the way stops the belt for.
    every_h: between two pieces of the feed; NaN where it does not say.
    """

    magnetic: bool
    size_mm: Array
    share: Array
    unseen_mm: Array
    every_h: Array

    @property
    def pieces_per_h(self) -> Array:
        return self.share / self.every_h


def arrivals(rated: Rated) -> dict[str, list[Arrival]]:
    """The tramp that can reach each machine, of all feeds that state any."""
    found: dict[str, list[Arrival]] = {}
    for feed in rated.plant.feeds:
        for metal in ("", "nonmagnetic_"):
            size, every = (
                _of_feed(rated, feed, f"{metal}tramp{ending}") for ending in ("_mm", "_every_h")
            )
            if not (size > 0.0).any():
                continue
            kept = _kept(rated, size, magnetic=not metal)
            shares = _spread(rated, feed.tag, size, np.ones(1), kept)
            unseen = _spread(rated, feed.tag, size, size, _overlooked(rated))
            for tag, share in shares.items():
                found.setdefault(tag, []).append(
                    Arrival(not metal, size, share, unseen[tag], every)
                )
    return found


def _of_feed(rated: Rated, feed: Feed, name: str) -> Array:
    plain = getattr(feed, name)
    return rated.numbers.of(("feeds", feed.tag, name), np.nan if plain is None else plain)


def _kept(rated: Rated, size_mm: Array, *, magnetic: bool) -> Passing:
    """The share of pieces that goes on past each magnet and detector."""
    passed: dict[str, Callable[[Array], Array]] = {}
    for machine in rated.plant.machines:
        taken = np.zeros(1)
        removal = rated.numbers.fact(machine, "tramp_removal")
        if removal is not None and magnetic:
            taken = removal
        elif (detected := _detected(rated, machine)) is not None:
            share, least_mm = detected
            taken = np.where(size_mm >= least_mm, share, 0.0)
        if taken.any():
            passed[machine.tag] = partial(np.multiply, 1.0 - taken)
    return passed


def _overlooked(rated: Rated) -> Passing:
    """The largest piece that each detector does not stop for."""
    return {
        machine.tag: partial(np.minimum, detected[1])
        for machine in rated.plant.machines
        if (detected := _detected(rated, machine)) is not None
    }


def _detected(rated: Rated, machine: Machine) -> tuple[Array, Array] | None:
    """The share of pieces that a detector stops for, and the size from which it sees them, mm."""
    share, least_mm = (
        rated.numbers.fact(machine, name) for name in ("detected_share", "detected_size_mm")
    )
    return None if share is None or least_mm is None else (share, least_mm)


def _spread(
    rated: Rated, start: str, size_mm: Array, value: Array, passed: Passing
) -> dict[str, Array]:
    """The most of a value of pieces of a size that any way brings to each machine or product, where
    it is above 0."""
    found: dict[str, Array] = {}
    waiting = [(start, value)]
    while waiting:
        tag, brought = waiting.pop()
        before = found.get(tag, np.zeros(1))
        most = np.maximum(before, brought)
        if (most <= before).all():
            continue
        found[tag] = most
        on = passed[tag](most) if tag in passed else most
        for at in rated.streams_from(tag):
            stream = rated.plant.streams[at]
            waiting.append((stream.target, on * _fits(rated, tag, stream.outlet, size_mm)))
    return found


def _fits(rated: Rated, tag: str, outlet: str, size_mm: Array) -> NDArray[np.bool_]:
    """Whether pieces of a size pass the openings of all decks above an outlet."""
    fits = np.ones(1, dtype=bool)
    if all(machine.tag != tag for machine in rated.plant.machines):
        return fits
    for deck in rated.machine(tag).decks:
        if outlet == f"{deck.name}.over":
            break
        fits = fits & (size_mm <= deck.aperture_mm)
    return fits


def tramp_at(machine: MachineView) -> TrampView | None:
    """The tramp at a crusher, magnet or detector; None for others, and where none arrives."""
    found = machine.rated.tramp.get(machine.tag, [])
    stops = {"tramp_removal", "detected_share"} & machine.machine.facts.keys()
    return TrampView(machine, found) if found and (machine.crushes or stops) else None


class TrampView(View):
    document = TrampResult

    def __init__(self, machine: MachineView, found: list[Arrival]) -> None:
        iron, other = ([one for one in found if one.magnetic is kind] for kind in (True, False))
        self.iron_mm, self.iron_share = _most(iron)
        self.other_mm, self.other_share = _most(other)
        pieces: Array = sum((one.pieces_per_h for one in found), start=np.zeros(1))
        self.piece_every_h = over(np.ones(1), pieces)
        self.stop_every_h = machine.none
        detected = _detected(machine.rated, machine.machine)
        if detected is not None:
            share, least_mm = detected
            seen = [np.where(one.size_mm >= least_mm, one.pieces_per_h, 0.0) for one in found]
            stops = share * sum(map(np.nan_to_num, seen), start=np.zeros(1))
            self.stop_every_h = over(np.ones(1), stops)


def _most(found: list[Arrival]) -> tuple[Array, Array]:
    """The largest piece and the largest share that arrive; NaN for no tramp."""
    sizes, shares = [one.size_mm for one in found], [one.share for one in found]
    return _largest(sizes), _largest(shares)


def _largest(arrays: list[Array]) -> Array:
    found: Array = np.fmax.reduce(np.broadcast_arrays(np.full(1, np.nan), *arrays))
    return found


def tramp_checks(machine: MachineView, case: int) -> Iterator[Check]:
    """Tramp metal against what the chamber opens to: at the setting, and at the closest setting of
    the class, since a setting is changed more easily than a machine."""
    if not machine.crushes:
        return
    found = set_to(machine) or ("", np.zeros(1))
    setting = picked(found[1], case)
    opens, how = _opens(machine, found[0], case)
    for name, metal, magnetic in _METALS:
        arriving = [
            _Piece(*(picked(number, case) for number in (one.size_mm, one.unseen_mm, one.share)))
            for one in machine.rated.tramp.get(machine.tag, ())
            if one.magnetic is magnetic
        ]
        if not arriving:
            continue
        worst = max(arriving, key=lambda piece: piece.against(setting + opens))
        yield _relief(name, metal, worst, setting + opens, how)
        closest = machine.number("closest_setting_mm", case)
        if closest is not None and worst.verdict(setting + opens) == "ok":
            worst = max(arriving, key=lambda piece: piece.against(closest + opens))
            yield _relief_when_closed(name, metal, worst, closest, opens, found[0])


def _opens(machine: MachineView, setting: str, case: int) -> tuple[float, str]:
    """By how much a chamber opens beyond its setting for tramp metal, mm, and how.

    The relief of a cone moves bowl or head along the axis: its stroke opens the chamber by less,
    as the chamber's angle says. Where a class gives no angle its stroke is the opening. Without a
    relief, as in a jaw with its toggle plate, a piece passes by the open side or not at all."""
    relief, angle = machine.fact("relief_stroke_mm"), machine.number("chamber_angle_deg", case)
    if relief is None:
        throw = machine.rated.numbers.coefficients(machine.machine, "capacity").get("throw")
        opens = 0.0 if throw is None or not setting else float(picked(throw, case))
        return opens, f"no relief; {setting} + throw of {opens:.0f} mm" if opens else "no relief"
    stroke = picked(relief, case)
    opens = float(gap_of_lift_mm(stroke, angle or _RIGHT_ANGLE)[0])
    how = f"{setting} + {opens:.0f} mm"
    if angle is not None:
        how += f", relief stroke {stroke:.0f} mm x sin {angle:.0f} deg"
    return opens, how


@dataclass(frozen=True, slots=True)
class _Piece:
    """The largest piece of a feed in one case: its size, the largest that no detector stops for,
    and the share of such pieces that may arrive."""

    size_mm: float
    unseen_mm: float
    share: float

    def verdict(self, opening_mm: float) -> Verdict:
        if self.unseen_mm <= opening_mm:
            return "ok"
        return "over" if self.share == 1.0 else "watch"

    def against(self, opening_mm: float) -> tuple[int, float, float]:
        """How bad it is, to compare with others."""
        rank = ("ok", "watch", "over").index(self.verdict(opening_mm))
        return rank, self.unseen_mm, self.size_mm


def _relief(name: str, metal: str, piece: _Piece, opening_mm: float, how: str) -> Check:
    text = f"{metal} up to {piece.size_mm:.0f} mm, it opens to {opening_mm:.0f} mm ({how})"
    if piece.unseen_mm < piece.size_mm:
        text += f"; a detector stops the belt for pieces of {piece.unseen_mm:.0f} mm or more"
    if piece.share < 1.0:
        text += f"; {100 * piece.share:.3g} % of the pieces pass the magnets and detectors upstream"
    verdict = piece.verdict(opening_mm)
    return checked(name, verdict, text, piece.unseen_mm, opening_mm, "mm", "W0505")


def _relief_when_closed(
    name: str, metal: str, piece: _Piece, closest_mm: float, opens_mm: float, setting: str
) -> Check:
    opening = closest_mm + opens_mm
    text = f"the class's closest setting, {closest_mm:.0f} mm, opens to {opening:.0f} mm"
    verdict: Verdict = "ok" if piece.verdict(opening) == "ok" else "watch"
    if verdict == "watch":
        wide = math.ceil(piece.unseen_mm - opens_mm)
        at = f"passes only at {setting} {wide:d} mm or more"
        text = f"{metal} up to {piece.unseen_mm:.0f} mm {at}; {text}"
    row = f"{name}, closest setting"
    return checked(row, verdict, text, piece.unseen_mm, opening, "mm", "W0513")
