"""The results as a JSON document: the same fields, numbers to nine significant digits."""

from __future__ import annotations

import json

from hoggin.rating.results import Results

DIGITS = 9


def results_json(results: Results) -> str:
    """One versioned JSON document, fields in the schema's order, names of traits sorted.

    Reads back with `Results.model_validate_json`. Raises: ValueError on a number that is not
    finite, which JSON cannot hold.
    """
    rounded = _rounded(results.model_dump(mode="python"))
    for machine in rounded["machines"]:
        machine["traits"] = dict(sorted(machine["traits"].items()))
    return json.dumps(rounded, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _rounded(value):  # type: ignore
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item) for item in value]
    return value
