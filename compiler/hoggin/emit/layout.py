"""How a flowsheet is folded into columns, so that a long plant fits a landscape sheet.

A drawing from top to bottom of a plant with many stages in a row is a narrow strip. Folded, the
stages after a cut start again at the top of the sheet, in a column to the right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.rating.results import Results


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
    products = {product.tag for product in results.products}
    feeds = {feed.tag for feed in results.feeds}
    for stream in results.streams:
        if stream.target in products:  # a product stays in the column that makes it
            column[stream.target] = column[stream.source]
    for stream in reversed(results.streams):
        if stream.source in feeds:  # and a feed stands in the column it enters
            column[stream.source] = column[stream.target]
    return Fold(column, _heads(results, layer, column, feeds))


def _heads(
    results: Results, layer: Mapping[str, int], column: Mapping[str, int], feeds: set[str]
) -> tuple[str, ...]:
    """Of the tags that nothing in their own column feeds, the first of each column."""
    fed_inside = {
        stream.target
        for stream in results.streams
        if not stream.recirculating and column[stream.source] == column[stream.target]
    }
    heads: list[str] = []
    for place in sorted(set(column.values())):
        unfed = [tag for tag in layer if column[tag] == place and tag not in fed_inside]
        if unfed:  # a late feed must not pull its column's order: machines go first
            heads.append(min(unfed, key=lambda tag: (tag in feeds, layer[tag])))
    return tuple(heads)


def _layers(results: Results) -> dict[str, int]:
    """Longest way from a feed to each tag, over the streams that close no loop."""
    layer = {feed.tag: 0 for feed in results.feeds}
    for tag in (*(m.tag for m in results.machines), *(p.tag for p in results.products)):
        layer[tag] = 1
    onward = [s for s in results.streams if not s.recirculating]
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
