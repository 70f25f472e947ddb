"""`hoggin format`: puts sources in the standard layout, or only checks that they are in it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from hoggin.commands.running import complain, told
from hoggin.diagnostics.source import Source
from hoggin.errors import Exit, HogginError, SourceError
from hoggin.syntax.layout import laid_out
from hoggin.world import decoded, named, read_text, refuse_link_out, sources_below
from hoggin.writing import replace


def format_sources(options: argparse.Namespace) -> Exit:
    if options.files == [Path("-")]:
        return _format_input(only_check=options.check)
    return _format_files(options.files, only_check=options.check)


def _format_files(names: Iterable[Path], *, only_check: bool) -> Exit:
    """Format files, and every `.hog` file in folders, and return the exit code."""
    worst = different = Exit.DONE
    for name in names:
        try:
            paths = sources_below(name) if name.is_dir() else [name]
        except HogginError as fault:
            worst, paths = max(worst, told(fault)), []
        for path in paths:
            try:
                if name.is_dir():
                    refuse_link_out(path, name)
                if _laid_out_anew(path, only_check=only_check) and only_check:
                    different = Exit.DIFFERENT
            except HogginError as fault:
                worst = max(worst, told(fault))
            except OSError as fault:
                complain(f"`{path}` can't be written: {(fault.strerror or str(fault)).lower()}")
                worst = Exit.USE
    return worst or different


def _laid_out_anew(path: Path, *, only_check: bool) -> bool:
    """Whether a file is not in the layout. If so, it is formatted, unless it is only checked."""
    with named(path):
        found = _layout(Source(str(path), read_text(path)))
    if found.encode() == path.read_bytes():
        return False
    if not only_check:
        target = path.resolve()  # a link still points to its file
        replace(target, found.encode(), like=target)
    print(f"{path}: would be formatted" if only_check else f"{path}: formatted")
    return True


def _format_input(*, only_check: bool) -> Exit:
    """Standard input, formatted, to standard output; no output if it has errors or is checked."""
    given = sys.stdin.buffer.read()
    with named("standard input"):
        text = decoded(given)
    found = _layout(Source("standard input", text))
    if only_check:
        return Exit.DONE if found.encode() == given else Exit.DIFFERENT
    with suppress(BrokenPipeError):  # its reader has all that it wants
        sys.stdout.buffer.write(found.encode())
        sys.stdout.buffer.flush()
    return Exit.DONE


def _layout(source: Source) -> str:
    found = laid_out(source)
    if not isinstance(found, str):
        raise SourceError(found)
    return found
