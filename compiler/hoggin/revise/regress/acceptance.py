"""Who accepted a result, when and why."""

from __future__ import annotations

import os
import subprocess
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from hoggin.errors import HogginError

EPOCH = "SOURCE_DATE_EPOCH"  # of reproducible builds: seconds since 1970, in place of the clock
_PATIENCE = 10.0  # seconds for git to say who is at work


@dataclass(frozen=True, slots=True)
class Acceptance:
    by: str
    on: str  # "2026-03-02", or with the time in UTC: "2026-03-02T09:30:00Z"
    reason: str

    def __str__(self) -> str:
        return f"{self.on} by {self.by}: {self.reason}"


def acceptance(reason: str | None, by: str | None, on: str | None, folder: Path) -> Acceptance:
    """From what the command line says; else from git's settings for the folder, and the clock.

    Raises HogginError.
    """
    said = " ".join((reason or "").split())
    if not said:
        raise HogginError('`--accept` records why: add `--reason "why it is right"`')
    return Acceptance(_one_line(by) or _from_git(folder) or _from_system(), _when(on), said)


def _from_git(folder: Path) -> str:
    name, email = (_git_setting(f"user.{part}", folder) for part in ("name", "email"))
    return f"{name} <{email}>" if name and email else name or email


def _git_setting(name: str, folder: Path) -> str:
    command = ["git", "-C", str(folder), "config", "--get", name]
    try:
        done = subprocess.run(command, capture_output=True, check=False, timeout=_PATIENCE)
    except (OSError, ValueError, subprocess.TimeoutExpired):
        return ""
    return _one_line(done.stdout.decode("utf-8", "replace"))


def _from_system() -> str:
    for name in ("USER", "LOGNAME", "USERNAME"):
        if user := _one_line(os.environ.get(name)):
            return user
    raise HogginError('`--accept` records who accepts: add `--by "name"`')


def _when(on: str | None) -> str:
    if on is not None:
        try:
            if len(on.strip()) <= len("2026-03-02"):
                return date.fromisoformat(on.strip()).isoformat()
            stated = datetime.fromisoformat(on.strip())
            return _utc(stated if stated.tzinfo else stated.replace(tzinfo=UTC))
        except (ValueError, OverflowError):
            raise HogginError(
                f"`{on}` is not a date: write `--date 2026-03-02` or `--date 2026-03-02T09:30Z`"
            ) from None
    epoch = os.environ.get(EPOCH)
    if epoch is None:
        return _utc(datetime.now(UTC))
    try:
        return _utc(datetime.fromtimestamp(int(epoch), UTC))
    except (ValueError, OverflowError, OSError):
        raise HogginError(f"{EPOCH} is `{epoch}`: it must be whole seconds since 1970") from None


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _one_line(text: str | None) -> str:
    return " ".join((text or "").split())
