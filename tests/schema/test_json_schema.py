"""The JSON schema says of each number of a results document what is declared of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from hoggin.schema.results import Results

SCHEMA = Results.model_json_schema()


def numbers() -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every property of a part of the document that says which result it is."""
    for part, told in {"Results": SCHEMA, **SCHEMA["$defs"]}.items():
        for name, field in told.get("properties", {}).items():
            if "x-family" in field:
                yield part, name, field


@pytest.mark.parametrize(
    ("part", "name", "expected"),
    [
        (
            "ProductResult",
            "rate_t_h",
            {
                "description": "dry solids per hour",
                "x-unit": "t/h",
                "x-weighed": "per cent of plant feed",
                "x-tolerance": "0.5 %",
            },
        ),
        ("MachineResult", "load", {"x-unit": "fraction", "x-tolerance": "1 point"}),
        ("MachineResult", "reduction_ratio", {"x-unit": "number", "x-family": "ratio"}),
        ("ProductResult", "per_year_t_y", {"x-unit": "t/y", "x-label": "per year"}),
        ("Closure", "worst", {"x-weighed": "not weighed"}),
        ("Results", "power_kw", {"x-unit": "kW", "x-weighed": "per cent of the plant's power"}),
    ],
)
def test_a_number_has_its_meaning_unit_weighing_and_tolerance(
    part: str, name: str, expected: dict[str, str]
) -> None:
    found = {(of, field): told for of, field, told in numbers()}[part, name]
    assert {key: found[key] for key in expected} == expected


def test_every_result_says_what_it_is() -> None:
    told = list(numbers())
    assert len(told) > 80
    for part, name, field in told:
        for key in ("description", "x-label", "x-unit", "x-family", "x-weighed"):
            assert field[key], f"{part}.{name} has no {key}"
