"""`hoggin format`: sources in their one layout, in place or only compared with it."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from hoggin.commands.running import DIFFERENT, OK, SOURCE_ERRORS, USAGE
from hoggin.diagnostics.render import render_all
from hoggin.diagnostics.source import Source
from hoggin.syntax.layout import laid_out
from hoggin.world import UnreadableError, decoded, read_text


def format_files(names: Iterable[Path], *, only_check: bool) -> int:
    """Lay out files, and every `.hog` file of folders; the exit code."""
    worst = different = OK
    for path in _files(names):
        try:
            text = read_text(path)
            found = laid_out(Source(str(path), text))
            if not isinstance(found, str):
                print(render_all(found), end="", file=sys.stderr)
                worst = max(worst, SOURCE_ERRORS)
            elif found.encode() != path.read_bytes():
                if only_check:
                    print(f"{path}: would be laid out anew")
                    different = DIFFERENT
                else:
                    _replace(path, found)
                    print(f"{path}: laid out anew")
        except (UnreadableError, OSError) as fault:
            print(f"hoggin: `{path}`: {_sentence(fault)}", file=sys.stderr)
            worst = USAGE
    return worst or different


def format_input(*, only_check: bool) -> int:
    """Standard input, laid out, to standard output; nothing where it has errors or is checked."""
    given = sys.stdin.buffer.read()
    try:
        text = decoded(given)
    except UnreadableError as fault:
        print(f"hoggin: standard input: {fault}", file=sys.stderr)
        return USAGE
    found = laid_out(Source("standard input", text))
    if not isinstance(found, str):
        print(render_all(found), end="", file=sys.stderr)
        return SOURCE_ERRORS
    if only_check:
        return OK if found.encode() == given else DIFFERENT
    sys.stdout.buffer.write(found.encode())
    sys.stdout.buffer.flush()
    return OK


def _files(names: Iterable[Path]) -> Iterator[Path]:
    for name in names:
        yield from sorted(name.rglob("*.hog")) if name.is_dir() else [name]


def _replace(path: Path, text: str) -> None:
    """Put a text in a file's place, whole or not at all; a link goes on pointing to it."""
    target = path.resolve()
    handle, made = tempfile.mkstemp(prefix=".hoggin-", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode())
        shutil.copymode(target, made)
        Path(made).replace(target)
    except BaseException:
        Path(made).unlink(missing_ok=True)
        raise


def _sentence(fault: Exception) -> str:
    reason = getattr(fault, "strerror", None)
    return f"it can't be written: {reason.lower()}" if reason else str(fault)
