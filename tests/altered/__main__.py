"""`python -m tests.altered COUNT SEED [WORD]`: all kinds of files, or those named with the word."""

from __future__ import annotations

import os
import sys
import tempfile
import traceback
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from random import Random

from tests.altered.kinds import Kind, kinds, tried


def main(count: int, seed: int, word: str = "") -> int:
    faults = 0
    for kind in kinds():
        if word not in kind.name:
            continue
        with tempfile.TemporaryDirectory() as folder:
            os.chdir(folder)
            faults += _attack(kind, count, seed)
    print(f"{faults} faults")
    return 1 if faults else 0


def _attack(kind: Kind, count: int, seed: int) -> int:
    """The number of faults, each printed where it is first seen."""
    _silently(kind.make)
    codes: Counter[int] = Counter()
    faults: Counter[str] = Counter()
    for number in range(count):
        random = Random(f"{seed} {number}")
        out, err = StringIO(), StringIO()
        try:
            with redirect_stdout(out), redirect_stderr(err):
                command, code = tried(kind, random)
        except Exception:
            fault = traceback.format_exc(limit=-3)
        else:
            codes[code] += 1
            fault = "" if code in kind.codes else f"{command}: {code}: {err.getvalue()[:300]}"
            if code and not err.getvalue() and not out.getvalue():
                fault = f"{command}: {code}, and not a word"
        if fault and not faults[fault]:
            print(f"{kind.name}, number {number}: {fault}")
        faults[fault] += 1
    del faults[""]
    print(f"{kind.name}: {count} altered, exit codes {dict(sorted(codes.items()))}")
    return faults.total()


def _silently(make: object) -> None:
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        assert callable(make)
        make()


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]), *sys.argv[3:4]))
