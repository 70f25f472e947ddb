"""The items that can be selected on the flowsheet, and how streams connect them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Literal

from hoggin.report.fields import labelled, shown
from hoggin.report.wording import clean, judgement, machine_verdict, outlet_of
from hoggin.schema.results import (
    FeedResult,
    Listed,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
    WaterStreamResult,
)

Kind = Literal["feed", "machine", "stream", "product"]


@dataclass(frozen=True, slots=True)
class Item:
    """`key` is the name in the plant's text, or that of a stream. `onward` and `back` are keys: the
    streams that leave and enter a feed, machine or product; where a stream runs to and comes from.
    `shown` is what the page's list calls it, `label` what a screen reader says."""

    key: str
    kind: Kind
    shown: str
    label: str
    onward: tuple[str, ...]
    back: tuple[str, ...]


def items(results: Results) -> tuple[Item, ...]:
    """Feeds, machines and products as declared, then streams, then streams of water alone."""
    things = (*results.feeds, *results.machines, *results.products)
    known = {thing.tag for thing in things}
    ends = [(s.name, s.source, s.target) for s in results.streams]
    for water in results.water_streams:
        ends.append((water_key(water), water.source, machine_of(water)))
    out: dict[str, list[str]] = defaultdict(list)
    into: dict[str, list[str]] = defaultdict(list)
    for key, source, target in ends:
        out[source].append(key)
        into[target].append(key)

    def node(thing: Listed, kind: Kind, label: str) -> Item:
        shown = clean(thing.shown_tag)
        if thing.item_tag:
            shown += f" ({clean(thing.tag)})"
        return Item(thing.tag, kind, shown, label, tuple(out[thing.tag]), tuple(into[thing.tag]))

    def line(key: str, shown: str, label: str, source: str, target: str) -> Item:
        onward, back = ((end,) if end in known else () for end in (target, source))
        return Item(key, "stream", clean(shown), label, onward, back)

    return (
        *(node(f, "feed", _feed(f)) for f in results.feeds),
        *(node(m, "machine", _machine(m)) for m in results.machines),
        *(node(p, "product", _product(p)) for p in results.products),
        *(
            line(s.name, f"{s.number}: {s.name}", _stream(s), s.source, s.target)
            for s in results.streams
        ),
        *(
            line(water_key(w), _route(w), _water(w), w.source, machine_of(w))
            for w in results.water_streams
        ),
    )


def water_key(water: WaterStreamResult) -> str:
    """The key of a stream of water: no name of the plant's text has a space."""
    return f"water {water.number}"


def machine_of(water: WaterStreamResult) -> str:
    """What water runs into: the machine of a deck that is sprayed."""
    return water.target.rpartition(".")[0] if water.kind == "spray" else water.target


def _route(water: WaterStreamResult) -> str:
    return f"{water.number}: {water.source} -> {water.target}"


def _feed(feed: FeedResult) -> str:
    return f"feed {clean(feed.shown_tag)}, {shown(feed, 'rate_t_h')}"


def _machine(machine: MachineResult) -> str:
    said = f"{clean(machine.kind)} {clean(machine.shown_tag)}, {shown(machine, 'feed_t_h')}"
    worst = machine_verdict(machine)
    return said if worst in ("ok", "-") else f"{said}, {worst}"


def _product(product: ProductResult) -> str:
    said = f"product {clean(product.shown_tag)}, {shown(product, 'rate_t_h')}"
    worst = [band for band in product.bands if not band.met]
    return f"{said}, {judgement(worst[0])}" if worst else said


def _stream(stream: StreamResult) -> str:
    said = f"stream {stream.number} from {clean(outlet_of(stream))} to {clean(stream.target)}, "
    said += shown(stream, "rate_t_h")
    if stream.p80_mm is not None:
        said += f", {labelled(stream, 'p80_mm')}"
    return f"{said}, recirculating" if stream.recirculating else said


def _water(water: WaterStreamResult) -> str:
    said = f"stream {water.number} of water from {clean(water.source)} to {clean(water.target)}"
    return f"{said}, {shown(water, 'water_m3_h', kind='rate')}"


def links(results: Results) -> dict[str, str]:
    """Texts that mean an item if they fill a cell of a table, and the item's key. If an outlet has
    the same name as its machine, the name means the machine."""
    streams = {clean(outlet_of(stream)): stream.name for stream in results.streams}
    streams |= {clean(stream.name): stream.name for stream in results.streams}
    decks = {f"{m.shown_tag}.{deck.name}": m.tag for m in results.machines for deck in m.decks}
    things = (*results.feeds, *results.machines, *results.products)
    tags = {clean(name): thing.tag for thing in things for name in (thing.shown_tag, thing.tag)}
    return streams | decks | tags
