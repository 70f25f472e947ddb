"""`hoggin why`: the change of one result between two revisions, attributed to single edits."""

from __future__ import annotations

import argparse
import sys

from hoggin.balancing import rated
from hoggin.commands.designs import world_of
from hoggin.commands.running import print_diagnostics
from hoggin.commands.showing import printed
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.report.attribution import document
from hoggin.report.results_json import found_json
from hoggin.revise.why import Side, UnsettledSide, attribute, read_side
from hoggin.world import named


def why(options: argparse.Namespace) -> int:
    """Attribute the change of a result between two plants. Raises HogginError."""
    before, after = (_side(name, options.case) for name in (options.before, options.after))
    sides = before, after
    faulty = [side for side in sides if side.checked.has_errors]
    for side in faulty:
        print(f"in {side.name}:", file=sys.stderr)
        print_diagnostics(side.checked.diagnostics)
    if faulty:
        names = " and ".join(f"`{side.name}`" for side in faulty)
        raise HogginError(f"errors in {names}", Exit.SOURCE)
    for side in sides:
        if side.checked.plant is None:
            raise HogginError(f"`{side.name}` is a library and has no plant")
    try:
        with working("balancing plants with some of the edits"):
            found = attribute(
                before, after, options.result, samples=options.samples, seed=options.seed
            )
    except UnsettledSide as fault:
        raise _of_balance(sides, fault) from None
    print(printed(found, options.form, document, found_json), end="")
    return Exit.DONE


def _side(name: str, case: str) -> Side:
    with named(name):
        return read_side(name, world_of(name), case)


def _of_balance(sides: tuple[Side, Side], fault: UnsettledSide) -> HogginError:
    """Why a plant can't be balanced, in the words of `hoggin balance`; else what was found here."""
    found = [(side, rated(side.checked)) for side in sides]
    unsettled = [(side, said) for side, said in found if isinstance(said, Diagnostic)]
    for side, _ in unsettled:
        print(f"in {side.name}:", file=sys.stderr)
    return HogginError(str(fault), Exit.UNBALANCED, [said for _, said in unsettled])
