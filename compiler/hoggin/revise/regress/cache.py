"""Keeps outcomes by what they were made from, so that only what changed is balanced again.

An entry's name is a hash of the compiler's build, the versions of the numerical libraries, the
varied values, and the name and text of every source that was read. To know these sources without
checking the plant, a second kind of entry, found by the plant's own text, lists what the checker
asked for. Each is requested again, with links and folders as they are now. So an entry can be
missing, but never stale.

An entry that can't be read, or is damaged, counts as missing.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter

from hoggin.build import digest, fingerprint
from hoggin.caches import cache_folder, keep, kept, tidied
from hoggin.diagnostics.source import Source
from hoggin.revise.regress.measured import Measured
from hoggin.revise.regress.varied import Varied
from hoggin.world import UnreadableError, World

MOST_BYTES = 64_000_000  # of all entries; the longest unused go first
_FORMAT = "1"  # to be raised when what is kept changes its meaning


@dataclass(frozen=True, slots=True)
class Step:
    """One question of the checker: a library by its name, or a file as written in another."""

    written: str
    used_in: str  # "" for a library of the compiler


_STEPS = TypeAdapter(list[Step])
_MEASURED = TypeAdapter(Measured)


class FollowedWorld(World):
    """A world that notes what is requested of it, so that it can be asked again."""

    def __init__(self, main: Path) -> None:
        super().__init__(main)
        self.steps: list[Step] = []

    def open_library(self, name: str) -> Source:
        self._note(Step(name, ""))
        return super().open_library(name)

    def open_relative(self, written: str, used_in: Source) -> Source:
        self._note(Step(written, used_in.name))
        return super().open_relative(written, used_in)

    def _note(self, step: Step) -> None:
        if step not in self.steps:
            self.steps.append(step)

    def follow(self, steps: Iterable[Step]) -> None:
        """Ask again. Raises UnreadableError where something is not there any more."""
        self.open_main()
        for step in steps:
            if not step.used_in:
                self.open_library(step.written)
            elif step.used_in in self.sources:
                self.open_relative(step.written, self.sources[step.used_in])
            else:
                raise UnreadableError(f"`{step.used_in}` is not used any more")


@dataclass(frozen=True, slots=True)
class Cache:
    """`folder` is None where nothing is to be kept. `made_with` is this compiler's fingerprint."""

    folder: Path | None
    made_with: str = ""

    def get(self, path: Path, varied: tuple[Varied, ...]) -> Measured | None:
        """What was measured of a plant that is now as it was then; None where it is not known."""
        if self.folder is None:
            return None
        try:
            world = FollowedWorld(path)
            listed = self._read(self._sources_key(world.open_main(), varied))
            world.follow(_STEPS.validate_json(listed))
            return _MEASURED.validate_json(self._read(self._key(world, varied)))
        except (UnreadableError, ValueError):
            return None

    def put(self, world: FollowedWorld, varied: tuple[Varied, ...], measured: Measured) -> None:
        """Keep what was measured. Only for what had no errors: then all that was asked for was
        there."""
        if self.folder is None:
            return
        self._write(self._key(world, varied), _MEASURED.dump_json(measured))
        self._write(self._sources_key(world.open_main(), varied), _STEPS.dump_json(world.steps))

    def prune(self, most_bytes: int = MOST_BYTES) -> None:
        """Remove the longest unused entries above a size, and drafts that were left behind."""
        if self.folder is None:
            return
        entries = []
        for entry in tidied(self.folder):
            with suppress(OSError):  # another command may have removed it
                entries.append((entry.stat().st_mtime, entry.stat().st_size, entry.path))
        total = sum(size for _, size, _ in entries)
        for _, size, name in sorted(entries):
            if total > most_bytes:
                total -= size
                with suppress(OSError):
                    Path(name).unlink()

    def _sources_key(self, main: Source, varied: tuple[Varied, ...]) -> str:
        return digest(["sources", self.made_with, main.name, main.text, *_values(varied)])

    def _key(self, world: FollowedWorld, varied: tuple[Varied, ...]) -> str:
        sources = (part for name in world.sources for part in (name, world.sources[name].text))
        steps = (part for step in world.steps for part in (step.written, step.used_in))
        main = world.open_main().name
        parts = ["measured", self.made_with, main, *_values(varied), "", *steps, "", *sources]
        return digest(parts)

    def _read(self, key: str) -> bytes:
        """An entry's content. Raises ValueError where it is missing or damaged."""
        path = Path(self.folder or ".", key)
        content = kept(path)
        if content is None:
            raise ValueError("the entry is missing or damaged")
        with suppress(OSError):
            os.utime(path)
        return content

    def _write(self, key: str, content: bytes) -> None:
        keep(Path(self.folder or ".", key), content)


def open_cache() -> Cache:
    """The user's cache; one that keeps nothing where there can be no folder."""
    folder = cache_folder("regress")
    return Cache(folder) if folder is None else Cache(folder, digest((_FORMAT, fingerprint())))


def _values(varied: tuple[Varied, ...]) -> list[str]:
    return [part for v in varied for part in (v.name, v.value, v.file, str(v.line), str(v.cell))]
