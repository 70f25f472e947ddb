"""The plant of one case by itself, to hold many cases at once against."""

from __future__ import annotations

from typing import Any

from hoggin.schema.plant import Plant
from hoggin.studies.runner.cases import Cases


def one_case(cases: Cases, case: int) -> Plant:
    """The plant with the numbers of one case in their places."""
    content: dict[str, Any] = cases.plant.model_dump()
    for path, numbers in cases.numbers.items():
        value = float(numbers[case if len(numbers) > 1 else 0])
        holder: Any = content
        for step in path[:-1]:
            holder = _within(holder, step)
        if path[-2] == "settings":
            _restate(_within(holder, path[-1]), value)
        else:
            holder[path[-1]] = value
    return Plant.model_validate(content)


def _within(holder: Any, step: str | int) -> Any:
    """A part of a dumped plant: of a list by tag, name or place. Pairs are made lists to be set."""
    if isinstance(holder, dict):
        part = holder[step]
        if isinstance(part, tuple):
            part = holder[step] = [list(p) if isinstance(p, tuple) else p for p in part]
        return part
    if isinstance(step, int):
        return holder[step]
    return next(item for item in holder if item.get("tag", item.get("name")) == step)


def _restate(setting: dict[str, Any], value: float) -> None:
    setting["value"] = value
    setting["text"] = f"{value:.6g} {setting['unit']}".strip()
