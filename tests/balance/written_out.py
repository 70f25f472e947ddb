"""Machines with a `count` written out: an equal splitter, single machines, and blends behind."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.schema.plant import Machine, Plant, Stream

from .builder import blend, splitter


def written_out(plant: Plant) -> Plant:
    """The plant with every machine in the singular: `cone_1`, `cone_2` for two of `cone`."""
    several = {m.tag for m in plant.machines if m.count > 1}
    inner = (one for m in plant.machines if m.tag in several for one in _inner(m))
    return plant.model_copy(
        update={
            "machines": tuple(one for m in plant.machines for one in _machines(m)),
            "streams": (*(_outer(stream, several) for stream in plant.streams), *inner),
        }
    )


def _machines(machine: Machine) -> Iterator[Machine]:
    count = int(machine.count)
    if count == 1:
        yield machine
        return
    yield splitter(f"{machine.tag}_shared", *[1.0 / count] * count)
    for number in range(1, count + 1):
        yield machine.model_copy(update={"tag": f"{machine.tag}_{number}", "count": 1.0})
    for outlet in machine.outlets:
        yield blend(_joined(machine.tag, outlet))


def _joined(tag: str, outlet: str) -> str:
    return f"{tag}_{outlet}_joined"


def _inner(machine: Machine) -> Iterator[Stream]:
    for number in range(1, int(machine.count) + 1):
        tag = f"{machine.tag}_{number}"
        yield Stream(source=f"{machine.tag}_shared", outlet=f"s{number}", target=tag)
        for outlet in machine.outlets:
            yield Stream(source=tag, outlet=outlet, target=_joined(machine.tag, outlet))


def _outer(stream: Stream, several: set[str]) -> Stream:
    target = f"{stream.target}_shared" if stream.target in several else stream.target
    if stream.source not in several:
        return stream.model_copy(update={"target": target})
    joined = _joined(stream.source, stream.outlet)
    return Stream(source=joined, outlet="product", target=target)
