"""Results and what was found from them as JSON documents."""

from __future__ import annotations

import json
from typing import Any

from pydantic import BaseModel

from hoggin.schema.results import Results
from hoggin.schema.rounding import rounded


def results_json(results: Results) -> str:
    """One versioned JSON document, fields in the schema's order, names of traits sorted. Rating
    gives the numbers the digits of the document, so that a document and its plant never differ.

    Reads back with `Results.model_validate_json`. Raises: ValueError on a number that is not
    finite, which JSON cannot hold.
    """
    content = results.model_dump(mode="json")
    for machine in content["machines"]:
        machine["traits"] = dict(sorted(machine["traits"].items()))
    return _written(content)


def found_json(found: BaseModel) -> str:
    """The whole of a comparison, an attribution or a study, numbers to nine significant digits."""
    return _written(rounded(found.model_dump(mode="json")))


def document_json(content: Any) -> str:
    """A document of other content, numbers to nine significant digits."""
    return _written(rounded(content))


def _written(content: Any) -> str:
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
