"""What two plants state of their cases."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from hoggin.revise.compare.comparison import Change
from hoggin.schema.plant import Case, Plant
from hoggin.schema.units import number_text

_PER_CENT = re.compile(r"([0-9.]+) %")


def case_changes(before: Plant, after: Plant) -> Iterator[Change]:
    """Cases that were added, changed line by line, or removed."""
    old, new = ({case.name: case for case in plant.cases} for plant in (before, after))
    for name, case in new.items():
        subject = f"case {name}"
        if name not in old:
            yield Change(kind="added", subject=subject, what="", before=None, after=_whole(case))
            continue
        said, says = _lines(old[name]), _lines(case)
        for what in {**says, **said}:
            was, now = said.get(what, "-"), says.get(what, "-")
            if _plain(was) != _plain(now):
                yield Change(kind="changed", subject=subject, what=what, before=was, after=now)
    for name, case in old.items():
        if name not in new:
            subject = f"case {name}"
            yield Change(kind="removed", subject=subject, what="", before=_whole(case), after=None)


def _lines(case: Case) -> Mapping[str, str]:
    found = {"begins from": case.of} if case.of else {}
    if case.hours is not None:
        found["hours"] = f"{number_text(case.hours)} h"
    return {**found, **case.lines} | {f"require {text}": "required" for text in case.asked}


def _plain(said: str) -> str:
    """Words in which 6 % and 0.06 are the same."""
    share = _PER_CENT.fullmatch(said)
    return f"{float(share[1]) / 100:.12g}" if share else said


def _whole(case: Case) -> str:
    lines = _lines(case)
    asked = [what for what, said in lines.items() if said == "required"]
    return ", ".join(
        [f"{what} {said}" for what, said in lines.items() if what not in asked] + asked
    )
