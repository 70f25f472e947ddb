"""Git, asked as a program: every kind of repository and revision name it knows works here too."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from subprocess import PIPE

from hoggin.world import LARGEST_FILE, UnreadableError

_ABSENT = ("missing", "ambiguous", "dangling", "loop", "notdir")


def ask(folder: Path, *arguments: str, given: bytes | None = None) -> bytes:
    """What git prints. Raises UnreadableError with the first line of its complaint."""
    with _reported():
        command = _command(folder, arguments)
        return subprocess.run(command, input=given, capture_output=True, check=True).stdout


def _command(folder: Path, arguments: Sequence[str]) -> list[str]:
    return ["git", "-C", str(folder), "--literal-pathspecs", *arguments]


@contextmanager
def _reported() -> Iterator[None]:
    """What goes wrong with git inside it is an UnreadableError."""
    try:
        yield
    except FileNotFoundError as fault:
        raise UnreadableError("git is not installed") from fault
    except (subprocess.CalledProcessError, OSError, ValueError) as fault:
        told = getattr(fault, "stderr", b"") or str(fault).encode()
        first = told.decode(errors="replace").strip().partition("\n")[0]
        raise UnreadableError(f"git reports: {first.removeprefix('fatal: ')}") from fault


def root_of(near: Path) -> Path:
    """The top of the working tree that `near` lies in. Raises UnreadableError."""
    return Path(os.fsdecode(ask(near, "rev-parse", "--show-toplevel").rstrip(b"\n")))


def blob(root: Path, wanted: str, place: str) -> bytes:
    """The content of a file by its hash, or by COMMIT:PATH with links within the tree followed.

    place: what the message calls it. Raises UnreadableError where there is no such file.
    """
    if "\n" in wanted:
        raise UnreadableError("git names no such file")
    head, content = _first_object(root, os.fsencode(f"{wanted}\n"))
    words = head.decode(errors="replace").split()
    if words[-1] in _ABSENT or words[0] in _ABSENT:
        raise UnreadableError(f"there is no such file in {place}")
    if words[0] == "symlink":
        raise UnreadableError(f"in {place} it is a link that leads out of the repository")
    if words[1] != "blob":
        raise UnreadableError(f"in {place} it is not a file")
    size = int(words[2])
    if size > LARGEST_FILE:
        raise UnreadableError(f"it is larger than {LARGEST_FILE // 1_000_000} MB")
    return content[:size]


def _first_object(root: Path, wanted: bytes) -> tuple[bytes, bytes]:
    """What git says of an object, and the begin of its content: no more than may be used, however
    large it is."""
    command = _command(root, ("cat-file", "--batch", "--follow-symlinks"))
    with _reported(), subprocess.Popen(command, stdin=PIPE, stdout=PIPE, stderr=PIPE) as git:
        assert git.stdin and git.stdout and git.stderr
        try:
            git.stdin.write(wanted)
            git.stdin.close()
            head, content = git.stdout.readline(), git.stdout.read(LARGEST_FILE)
            if not head:
                raise subprocess.CalledProcessError(git.wait(), command, stderr=git.stderr.read())
            return head, content
        finally:
            git.kill()  # it may have more to say


def hashes(root: Path, wanted: Sequence[tuple[str, PurePosixPath]]) -> list[str | None]:
    """The hash of each file, asked for by commit and path; None where there is none."""
    lines = [
        os.fsencode(f"{commit}:{path}\n") if "\n" not in f"{path}" else b"-\n"
        for commit, path in wanted
    ]
    reply = ask(root, "cat-file", "--batch-check", "--follow-symlinks", given=b"".join(lines))
    answers = iter(reply.split(b"\n"))
    found = []
    for _ in wanted:
        words = next(answers).split(b" ")
        # What leads nowhere takes two lines: its kind with the length of a name, and that name.
        if words[0] in (b"symlink", b"dangling", b"loop", b"notdir"):
            next(answers)
        found.append(words[0].decode() if words[1:2] == [b"blob"] else None)
    return found
