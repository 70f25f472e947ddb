"""The server's state: open documents, documents to be checked, and plants being balanced."""

from __future__ import annotations

import asyncio
import time
import traceback
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar
from urllib.parse import urlparse
from urllib.request import url2pathname

from hoggin.check.checker import Checked
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.faults import faults_of
from hoggin.editor.project import Project
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.results import Results
from hoggin.world import UnreadableError, is_library

_Made = TypeVar("_Made")
Balance = Callable[[Checked], Results | Diagnostic]
_AT_ONCE = 0.05  # seconds: a check that takes no longer is run at every key
_LONGEST_WAIT = 1.0
_PAUSE = 0.4  # seconds without typing before a plant is balanced


@dataclass(eq=False)
class Desk:
    """publish: called with a document's address and its errors. refreshed: called when a document's
    plant has new results. log: called with failures."""

    balance: Balance
    publish: Callable[[Path, list[Diagnostic]], None]
    refreshed: Callable[[Path], None]
    log: Callable[[str], None]
    project: Project = field(default_factory=Project)
    _uris: dict[Path, str] = field(default_factory=dict)
    _took: float = 0.0
    _due: asyncio.TimerHandle | None = None
    _balances: dict[Path, asyncio.TimerHandle] = field(default_factory=dict)
    _published: set[Path] = field(default_factory=set)
    _worker: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1))

    def path_of(self, uri: str) -> Path:
        """A document's path; an unsaved one gets an unused name in the current folder."""
        parsed = urlparse(uri)
        if parsed.scheme == "file":
            path = Path(url2pathname(parsed.path))
            try:
                return path.resolve()
            except (OSError, RuntimeError, ValueError):
                return path
        letters = "".join(c if c.isalnum() else "_" for c in uri)
        return Path.cwd() / f".unsaved-{letters}.hog"

    def uri_of(self, path: Path) -> str:
        return self._uris.get(path) or path.as_uri()

    def put(self, uri: str, text: str) -> None:
        path = self.path_of(uri)
        self._uris[path] = uri
        self.project.put(path, text)
        self._later(path)

    def drop(self, uri: str) -> None:
        path = self.path_of(uri)
        self.project.drop(path)
        self._later(None)

    def changed_on_disk(self) -> None:
        self.project.changed_on_disk()
        for path in self.project.texts:
            self._later(path)

    def snapshot(self, uri: str) -> Snapshot:
        return self.project.snapshot(self.path_of(uri))

    # --- checking

    def _later(self, changed: Path | None) -> None:
        """Check soon: at once if checks are fast, otherwise after a pause as long as a check."""
        if self._due is not None:
            self._due.cancel()
        wait = 0.0 if self._took < _AT_ONCE else min(self._took, _LONGEST_WAIT)
        loop = asyncio.get_running_loop()
        self._due = loop.call_later(wait, self._check)
        if changed is not None:
            self._balance_later(changed)

    def _check(self) -> None:
        """Publish the errors of every open document, and of the files they use."""
        self._due = None
        began = time.perf_counter()
        found: dict[Path, list[Diagnostic]] = {path: [] for path in self.project.texts}
        for path in list(self.project.texts):
            try:
                snapshot = self.project.snapshot(path)
                for fault in faults_of(snapshot):
                    name = fault.span.source.name
                    if not is_library(name):
                        found.setdefault(snapshot.path_of(name), []).append(fault)
            except UnreadableError as fault:
                self.log(f"{path}: {fault}")
            except Exception:
                self.log(f"{path} can't be checked\n{traceback.format_exc()}")
        for path in self._published - found.keys():
            found[path] = []
        self._published = {path for path, faults in found.items() if faults}
        for path, faults in found.items():
            self._safely(self.publish, path, _unique(faults))
        self._took = time.perf_counter() - began

    # --- balancing

    def _balance_later(self, path: Path) -> None:
        if path in self._balances:
            self._balances.pop(path).cancel()
        loop = asyncio.get_running_loop()
        self._balances[path] = loop.call_later(_PAUSE, self._safely, self._start_balance, path)

    def _start_balance(self, path: Path) -> None:
        """Balance a document's plant in the background, and keep its results."""
        self._balances.pop(path, None)
        if path not in self.project.texts:
            return
        checked = self.project.snapshot(path).checked
        if checked.plant is None:
            return
        loop = asyncio.get_running_loop()
        work = loop.run_in_executor(self._worker, self.balance, checked)
        work.add_done_callback(lambda done: self._safely(self._take, path, checked, done))

    def _take(
        self, path: Path, checked: Checked, done: asyncio.Future[Results | Diagnostic]
    ) -> None:
        if done.cancelled() or path not in self.project.texts:
            return
        fault = done.exception()
        if fault is not None:
            self.log(f"{path} can't be balanced: {fault!r}")
            return
        self.project.keep(path, checked, done.result())
        self.refreshed(path)
        self._later(None)

    def aside(self, work: Callable[[], _Made]) -> asyncio.Future[_Made]:
        """Do something slow after the balances that are waiting, while requests are answered."""
        return asyncio.get_running_loop().run_in_executor(self._worker, work)

    def _safely(self, act: Callable[..., None], *arguments: object) -> None:
        """Do something that no request waits for; failures are logged."""
        try:
            act(*arguments)
        except Exception:
            self.log(f"{act.__name__} failed\n{traceback.format_exc()}")

    def close(self) -> None:
        self._worker.shutdown(wait=False, cancel_futures=True)


def _unique(faults: list[Diagnostic]) -> list[Diagnostic]:
    """Without duplicates: two plants may find the same error in a file that both use."""
    found = {(f.code, f.span.start, f.span.end, f.message): f for f in faults}
    return sorted(found.values(), key=lambda f: (f.span.start, f.code))
