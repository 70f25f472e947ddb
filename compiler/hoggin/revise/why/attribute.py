"""Attributes the change of a result between two revisions to single edits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import fsum

import numpy as np

from hoggin.errors import HogginError
from hoggin.revise.why.assembly import Assembly, RefusedError
from hoggin.revise.why.attribution import Attribution, EditShare
from hoggin.revise.why.edits import Edit, differences
from hoggin.revise.why.elements import ASKED, differing
from hoggin.revise.why.hybrids import Hybrids, Refusal
from hoggin.revise.why.players import Players
from hoggin.revise.why.project import MixedWorld, Side, side_lines
from hoggin.revise.why.renames import in_new_names, renames, result_in
from hoggin.revise.why.result import asked_line, unit_of
from hoggin.revise.why.shares import Orders, draw_orders, exact_shares, sampled_shares, sets_of
from hoggin.revise.why.telling import places, tell, told
from hoggin.revise.why.values import values, void_by
from hoggin.schema.plant import Plant
from hoggin.syntax import given

MOST_EXACT = 10  # up to so many edits, every combination is balanced: 1,024 hybrids
_HYBRIDS = 2400  # about as many are balanced where orders are sampled
_FEWEST_ORDERS = 20

Draw = Callable[[int], Orders | None]
"""The orders of so many edits; None where all are to be balanced."""


class UnsettledSide(HogginError):  # noqa: N818 - named for what it says of the plant
    """One of the two plants can't be balanced, or the result has no value there."""


