"""The edits between two revisions, with the share of each in the change of a result."""

from __future__ import annotations

from collections.abc import Callable
from math import fsum

from hoggin.report import wording
from hoggin.report.chart.scale import decimals
from hoggin.report.fields import Field, number, table, words
from hoggin.report.tables import Document, Section, Table
from hoggin.revise.why.attribution import Attribution, EditShare

_MOST_CHANGES = 3  # of an edit, in its cell
_MOST_PLACES = 2
_MOST_IDLE = 15
_DIGITS = 4  # of the largest change
_LEAST_CHANGE = 0.05  # of all shares' sizes: below it, shares of the change mean nothing


def document(found: Attribution) -> Document:
    """The document for terminal and Markdown."""
    before, after = (_valued(found, value) for value in (found.before, found.after))
    subtitle = (
        f"Before: {before} ({wording.clean(found.before_name)}){_void(found.before_void_by)}; "
        f"after: {after} ({wording.clean(found.after_name)}){_void(found.after_void_by)}."
    )
    sections = (_edits(found), *_inseparable(found), *_idle(found), _reading(found))
    return Document(f"Why {found.result} changed: {found.title}", subtitle, sections)


def _void(tags: tuple[str, ...]) -> str:
    return f", VOID: downstream of {', '.join(tags)}, overloaded" if tags else ""


def edits(found: Attribution) -> Table:
    """The edits, the largest share first, and the whole change below them."""
    sampled = found.method == "sampled"
    decimals = _decimals(found)
    unit, file = "points" if found.unit == "%" else found.unit, _only_file(found)

    def signed(heading: str, get: Callable[[EditShare], float]) -> Field:
        return number(heading, unit, "number", lambda edit: _signed(get(edit), decimals))

    error = number("error", unit, "number", lambda e: wording.significant(e.standard_error, 2))
    columns = [
        words(
            "edit",
            lambda edit: _changes(edit) if file else f"{_changes(edit)} ({_where(edit)})",
            (36 if sampled else 46) + (0 if file else 14),
        ),
        *([words("line", lambda edit: _where(edit, file), 12)] if file else []),
        signed("alone", lambda edit: edit.alone),
        signed("last", lambda edit: edit.last),
        signed("share", lambda edit: edit.share),
        *([error] if sampled else []),
        number("of change", "%", "number", lambda edit: _of_change(edit.share, found)),
    ]

    by_share = sorted(found.edits, key=lambda edit: -abs(round(edit.share, decimals)))
    whole = (
        "whole change, the sum of the shares"
        if found.adds_up
        else f"whole change; the shares add up to {_signed(found.sum_of_shares, decimals)}",
        *([""] if file else []),
        None,
        None,
        _signed(found.change, decimals),
        *([None] if sampled else []),
        _of_change(found.change, found),
    )
    return table("Edits", columns, by_share).then(*whole)


def _edits(found: Attribution) -> Section:
    file = _only_file(found)
    notes = [f"Lines are those of {file}."] if file else []
    notes += [f"{old} is now called {new}." for old, new in found.renamed.items()]
    if not found.edits:
        return Section("Edits", (*notes, f"No edit affects {found.result}."))
    if len(found.edits) == 1 and found.edits[0].inseparable:
        notes.append("The edits can't be separated: none of them is valid without the others.")
    return Section("Edits", tuple(notes), edits(found))


def _inseparable(found: Attribution) -> list[Section]:
    """Edits that count as one, with the result of making them separately."""
    points = tuple(
        f"{'; '.join(edit.changes)}. One without the other: {'; '.join(edit.inseparable)}."
        for edit in found.edits
        if edit.inseparable
    )
    return [Section("Edits that only go together", points=points)] if points else []


def _idle(found: Attribution) -> list[Section]:
    if not found.idle:
        return []
    more = len(found.idle) - _MOST_IDLE
    rest = (f"and {more} more; the JSON has all",) if more > 0 else ()
    heading = f"Changes that do not affect {found.result}"
    return [Section(heading, points=(*found.idle[:_MOST_IDLE], *rest))]


def _reading(found: Attribution) -> Section:
    points = [
        "alone: the change if this is the only edit made on BEFORE. last: the difference between "
        "AFTER and AFTER without this edit. If the two differ, the edit interacts with others.",
        "share: what the edit adds, averaged over all orders in which the edits can be made "
        "(Shapley 1953). This divides the whole change among the edits. A share does not show "
        "what the edit would do in another plant.",
    ]
    if found.method == "sampled":
        points.append(
            f"Sampled: {found.orders} orders with seed {found.seed}, {found.hybrids} hybrids "
            "balanced. error: standard error of the share; the exact share lies within two "
            "standard errors some 19 times in 20. `--samples` sets the number of orders."
        )
    elif found.edits:
        points.append(f"Exact: all {found.hybrids} combinations of the edits were balanced.")
    points.append(
        "All were balanced on one grid of sizes, so the last digits of a figure may differ from "
        f"those of `hoggin balance`. {wording.PREDICTION} {wording.DEFERENCE}"
    )
    return Section("Notes", points=tuple(points))


def _only_file(found: Attribution) -> str:
    """The file that all edits are in; "" for several."""
    files = {place.rpartition(":")[0] for edit in found.edits for place in edit.places}
    return files.pop() if len(files) == 1 else ""


def _where(edit: EditShare, file: str = "") -> str:
    """Lines of a file, or file and line."""
    places = [place.removeprefix(f"{file}:") for place in edit.places]
    return ", ".join(places[:_MOST_PLACES]) + (" ..." if len(places) > _MOST_PLACES else "")


def _changes(edit: EditShare) -> str:
    more = len(edit.changes) - _MOST_CHANGES
    said = "; ".join(edit.changes[:_MOST_CHANGES])
    return f"{said}; and {more} more" if more > 0 else said


def _valued(found: Attribution, value: float) -> str:
    return f"{wording.significant(value, 5)} {found.unit}".strip()


def _decimals(found: Attribution) -> int:
    told = [n for e in found.edits for n in (e.alone, e.last, e.share)]
    return decimals([*told, found.change], _DIGITS)


def _signed(value: float, decimals: int) -> str:
    text = wording.fixed(value, decimals)
    return text if text.startswith("-") or not float(text) else f"+{text}"


def _of_change(share: float, found: Attribution) -> str | None:
    sizes = fsum(abs(edit.share) for edit in found.edits)
    if abs(found.change) <= _LEAST_CHANGE * sizes:
        return None
    return wording.percent(share / found.change)
