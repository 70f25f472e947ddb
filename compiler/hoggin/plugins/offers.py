"""Which installed package offers what: entry points by group and name, read once and only when
asked for."""

from __future__ import annotations

import importlib.util
import inspect
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args

from hoggin.errors import HogginError, PluginError

if TYPE_CHECKING:
    from importlib.metadata import EntryPoint

Group = Literal["models", "libraries", "backends", "checks"]
GROUPS: tuple[Group, ...] = get_args(Group)
_NAMES: Mapping[Group, str] = {
    "models": r"[A-Za-z_]\w*\.[A-Za-z_]\w*",  # role.name
    **dict.fromkeys(GROUPS[1:], r"[A-Za-z_]\w*"),
}
_THINGS: Mapping[Group, str] = {
    "models": "process model",
    "libraries": "library",
    "backends": "backend",
    "checks": "check",
}


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that a package offers."""

    group: Group
    name: str
    package: str
    version: str
    entry: EntryPoint

    @property
    def what(self) -> str:
        return f"{_THINGS[self.group]} `{self.name}`"

    def fault(self, reason: str) -> PluginError:
        return PluginError(f"plug-in package `{self.package}` {self.version}: {self.what} {reason}")

    @contextmanager
    def running(self, doing: str) -> Iterator[None]:
        """While the package's own code runs: whatever goes wrong there is the package's fault."""
        try:
            yield
        except HogginError:
            raise
        except (Exception, SystemExit) as fault:
            said = " ".join(str(fault).split())
            shown = f"{type(fault).__name__}: {said}" if said else type(fault).__name__
            raise self.fault(f"{doing}: {shown}") from fault

    def load(self) -> Any:
        """The object that the entry point names. Raises PluginError."""
        with self.running("can't be imported"):
            return self.entry.load()

    def check_call(self, function: Any, *arguments: str) -> None:
        """Raises PluginError where an object is not a function of just these arguments."""
        wanted = f"({', '.join(arguments)})"
        if not callable(function):
            raise self.fault(f"is a {type(function).__name__}, not a function of {wanted}")
        try:
            inspect.signature(function).bind(*arguments)
        except (TypeError, ValueError) as fault:
            raise self.fault(f"can't be called with {wanted}: {fault}") from fault

    def folder(self) -> Path:
        """The folder of the package that the entry point names. Raises PluginError."""
        with self.running("can't be found"):
            found = importlib.util.find_spec(self.entry.module)
        places = [] if found is None else list(found.submodule_search_locations or ())
        if not places:
            raise self.fault(
                f"can't be found: `{self.entry.module}` is not a package with a folder"
            )
        return Path(places[0])


def find(group: Group, name: str) -> Offer | None:
    """What is offered under a name; None where nothing is.

    Raises PluginError where two packages offer the name, or where it is not fit for a name.
    """
    found = offers(group).get(name, ())
    if not found:
        return None
    fault = clash(found)
    if fault is not None:
        raise fault
    return found[0]


def clash(same: tuple[Offer, ...]) -> PluginError | None:
    """Why the offers of one name can't be used, if they can't."""
    first, *others = same
    if not re.fullmatch(_NAMES[first.group], first.name):
        return first.fault("has a name that can't be written in a plant")
    if others:
        also = ", ".join(f"`{one.package}` {one.version}" for one in others)
        return first.fault(f"is offered by {also} too; remove one of the packages")
    if first.group == "libraries" and first.name == "std":
        return first.fault("has the name of the compiler's own library")
    return None


@cache
def offers(group: Group) -> Mapping[str, tuple[Offer, ...]]:
    """All that is offered, by name; of one name by package."""
    from importlib.metadata import entry_points  # it takes longer to import than many a check

    found: dict[str, list[Offer]] = {}
    for entry in entry_points(group=f"hoggin.{group}"):
        package, version = (
            ("?", "?") if entry.dist is None else (entry.dist.name, entry.dist.version)
        )
        found.setdefault(entry.name, []).append(Offer(group, entry.name, package, version, entry))
    return {name: tuple(sorted(found[name], key=lambda one: one.package)) for name in sorted(found)}


def all_offers() -> Iterator[Offer]:
    """Everything that is offered, by group, name and package."""
    for group in GROUPS:
        for same in offers(group).values():
            yield from same
