"""The tests run with a fault in place: in a forked process, whose imports see the changed text."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import CodeType, ModuleType
from typing import Literal

from tests.mutation.mutants import ROOT, Mutant

Fate = Literal["noticed", "survived", "timeout"]
_AT_ONCE = 2
_LIMIT_S = 600.0
_FATES: dict[int, Fate] = {0: "survived", 1: "noticed", 2: "noticed"}  # by pytest's exit code
# A document that follows the code whatever it does shows no fault.
_NO_CHECKS = ("tests/test_outside_numbers.py::test_the_page_is_up_to_date",)


class _Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module the changed text."""

    def __init__(self, module: str, mutant: Mutant) -> None:
        self.module, self.mutant = module, mutant

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        del path, target
        if name != self.module:
            return None
        return importlib.machinery.ModuleSpec(name, self, origin=str(self.mutant.path))

    def exec_module(self, module: ModuleType) -> None:
        module.__file__ = str(self.mutant.path)
        code: CodeType = compile(self.mutant.text, str(self.mutant.path), "exec")
        exec(code, module.__dict__)


def fates(mutants: Sequence[Mutant]) -> Iterator[tuple[Mutant, Fate]]:
    """What became of each, as it is known."""
    waiting, running = list(mutants), dict[int, tuple[Mutant, float]]()
    while waiting or running:
        while waiting and len(running) < _AT_ONCE:
            mutant = waiting.pop(0)
            running[_forked(mutant)] = (mutant, time.monotonic() + _LIMIT_S)
        for child, (mutant, end) in list(running.items()):
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                del running[child]
                yield mutant, _fate(os.waitstatus_to_exitcode(status), mutant)
            elif time.monotonic() > end:
                os.kill(child, signal.SIGKILL)
                os.waitpid(child, 0)
                del running[child]
                yield mutant, "timeout"
        time.sleep(0.05)


def _fate(code: int, mutant: Mutant) -> Fate:
    """A failed test or an import that fails notices; anything else means that no test ran."""
    if code not in _FATES:
        raise RuntimeError(f"the tests ended with {code} for {mutant}")
    return _FATES[code]


def _forked(mutant: Mutant) -> int:
    child = os.fork()
    if child == 0:
        try:
            os._exit(_tested(mutant))
        finally:
            os._exit(70)
    return child


def _tested(mutant: Mutant) -> int:
    """The exit code of the first tests that notice, 0 where none do."""
    import hypothesis
    import pytest

    # A slow machine is no fault of the code, and the same mutant meets the same examples.
    hypothesis.settings.register_profile(
        "steady",
        deadline=None,
        derandomize=True,
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    silent = os.open(os.devnull, os.O_WRONLY)
    for stream in (1, 2):
        os.dup2(silent, stream)
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        if mutant.module is not None:
            sys.meta_path.insert(0, _Changed(mutant.module, mutant))
        else:
            _library_of(Path(folder), mutant)
        os.chdir(ROOT)
        options = ["-x", "-q", "-n", "0", "-p", "no:cacheprovider", f"--basetemp={folder}/tests"]
        options += ["--hypothesis-profile=steady"]
        options += [f"--deselect={test}" for test in _NO_CHECKS]
        codes = (int(pytest.main([*options, one])) for one in mutant.tests)
        return next((code for code in codes if code != 0), 0)


def _library_of(folder: Path, mutant: Mutant) -> None:
    """The class libraries in a folder of their own, one of them changed."""
    changed = folder / "stdlib"
    shutil.copytree(ROOT / "stdlib", changed)
    (changed / mutant.path.name).write_text(mutant.text)
    import hoggin.world

    hoggin.world.standard_library = lambda: changed
