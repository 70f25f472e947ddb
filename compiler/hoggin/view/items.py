"""The items that can be selected on the flowsheet, and how streams connect them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Literal

from hoggin.report.fields import labelled, shown
from hoggin.report.wording import clean, judgement, machine_verdict, outlet_of
from hoggin.schema.results import FeedResult, MachineResult, ProductResult, Results, StreamResult

Kind = Literal["feed", "machine", "stream", "product"]


@dataclass(frozen=True, slots=True)
class Item:
    """`key` is the tag, or the name of a stream. `onward` and `back` are keys: the streams that
    leave and enter a feed, machine or product; where a stream runs to and comes from. `label` is
    what a screen reader says."""

    key: str
    kind: Kind
    label: str
    onward: tuple[str, ...]
    back: tuple[str, ...]


def items(results: Results) -> tuple[Item, ...]:
    """Feeds, machines and products as declared, then streams."""
    out: dict[str, list[str]] = defaultdict(list)
    into: dict[str, list[str]] = defaultdict(list)
    for stream in results.streams:
        out[stream.source].append(stream.name)
        into[stream.target].append(stream.name)

    def node(key: str, kind: Kind, label: str) -> Item:
        return Item(key, kind, label, tuple(out[key]), tuple(into[key]))

    return (
        *(node(f.tag, "feed", _feed(f)) for f in results.feeds),
        *(node(m.tag, "machine", _machine(m)) for m in results.machines),
        *(node(p.tag, "product", _product(p)) for p in results.products),
        *(Item(s.name, "stream", _stream(s), (s.target,), (s.source,)) for s in results.streams),
    )


def _feed(feed: FeedResult) -> str:
    return f"feed {clean(feed.tag)}, {shown(feed, 'rate_t_h')}"


def _machine(machine: MachineResult) -> str:
    said = f"{clean(machine.kind)} {clean(machine.tag)}, {shown(machine, 'feed_t_h')}"
    worst = machine_verdict(machine)
    return said if worst in ("ok", "-") else f"{said}, {worst}"


def _product(product: ProductResult) -> str:
    said = f"product {clean(product.tag)}, {shown(product, 'rate_t_h')}"
    worst = [band for band in product.bands if not band.met]
    return f"{said}, {judgement(worst[0])}" if worst else said


def _stream(stream: StreamResult) -> str:
    said = f"stream from {clean(outlet_of(stream))} to {clean(stream.target)}, "
    said += shown(stream, "rate_t_h")
    if stream.p80_mm is not None:
        said += f", {labelled(stream, 'p80_mm')}"
    return f"{said}, recirculating" if stream.recirculating else said


def links(results: Results) -> dict[str, str]:
    """Texts that mean an item if they fill a cell of a table, and the item's key. If an outlet has
    the same name as its machine, the name means the machine."""
    streams = {clean(outlet_of(stream)): stream.name for stream in results.streams}
    streams |= {clean(stream.name): stream.name for stream in results.streams}
    decks = {f"{m.tag}.{deck.name}": m.tag for m in results.machines for deck in m.decks}
    tags = [item.key for item in items(results) if item.kind != "stream"]
    return streams | decks | {clean(tag): tag for tag in tags}
