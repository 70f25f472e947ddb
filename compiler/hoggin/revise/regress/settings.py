"""`regression.toml`: the tolerances of a folder and the grids its templates are tested over."""

from __future__ import annotations

import itertools
import math
import os
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.revise.regress.sites import SUFFIX, Sites, read_sites
from hoggin.revise.regress.tolerances import DEFAULTS, Tolerance, parse_tolerance
from hoggin.revise.regress.toml import TomlError, read_toml
from hoggin.revise.regress.varied import Varied
from hoggin.world import UnreadableError, read_bytes

FILE = "regression.toml"
MOST_CASES = 10_000  # of one grid
_NAME = re.compile(r"[A-Za-z_]\w*(\.[A-Za-z_]\w*)?", re.ASCII)

Key = tuple[str | int, ...]


class SettingsError(HogginError):
    """A settings file has faults; each message begins with file and line."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Grid:
    """A plant and the values that are put in it, every combination of them a case."""

    plant: Path
    values: tuple[tuple[Varied, ...], ...]

    def cases(self) -> Iterator[tuple[Varied, ...]]:
        return itertools.product(*self.values)


@dataclass(frozen=True, slots=True)
class Settings:
    tolerances: Mapping[str, Tolerance]
    grids: tuple[Grid, ...]
    tables: tuple[Sites, ...] = ()


def read_settings(path: Path, shown: str) -> Settings:
    """Read a settings file; `shown` is its name in messages. Raises SettingsError with all that is
    wrong in it."""
    try:
        text = read_bytes(path).decode("utf-8-sig")
        plain = read_toml(text)
    except UnreadableError as fault:
        raise SettingsError([f"{shown}: {fault}"]) from None
    except UnicodeDecodeError as fault:
        raise SettingsError([f"{shown}: byte {fault.start} is not UTF-8 text"]) from None
    except TomlError as fault:
        line = fault.line or text.count("\n") + 1
        raise SettingsError([f"{shown}:{line}: {fault}"]) from None
    reading = _Reading(path, shown, key_lines(text))
    found = reading.settings(plain)
    if reading.faults or reading.table_faults:
        own = [f"{shown}:{line}: {told}" for line, told in sorted(reading.faults)]
        raise SettingsError([*own, *reading.table_faults])
    return found


class _Reading:
    """Reads one file's content and gathers its faults."""

    def __init__(self, path: Path, shown: str, lines: Mapping[Key, int]) -> None:
        self._folder = path.parent
        self._shown = shown
        self._lines = lines
        self.faults: list[tuple[int, str]] = []  # by line
        self.table_faults: list[str] = []  # of other files, whole

    def settings(self, plain: dict[str, Any]) -> Settings:
        self._known((), plain, ("tolerances", "grid", "sites"))
        grids = itertools.starmap(self._grid, self._tables(plain, "grid", "a grid begins"))
        lists = self._tables(plain, "sites", "a list of sites begins")
        sites = itertools.starmap(self._sites, lists)
        found = tuple(filter(None, grids)), tuple(filter(None, sites))
        return Settings(self._tolerances(plain), *found)

    def _tables(
        self, plain: dict[str, Any], name: str, begins: str
    ) -> Iterator[tuple[Key, dict[str, Any]]]:
        """The tables of a list of them."""
        found = plain.get(name, [])
        if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
            self._fault((name,), f"{begins} with `[[{name}]]`")
            return
        for number, one in enumerate(found):
            yield (name, number), one

    def _sites(self, at: Key, table: dict[str, Any]) -> Sites | None:
        self._known(at, table, ("plant", "table"))
        before = len(self.faults)
        example = f'`plant = "frame.hog"` and `table = "sites{SUFFIX}"`'
        plant = self._inside(at, "plant", table.get("plant"), f"sites name {example}")
        file = self._inside(at, "table", table.get("table"), f"sites name {example}")
        if file is not None and file.suffix.lower() != SUFFIX:
            self._fault((*at, "table"), f"a table of sites is a file that ends in `{SUFFIX}`")
        if plant is None or file is None or len(self.faults) > before:
            return None
        shown = Path(self._shown).parent / os.path.relpath(file, self._folder.resolve())
        found, faults = read_sites(file, shown.as_posix(), plant)
        self.table_faults += faults
        return Sites(plant, found)

    def _tolerances(self, plain: dict[str, Any]) -> dict[str, Tolerance]:
        stated = plain.get("tolerances", {})
        if not isinstance(stated, dict):
            self._fault(("tolerances",), "tolerances begin with `[tolerances]`")
            return {}
        self._known(("tolerances",), stated, DEFAULTS)
        found = {}
        for kind, written in stated.items():
            if kind not in DEFAULTS:
                continue
            try:
                found[kind] = parse_tolerance(kind, str(written))
            except ValueError as fault:
                self._fault(("tolerances", kind), str(fault))
        return found

    def _grid(self, at: Key, grid: dict[str, Any]) -> Grid | None:
        self._known(at, grid, ("plant", "vary"))
        before = len(self.faults)
        named = 'a grid names its plant, as `plant = "frame.hog"`'
        plant = self._inside(at, "plant", grid.get("plant"), named)
        vary = grid.get("vary")
        if not isinstance(vary, dict) or not vary:
            self._fault((*at, "vary"), "a grid states what it varies, as `vary.css = [...]`")
            return None
        values = tuple(
            self._values((*at, "vary", *names), ".".join(names), listed)
            for names, listed in _flat(vary)
        )
        cases = math.prod(map(len, values))
        if cases > MOST_CASES:
            self._fault(at, f"the grid has {cases:,} cases; the limit is {MOST_CASES:,}")
        if plant is None or len(self.faults) > before:
            return None
        return Grid(plant, values)

    def _inside(self, at: Key, key: str, named: object, wanted: str) -> Path | None:
        """A file in this folder or below it."""
        if not isinstance(named, str):
            self._fault(at, wanted)
            return None
        try:
            path = (self._folder / named).resolve()
            there = path.is_file()
        except (OSError, ValueError):
            there = False
        if not there:
            self._fault((*at, key), f"there is no file `{named}` beside `{FILE}`")
        elif not path.is_relative_to(self._folder.resolve()):
            self._fault((*at, key), f"`{named}` is not in this folder or below it")
        else:
            return path
        return None

    def _values(self, at: Key, name: str, listed: object) -> tuple[Varied, ...]:
        if not _NAME.fullmatch(name):
            self._fault(at, f"`{name}` is not a `let`, and not written as `section.parameter`")
            return ()
        if not isinstance(listed, list) or not listed:
            self._fault(at, f'`{name}` takes a list of values, as ["12 mm", "14 mm"]')
            return ()
        if len(listed) > MOST_CASES:
            self._fault(at, f"`{name}` has {len(listed):,} values; the limit is {MOST_CASES:,}")
            return ()
        found: list[Varied] = []
        for value in listed:
            text = _value_text(value)
            if text is None:
                self._fault(at, f'`{value}` is not a value: write it as text, as "12 mm"')
            elif any(text.replace(" ", "") == other.value.replace(" ", "") for other in found):
                self._fault(at, f"`{text}` is listed twice for `{name}`")
            else:
                found.append(Varied(name, text, self._shown, self._lines.get(at, 1)))
        return tuple(found)

    def _known(
        self, at: Key, table: Mapping[str, Any], known: Mapping[str, Any] | tuple[str, ...]
    ) -> None:
        for name in table:
            if name not in known:
                hint = did_you_mean(name, known)
                self._fault((*at, name), f"unknown name `{name}`. {hint}".strip())

    def _fault(self, at: Key, message: str) -> None:
        while at and at not in self._lines:
            at = at[:-1]
        self.faults.append((self._lines.get(at, 1), message))


