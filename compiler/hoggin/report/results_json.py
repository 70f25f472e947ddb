"""The results as a JSON document: the same fields, numbers to nine significant digits."""

from __future__ import annotations

import json
from typing import Any

from hoggin.schema.results import Results

DIGITS = 9
_PLACES = 12  # after the point: finer figures are what rounding left, and differ by processor


def results_json(results: Results) -> str:
    """One versioned JSON document, fields in the schema's order, names of traits sorted.

    Reads back with `Results.model_validate_json`. Raises: ValueError on a number that is not
    finite, which JSON cannot hold.
    """
    content = rounded(results.model_dump(mode="json"))
    for machine in content["machines"]:
        machine["traits"] = dict(sorted(machine["traits"].items()))
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def rounded(value: Any) -> Any:
    """Plain data with every float in it rounded."""
    if isinstance(value, float):
        return round(float(f"{value:.{DIGITS}g}"), _PLACES)
    if isinstance(value, dict):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, list):
        return [rounded(item) for item in value]
    return value
