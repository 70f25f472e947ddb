"""The results as a JSON document: the same fields, and the same numbers. Rating gives them the
digits of the document, so that a document and its plant never differ."""

from __future__ import annotations

import json

from hoggin.schema.results import Results


def results_json(results: Results) -> str:
    """One versioned JSON document, fields in the schema's order, names of traits sorted.

    Reads back with `Results.model_validate_json`. Raises: ValueError on a number that is not
    finite, which JSON cannot hold.
    """
    content = results.model_dump(mode="json")
    for machine in content["machines"]:
        machine["traits"] = dict(sorted(machine["traits"].items()))
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
