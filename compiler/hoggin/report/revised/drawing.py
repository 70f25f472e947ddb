"""Two revisions in one flowsheet: the later one, with what only the earlier one has struck out, and
clouds around what was changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import PurePath

from hoggin.report.drawing.diagram import Diagram, Revised
from hoggin.report.drawing.graph import Graph, Line, Node, folded, graph_of
from hoggin.report.drawing.layout import LARGER_MM, ROOM_MM, diagrams_of
from hoggin.report.drawing.model import Drawing
from hoggin.report.drawing.sheet import drawing
from hoggin.report.revised.tables import lists_of
from hoggin.report.revised.union import Union, united
from hoggin.report.wording import clean
from hoggin.revise.compare.comparison import Change, Comparison, Revision
from hoggin.schema.results import Results

SAID = {"new": "NEW", "removed": "REMOVED"}
STEM = "changes"  # of the names of its files
MOST_FACTS = 3  # beside a machine; the table on the sheet has all


def compared(before: Results, after: Results, comparison: Comparison, paper: str = "A3") -> Drawing:
    """The sheets of both revisions. Raises: HogginError where they can't be laid out."""
    union = united(before, after, comparison)
    found = revised_diagrams(union, comparison)
    lists = lists_of(union, comparison, lambda diagram: diagram is found[0])
    kind = f"Changes since {_called(comparison.before, comparison.after)}"
    return drawing(union.results, found, paper, lists, kind)


def revised_diagrams(union: Union, comparison: Comparison) -> tuple[Diagram, ...]:
    """The diagrams, with the marks of what is revised. What differs makes labels longer, so that a
    plant that has one sheet may need a larger one."""
    mark = clean(comparison.after.revision)
    found = diagrams_of(_graph(union), (ROOM_MM, LARGER_MM))
    return tuple(replace(one, mark=mark) for one in found)


def _called(before: Revision, after: Revision) -> str:
    """The mark of the earlier revision. Where that tells nothing, its name in git, or that of its
    file: a whole path has no room in a title block."""
    if before.revision and before.revision != after.revision:
        return clean(before.revision)
    in_git, colon, _ = before.name.partition(":")
    return clean(in_git if colon and in_git else PurePath(before.name).name)


def _graph(union: Union) -> Graph:
    """What is drawn. Loads and limits are left out: they are the flowsheet's."""
    plain = graph_of(union.results)
    nodes = tuple(_node(node, union) for node in plain.nodes)
    return Graph(nodes, tuple(_line(line, union) for line in plain.lines))


def _node(node: Node, union: Union) -> Node:
    key = f"machine {node.name}"
    revised = union.revised.get(key, "")
    facts = [told.change for told in union.changes if key in told.of]
    return replace(node, attention="", revised=revised, said=tuple(_said(revised, facts)))


def _line(line: Line, union: Union) -> Line:
    return replace(line, revised=union.revised.get(f"stream {line.number}", ""))


def _said(revised: Revised, facts: Sequence[Change]) -> Iterator[str]:
    """`css 40 mm -> 36 mm`, `was called second`, `NEW`."""
    if revised in SAID:
        yield SAID[revised]
        return
    shown = facts if len(facts) <= MOST_FACTS else facts[: MOST_FACTS - 1]
    for change in shown:
        yield from folded(
            f"was called {change.before}"
            if change.kind == "renamed"
            else f"{change.what} {change.before} -> {change.after}"
        )
    if len(shown) < len(facts):
        yield f"and {len(facts) - len(shown)} more: see the table"
