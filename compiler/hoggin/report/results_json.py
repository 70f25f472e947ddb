"""Results and what was found from them as JSON documents."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel, ValidationError

from hoggin.errors import HogginError
from hoggin.schema.leaves import leaves
from hoggin.schema.results import Results
from hoggin.schema.rounding import rounded

_LARGEST = 1e15  # of what a document holds


def results_json(results: Results) -> str:
    """One versioned JSON document, fields in the schema's order, names of traits sorted. Rating
    gives the numbers the digits of the document, so that a document and its plant never differ.

    `read_results` reads it back. Raises: ValueError on a number that is not finite, which JSON
    cannot hold.
    """
    content = results.model_dump(mode="json")
    for machine in content["machines"]:
        machine["traits"] = dict(sorted(machine["traits"].items()))
    return _written(content)


def read_results(data: bytes) -> Results:
    """A document read back, whoever has changed it since. Raises HogginError with what is wrong."""
    try:
        results = Results.model_validate_json(data)
        for number in _numbers(results.model_dump()):
            if not abs(number) <= _LARGEST:  # nor NaN, which is not JSON, but is read by its reader
                raise HogginError(f"it has the number {number:g}, which no plant has")
        for _ in leaves(results):
            pass
        _refuse_strays(results)
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(map(str, first["loc"])) or "the document"
        raise HogginError(f"{where}: {first['msg']}") from None
    except ValueError:
        raise HogginError("a list by size is not as long as that of its sizes") from None
    return results


def _refuse_strays(results: Results) -> None:
    """Raises HogginError where a stream, a feed, a machine or a product is not the plant's."""
    tags = [
        *(feed.tag for feed in results.feeds),
        *(machine.tag for machine in results.machines),
        *(product.tag for product in results.products),
    ]
    ways = [(one.source, one.outlet, one.target) for one in results.streams]
    plant = results.plant
    if plant is not None:
        stated = [
            *(feed.tag for feed in plant.feeds),
            *(machine.tag for machine in plant.machines),
            *(product.tag for product in plant.products),
        ]
        routes = [(one.source, one.outlet, one.target) for one in plant.streams]
        if sorted(tags) != sorted(stated) or sorted(ways) != sorted(routes):
            raise HogginError("its results are not those of the plant that it holds")
    if len(set(tags)) < len(tags):
        raise HogginError("two parts of the plant have one name")
    for source, _, target in ways:
        if not {source, target} <= set(tags):
            raise HogginError(f"the stream {source} -> {target} ends at nothing of the plant")


def _numbers(content: Any) -> Iterator[float]:
    match content:
        case int() | float():
            yield content
        case dict():
            for one in content.values():
                yield from _numbers(one)
        case list() | tuple():
            for one in content:
                yield from _numbers(one)


def found_json(found: BaseModel) -> str:
    """The whole of a comparison, an attribution or a study, numbers to nine significant digits."""
    return _written(rounded(found.model_dump(mode="json")))


def document_json(content: Any) -> str:
    """A document of other content, numbers to nine significant digits."""
    return _written(rounded(content))


def _written(content: Any) -> str:
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
