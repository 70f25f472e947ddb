"""A case's record: a TOML file in git beside the plant, one quantity a line, in a fixed order."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from functools import cached_property

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from hoggin.errors import HogginError
from hoggin.revise.regress.acceptance import Acceptance
from hoggin.revise.regress.measured import MadeFrom, Measured
from hoggin.revise.regress.quantities import Quantity
from hoggin.revise.regress.toml import TomlError, read_toml

FOLDER = "recorded"
SUFFIX = ".toml"
HEADER = "# Written only by `hoggin regress --accept`, and compared by `hoggin regress`."
_FORMAT = 2
_BARE = re.compile(r"[A-Za-z0-9_-]+")


class Record(BaseModel):
    """What was accepted. Values are as written, "103.118 t/h"."""

    model_config = ConfigDict(frozen=True)

    verdicts: dict[str, str] = Field({}, alias="requirements")
    limits: dict[str, str] = {}
    warnings: dict[str, str] = {}
    results: dict[str, dict[str, str]]
    made_from: MadeFrom
    accepted: Acceptance

    @cached_property
    def values(self) -> dict[tuple[str, str], str]:
        """By subject and quantity."""
        return {
            (subject, what): text
            for subject, lines in self.results.items()
            for what, text in lines.items()
        }


def record_text(measured: Measured, varied: Mapping[str, str], accepted: Acceptance) -> str:
    """The record of a plant's case; the same results, accepted alike, give the same text."""
    return "\n".join(_lines(measured, varied, accepted)) + "\n"


def written(quantity: Quantity) -> str:
    """A quantity as a record holds it; plain notation, never 1e-05."""
    text = f"{quantity.value:.6f}".rstrip("0").rstrip(".")
    return f"{text} {quantity.unit}".rstrip()


def number(text: str, unit: str) -> float | None:
    """The number of a quantity as written; None where it is in another unit, or no number."""
    value, _, stated = text.partition(" ")
    try:
        found = float(value) if stated == unit else math.nan
    except ValueError:
        return None
    return found if math.isfinite(found) else None


def read_record(text: str) -> Record:
    """A record from its text. Raises HogginError with line and reason."""
    try:
        plain = read_toml(text)
    except TomlError as fault:
        where = f"line {fault.line}: " if fault.line else ""
        conflict = " (a merge conflict?)" if "<<<<<<<" in text else ""
        raise HogginError(f"{where}{fault}{conflict}") from None
    if plain.get("format") != _FORMAT:
        raise HogginError(f"it has format {plain.get('format')!r}; this compiler reads {_FORMAT}")
    try:
        return Record.model_validate(plain)
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(map(str, first["loc"]))
        raise HogginError(f"it is not as `--accept` wrote it: {where}: {first['msg']}") from None


def _lines(measured: Measured, varied: Mapping[str, str], accepted: Acceptance) -> Iterator[str]:
    made = measured.made_from
    if made is None:
        raise ValueError("a library has nothing to record")
    yield HEADER
    yield f"format = {_FORMAT}"
    yield from _section("plant", {"title": measured.title, "revision": measured.revision})
    yield from _section("accepted", asdict(accepted))
    if varied:
        yield from _section("varied", varied)
    yield from _section("made_from", {"compiler": made.compiler, "library": made.library})
    yield f"edition = {made.edition}"
    yield from _section("made_from.sources", dict(sorted(made.sources.items())))
    judged = {
        "requirements": measured.judged,
        "limits": measured.limits,
        "warnings": measured.warned,
    }
    for name, lines in judged.items():
        if lines:
            yield from _section(name, lines)
    subjects: dict[str, dict[str, str]] = {}
    for quantity in measured.quantities:
        subjects.setdefault(quantity.subject, {})[quantity.what] = written(quantity)
    for subject, lines in subjects.items():
        yield from _section(f"results.{_key(subject)}", lines)


def _section(name: str, lines: Mapping[str, str]) -> Iterator[str]:
    yield ""
    yield f"[{name}]"
    for key, value in lines.items():
        yield f"{_key(key)} = {_quoted(value)}"


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _quoted(key)


def _quoted(text: str) -> str:
    """A TOML basic string. JSON's escapes are TOML's too; it lacks only that of DEL. A lone
    surrogate, as a file's name can hold, is in neither."""
    fit = text.encode("utf-8", "replace").decode()
    return json.dumps(fit, ensure_ascii=False).replace("\x7f", "\\u007F")
