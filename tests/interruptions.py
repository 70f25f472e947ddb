"""Commands with several processes, ended at random moments. By hand: COUNT SEED.

It prints each command that hangs, leaves a process, prints a traceback or ends with a code that is
not documented, and last how many there were.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from hoggin.errors import Exit

EXAMPLES = Path(__file__).parents[1] / "examples"
PATIENCE_S = 30.0
WAYS = ("Ctrl-C", "many", "SIGTERM", "mixed", "worker", "worker, Ctrl-C", "command")
CODES = {*map(int, Exit), -signal.SIGKILL}


def commands(folder: Path) -> list[list[str]]:
    text = (EXAMPLES / "quarry.hog").read_text(encoding="utf-8")
    uncertain = text.replace("rate 450 t/h", "rate normal(450 t/h, 5 %)")
    plants = folder / "plants"
    plants.mkdir()
    for number in range(6):
        (plants / f"{number}.hog").write_text(text, encoding="utf-8")
    (folder / "uncertain.hog").write_text(uncertain, encoding="utf-8")
    (folder / "swept.hog").write_text(text, encoding="utf-8")
    cases = "".join(f"{34 + row / 100}\n" for row in range(1500))
    (folder / "cases.csv").write_text(f"secondary.css (mm)\n{cases}", encoding="utf-8")
    over = ["--over", "secondary.css 34 mm to 50 mm in 900"]
    return [
        ["uncertainty", "uncertain.hog", "--samples", "3000", "--no-ranking"],
        ["regress", "plants", "--no-cache"],
        ["sweep", "swept.hog", *over],
        ["sweep", "swept.hog", "--rows", "cases.csv"],
    ]


def ended(command: list[str], way: str, folder: Path, dice: random.Random) -> str:
    """What is wrong with how it ends; "" if nothing is."""
    process = subprocess.Popen(
        [sys.executable, "-m", "hoggin", *command, "--jobs", "2"],
        cwd=folder,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    while process.poll() is None and not workers(process.pid):
        time.sleep(0.002)
    time.sleep(dice.random() * 0.6)
    send(process.pid, way, dice)
    try:
        _, said = process.communicate(timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        return "it hangs"
    if is_left(process.pid):
        os.killpg(process.pid, signal.SIGKILL)
        return "a process is left"
    if "Traceback" in said or process.returncode not in CODES:
        return f"it ends with {process.returncode}: {said}"
    return ""


def workers(command: int) -> list[int]:
    try:
        children = Path(f"/proc/{command}/task/{command}/children").read_text(encoding="ascii")
    except OSError:  # it has ended
        return []
    return [int(child) for child in children.split()]


def send(command: int, way: str, dice: random.Random) -> None:
    to: Callable[[int, int], None] = dice.choice([os.kill, os.killpg])
    with suppress(ProcessLookupError):
        if way.startswith("worker"):
            for worker in workers(command)[: dice.choice([1, 2])]:
                os.kill(worker, signal.SIGKILL)
        if way == "command":
            os.kill(command, signal.SIGKILL)
        if way == "SIGTERM":
            to(command, signal.SIGTERM)
        if way.endswith("Ctrl-C"):
            to(command, signal.SIGINT)
        for _ in range(8 if way in ("many", "mixed") else 0):
            both = (signal.SIGINT, signal.SIGTERM)
            to(command, dice.choice(both) if way == "mixed" else signal.SIGINT)
            time.sleep(dice.random() * 0.004)


def is_left(group: int) -> bool:
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return False
        time.sleep(0.02)
    return True


def main(count: int, seed: int) -> int:
    dice, faults = random.Random(seed), 0
    for number in range(count):
        with tempfile.TemporaryDirectory() as folder:
            command, way = dice.choice(commands(Path(folder))), dice.choice(WAYS)
            fault = ended(command, way, Path(folder), dice)
        if fault:
            faults += 1
            print(f"{number}: {command[0]}, {way}: {fault}", flush=True)
    print(f"{faults} of {count}")
    return min(faults, 1)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
