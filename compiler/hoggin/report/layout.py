"""How a flowsheet is folded into columns, so that a long plant fits a landscape sheet.

A drawing from top to bottom of a plant with many stages in a row is a narrow strip. Folded, the
stages after a cut start again at the top of the sheet, in a column to the right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.schema.results import Results, StreamResult


@dataclass(frozen=True, slots=True)
class Fold:
    """Column of every tag, and the tag that starts each column."""

    column: Mapping[str, int]
    heads: tuple[str, ...]


def fold(results: Results, columns: int) -> Fold:
    """Share the plant's stages among so many columns, cut where few streams cross."""
    layer = _layers(results)
    cuts = _cuts(results, layer, columns)
    column = {tag: sum(depth >= cut for cut in cuts) for tag, depth in layer.items()}
    entries = _entries(results)
    onward = sorted(_onward(results), key=lambda stream: layer[stream.source])
    for stream in reversed(onward):  # an entry is in the column it first goes to
        if stream.source in entries:
            column[stream.source] = column[stream.target]
    for stream in onward:  # and a product in the column that makes it
        if stream.target in {product.tag for product in results.products}:
            column[stream.target] = column[stream.source]
    return Fold(column, _heads(layer, column, entries, onward))


def _onward(results: Results) -> list[StreamResult]:
    return [stream for stream in results.streams if not stream.recirculating]


def _entries(results: Results) -> set[str]:
    """Feeds, and machines that only a recirculating stream leads to, directly or not."""
    reached: set[str] = set()
    machines = {machine.tag for machine in results.machines}
    edge = {feed.tag for feed in results.feeds}
    while edge:
        reached |= edge
        edge = {s.target for s in _onward(results) if s.source in edge} - reached
    return (machines - reached) | {feed.tag for feed in results.feeds}


def _heads(
    layer: Mapping[str, int],
    column: Mapping[str, int],
    entries: set[str],
    onward: list[StreamResult],
) -> tuple[str, ...]:
    """Of the tags that nothing in their own column feeds, the first of each column."""
    fed_inside = {s.target for s in onward if column[s.source] == column[s.target]}
    heads: list[str] = []
    for place in sorted(set(column.values())):
        unfed = [tag for tag in layer if column[tag] == place and tag not in fed_inside]
        if unfed:  # an entry may go in far down its column: others are at the top first
            heads.append(min(unfed, key=lambda tag: (tag in entries, layer[tag])))
    return tuple(heads)


def _layers(results: Results) -> dict[str, int]:
    """Longest way from a feed to each tag, over the streams that close no loop."""
    layer = {feed.tag: 0 for feed in results.feeds}
    for tag in (*(m.tag for m in results.machines), *(p.tag for p in results.products)):
        layer[tag] = 1
    onward = _onward(results)
    for _ in layer:  # as many passes as there are tags settle any plant without a loop
        before = dict(layer)
        for stream in onward:
            layer[stream.target] = max(layer[stream.target], layer[stream.source] + 1)
        if layer == before:
            break
    return layer


def _cuts(results: Results, layer: Mapping[str, int], columns: int) -> list[int]:
    """Layers at which a new column starts: near even shares, where fewest streams cross."""
    depth = max(layer.values()) + 1
    cuts: list[int] = []
    for part in range(1, columns):
        even = depth * part / columns
        slack = depth / columns / 3
        near = [at for at in range(2, depth - 1) if abs(at - even) <= slack and at not in cuts]
        if near:
            crossing = {at: _crossing(results, layer, at) for at in near}
            cuts.append(min(near, key=lambda at: (crossing[at], abs(at - even))))
    return sorted(cuts)


def _crossing(results: Results, layer: Mapping[str, int], cut: int) -> int:
    products = {product.tag for product in results.products}
    return sum(
        (layer[s.source] < cut) != (layer[s.target] < cut)
        for s in results.streams
        if s.target not in products
    )