def _flat(vary: Mapping[str, Any]) -> Iterator[tuple[tuple[str, ...], object]]:
    """Names as written, with or without quotes: `vary.tertiary.css` is `vary."tertiary.css"`."""
    for name, value in vary.items():
        if isinstance(value, dict):
            yield from (((name, *inner), listed) for inner, listed in _flat(value))
        else:
            yield (name,), value


def _value_text(value: object) -> str | None:
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        if abs(value) > sys.float_info.max:  # infinite, or a whole number past it; no quantity is
            return None
        return f"{value:g}" if float(f"{value:g}") == value else repr(value)
    if not isinstance(value, str) or not value.isprintable():
        return None
    return " ".join(value.split()) or None


def key_lines(text: str) -> dict[Key, int]:
    """The line of each key and table, counted from 1; tables in a list carry their number. A text
    over several lines may hide a key or look like one: then only a line number is off."""
    found: dict[Key, int] = {}
    table: Key = ()
    times: dict[Key, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        stripped = line.strip()
        if stripped.startswith("["):
            names = _header(stripped)
            if names is None:
                continue
            if stripped.startswith("[["):
                times[names] = times.get(names, -1) + 1
                found.setdefault(names, number)
                table = (*names, times[names])
            elif names[:1] in times:
                table = (*names[:1], times[names[:1]], *names[1:])
            else:
                table = names
            found.setdefault(table, number)
        elif "=" in stripped and not stripped.startswith("#"):
            key = _header(f"[{stripped.partition('=')[0]}]")
            for length in range(1, len(key or ()) + 1):
                found.setdefault((*table, *(key or ())[:length]), number)
    return found


def _header(line: str) -> tuple[str, ...] | None:
    """The names in a table's heading, as TOML reads them."""
    try:
        here: Any = read_toml(line)
    except TomlError:
        return None
    names: list[str] = []
    while here:
        ((name, here),) = here.items()
        here = here[0] if isinstance(here, list) else here
        names.append(name)
    return tuple(names)