def attribute(
    before: Side,
    after: Side,
    result: str,
    *,
    samples: int | None = None,
    seed: int = 0,
    most_exact: int = MOST_EXACT,
) -> Attribution:
    """Attribute the change of a result to the edits between two plants without errors.

    samples: orders drawn where there are more than `most_exact` edits; None for as many as make
    some 2,400 hybrids.
    Raises HogginError for a result that not both plants have, UnsettledSide for a plant that
    can't be balanced.
    """
    names = renames(_plant(before), _plant(after))
    hybrids, end = _hybrids(before, after, result, names)
    players = Players([1 << number for number in range(len(hybrids.differences.edits))])
    _join_refused(players, hybrids)
    idle = _set_apart_idle(players, hybrids)

    def drawn(edits: int) -> Orders | None:
        if edits <= most_exact:
            return None
        return draw_orders(edits, samples or max(_FEWEST_ORDERS, _HYBRIDS // edits), seed)

    worths, orders = _worths(players, hybrids, (before, after), drawn)
    unit, scale = unit_of(end)
    scaled = {choice: scale * worth for choice, worth in worths.items()}
    edits = _shares(players, hybrids, scaled, orders)
    return Attribution(
        title=_plant(after).title,
        before_name=before.name,
        after_name=after.name,
        result=" ".join(result.split()),
        unit=unit,
        before=scaled[0],
        after=scaled[players.all],
        before_void_by=_void_by(hybrids, 0),
        after_void_by=_void_by(hybrids, hybrids.all),
        change=scaled[players.all] - scaled[0],
        sum_of_shares=fsum(edit.share for edit in edits),
        edits=edits,
        idle=idle,
        renamed=names,
        method="exact" if orders is None else "sampled",
        hybrids=len(worths),
        orders=None if orders is None else len(orders),
        seed=None if orders is None else seed,
    )


def _void_by(hybrids: Hybrids, choice: int) -> tuple[str, ...]:
    plant = hybrids.plant(choice)
    assert not isinstance(plant, Refusal), "both ends are plants"
    return void_by(plant)


def _plant(side: Side) -> Plant:
    if side.checked.plant is None:
        raise ValueError("only plants without errors are attributed")
    return side.checked.plant


def _hybrids(
    before: Side, after: Side, result: str, names: dict[str, str]
) -> tuple[Hybrids, Plant]:
    """The hybrids, and the plant of all edits."""
    main = next(iter(before.files.values()))
    statements = in_new_names(main, names)
    files = {**before.files, main.source.name: replace(main, statements=statements)}
    asked = asked_line(result_in(given.result(result, "RESULT"), names))
    sides = replace(before, files=files), after
    old, new = ({**side_lines(side), asked.path: asked} for side in sides)
    world = MixedWorld(after.world)
    library = {**before.library, **after.library}
    hybrids = Hybrids(differences(old, new), world, library)
    if any(isinstance(hybrids.whole(choice), Refusal) for choice in (0, hybrids.all)):
        hybrids = Hybrids(differences(old, new, definitions_apart=False), world, library)
    return hybrids, _check_ends(hybrids, before, after, renamed=bool(names))


def _check_ends(hybrids: Hybrids, before: Side, after: Side, *, renamed: bool) -> Plant:
    """The plant of all edits, after making sure that they lead from BEFORE to AFTER."""
    ends = []
    for side, choice in ((before, 0), (after, hybrids.all)):
        found = hybrids.whole(choice)
        if isinstance(found, Refusal):
            raise HogginError(f"`{side.name}`: {found.reason}. {found.help}".strip())
        in_other_names = renamed and side is before  # what can't be compared
        if not in_other_names and differing(found, _plant(side)) - {ASKED}:
            raise HogginError(f"the edits that were found do not lead to `{side.name}`")
        ends.append(found)
    return ends[1]


def _join_refused(players: Players, hybrids: Hybrids) -> None:
    """Join edits until each can be made alone, and each can be left out alone."""
    while True:
        choices = (choice for one in players.sets for choice in (one, players.all & ~one))
        refused = next((choice for choice in choices if not hybrids.possible(choice)), None)
        if refused is None:
            return
        players.join(refused, str(hybrids.plant(refused)), hybrids.possible)


def _set_apart_idle(players: Players, hybrids: Hybrids) -> tuple[str, ...]:
    """Make those edits for good that change nothing that results depend on; they and whatever else
    changes nothing, in words."""

    def same(one: int, other: int) -> bool:
        a, b = hybrids.plant(one), hybrids.plant(other)
        return not (isinstance(a, Refusal) or isinstance(b, Refusal) or differing(a, b))

    whole = players.all
    idle = [one for one in players.sets if same(0, one) and same(whole & ~one, whole)]
    words = [tell(change) for change in hybrids.differences.idle]
    if same(0, sum(idle)):
        players.set_apart(idle)
        words += [line for one in idle for line in told(_edit(hybrids, one))]
    return tuple(words)


def _worths(
    players: Players, hybrids: Hybrids, sides: tuple[Side, Side], drawn: Draw
) -> tuple[dict[int, float], Orders | None]:
    """The result of every choice of edits that the shares need, and the orders drawn, if any.

    Joins what can't be separated on the way.
    """
    found: dict[int, float | Refusal] = {}
    wholes = [_plant(side) for side in sides]

    def possible(choice: int) -> bool:
        plant = hybrids.plant(choice | players.base)
        if isinstance(plant, Refusal):
            return False
        worth = found[choice] if choice in found else values({choice: plant}, wholes)[choice]
        return not isinstance(worth, Refusal)

    while True:
        orders = drawn(len(players.sets))
        choices = _choices(players, orders)
        try:
            if not all(choice in found for choice in choices):
                found = values(
                    Assembly(hybrids, players.base, players.sets).plants(choices), wholes
                )
        except RefusedError as fault:
            players.join(fault.choice, str(fault.refusal), possible)
            continue
        for side, choice in zip(sides, (0, players.all), strict=True):
            worth = found[choice]
            if isinstance(worth, Refusal):
                raise UnsettledSide(f"`{side.name}`: {worth}")
        refused = {c: w for c, w in found.items() if isinstance(w, Refusal) and c in choices}
        if not refused:
            worths = {c: w for c in choices if not isinstance(w := found[c], Refusal)}
            return worths, orders
        least = min(refused, key=lambda choice: (choice.bit_count(), choice))
        players.join(least, str(refused[least]), possible)


def _choices(players: Players, orders: Orders | None) -> dict[int, None]:
    """Of all edits: every choice, or those of the orders and those of one edit and all but one."""
    if orders is None:
        return dict.fromkeys(map(players.choice, range(1 << len(players.sets))))
    drawn = (players.choice(one) for order in orders for one in sets_of(order))
    single = (choice for one in players.sets for choice in (one, players.all & ~one))
    return dict.fromkeys((*drawn, *single))


def _shares(
    players: Players, hybrids: Hybrids, worths: dict[int, float], orders: Orders | None
) -> tuple[EditShare, ...]:
    errors: list[float | None] = [None] * len(players.sets)
    if orders is None:
        sets = range(1 << len(players.sets))
        shares = exact_shares(np.array([worths[players.choice(one)] for one in sets]))
    else:
        by_set = {one: worths[players.choice(one)] for order in orders for one in sets_of(order)}
        shares, found = sampled_shares(orders, by_set)
        errors = [float(error) if np.isfinite(error) else None for error in found]
    everything = players.all
    return tuple(
        EditShare(
            changes=told(edit := _edit(hybrids, one)),
            places=places(edit),
            alone=worths[one] - worths[0],
            last=worths[everything] - worths[everything & ~one],
            share=float(share),
            standard_error=error,
            inseparable=tuple(players.reasons.get(one, ())),
        )
        for one, share, error in zip(players.sets, shares, errors, strict=True)
    )


def _edit(hybrids: Hybrids, choice: int) -> Edit:
    """The edits of a choice as one."""
    edits = enumerate(hybrids.differences.edits)
    return Edit(tuple(change for i, edit in edits if choice >> i & 1 for change in edit.changes))
