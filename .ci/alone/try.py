"""Tries a build that runs without Python where there is none: in a root folder (chroot) that has
the C library, a shell and git besides the build.

    sudo build/standalone/venv/bin/python .ci/alone/try.py build/standalone/hoggin-linux-x86_64

On Linux. Every command is also run from the package that the build was made of, and has to print
and write the same.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
EXAMPLES = REPOSITORY / "examples"
OPEN = (
    ("css 28 mm", "css free(24 mm to 34 mm)"),
    ("rate 150 t/h", "rate normal(150 t/h, 5 %)"),
)
"""Edits of an example that leave a number free and make one uncertain."""
MEASURED = """\
sample, css mm, size mm, feed % passing, product % passing
monday, 26, 100, 100, 100
monday, 26, 50, 36.2, 99.0
monday, 26, 20, 4.6, 54.1
monday, 26, 5, 1.4, 17.6
wednesday, 32, 100, 100, 100
wednesday, 32, 50, 36.2, 95.0
wednesday, 32, 20, 4.6, 44.0
wednesday, 32, 5, 1.4, 14.0
"""
"""Belt cuts, invented."""
START = (
    "hoggin start new.hog --feed-rate '300 t/h' --top-size '600 mm' --rock granite"
    " --products '0/4, 4/8, 8/16, 16/32'"
)
ACCEPT = "hoggin regress fleet --accept --reason first --by Tester --date 2026-01-01"
DIFF = "git -c diff.hoggin.command='hoggin git-compare' diff --ext-diff HEAD~1 HEAD -- quarry.hog"
MERGE = "git -c merge.hoggin.driver='hoggin git-merge %O %A %B %L %P' merge --quiet other"
LINES = (
    *("hoggin --version", "hoggin --help", START, "hoggin check new.hog quarry.hog"),
    *("hoggin check broken.hog", "hoggin balance quarry.hog"),
    "hoggin balance quarry.hog --range --show json",
    *("hoggin issue quarry.hog", "hoggin report quarry.hog"),
    "hoggin design open.hog --into optimum.hog --starts 8 --jobs 2",
    "hoggin mix quarry.hog astm.c33_57",
    "hoggin sweep quarry.hog --over 'secondary.css 34 mm to 46 mm in 13' --jobs 2",
    "hoggin uncertainty open.hog --samples 64 --jobs 2",
    "hoggin simulate quarry.hog --for '1 week' --runs 4",
    "hoggin compare HEAD~1:quarry.hog quarry.hog",
    "hoggin why HEAD~1:quarry.hog quarry.hog chips.rate",
    *("hoggin changes quarry.hog", ACCEPT, "hoggin regress fleet --jobs 2"),
    "hoggin import gradings lab.xlsx --into lab.hog",
    "hoggin fit belt_cuts.csv --class std.cones.high_speed --into ours.hog",
    *("hoggin format new.hog", "hoggin classes cone", "hoggin plugins", "hoggin explain E0404"),
    *(
        "hoggin completion bash",
        "hoggin facts quarry.hog",
        "hoggin notices typst",
    ),
    *("hoggin schema", "hoggin reference pages", DIFF, MERGE),
    *("hoggin example", "hoggin example gravel --into copied", "hoggin docs --print language"),
    *("hoggin editor install --into editors", "hoggin repository plants", "hoggin review fleet"),
)
"""Command lines for `sh`, run in this order in a folder with the examples, the files above and a
git repository of two revisions."""
SERVING = ("bench", "view", "language-server")
"""Commands that are tried by a conversation."""
TIMED = ("hoggin --version", "hoggin check quarry.hog", "hoggin balance quarry.hog")
_CONVERSATION = (
    {"id": 1, "method": "initialize", "params": {"capabilities": {}, "processId": None}},
    {"method": "initialized", "params": {}},
    {"id": 2, "method": "shutdown"},
    {"method": "exit"},
)
_PATIENCE_S = 60.0


def main(build: Path) -> int:
    with tempfile.TemporaryDirectory() as temporary:
        root, package = Path(temporary, "root"), Path(temporary, "package")
        furnish(root, build)
        prepare(package)
        shutil.copytree(package, root / "work")
        failed = [line for line in LINES if not same(line, root, package)]
        failed += differing(root / "work", package)
        failed += [name for name, tried in CONVERSATIONS.items() if not tried(root)]
        for line in TIMED:
            print(f"{line}: {quickest(root, line):.2f} s")
    print(*(f"FAILED: {one}" for one in failed), sep="\n")
    return int(bool(failed))


# --- the root folder


def furnish(root: Path, build: Path) -> None:
    """The build, and the little of a system that it needs."""
    shutil.copytree(build, root / "opt" / "hoggin", symlinks=True)
    for name in ("tmp", "dev", "proc", "home"):
        (root / name).mkdir()
    copied(Path("/bin/sh"), root)
    copied(Path("/usr/bin/git"), root)
    for name in ("c.so.6", "dl.so.2", "m.so.6", "pthread.so.0", "rt.so.1", "util.so.1"):
        copied(next(Path("/lib").glob(f"*/lib{name}")), root)
    for device, minor in (("null", "3"), ("urandom", "9")):
        subprocess.run(["mknod", root / "dev" / device, "c", "1", minor], check=True)
    programs = [
        path.name for path in root.rglob("*") if path.is_file() and os.access(path, os.X_OK)
    ]
    assert not [name for name in programs if name.startswith("python")]


def copied(path: Path, root: Path) -> None:
    """A program or library at its place, with the libraries that it is linked with."""
    place = root / path.relative_to("/")
    if place.exists():
        return
    place.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(path.resolve(), place)
    linked = subprocess.run(["ldd", path], capture_output=True, text=True, check=True).stdout
    for library in re.findall(r"(/\S+) \(0x", linked):
        copied(Path(library), root)


def prepare(work: Path) -> None:
    import openpyxl  # the build has it, and so has this Python

    shutil.copytree(EXAMPLES, work)
    quarry = (work / "quarry.hog").read_text()
    (work / "broken.hog").write_text(quarry.replace("css     40 mm", "css     400 mm"))
    text = (work / "cookbook" / "closed_one_screen.hog").read_text()
    for old, new in OPEN:
        assert old in text, old
        text = text.replace(old, new)
    (work / "open.hog").write_text(text)
    (work / "belt_cuts.csv").write_text(MEASURED)
    book = openpyxl.Workbook()
    for row in (("size mm", "monday"), (63, 100), (31.5, 71), (16, 42.5), (4, 12)):
        book.active.append(row)
    book.save(work / "lab.xlsx")
    (work / ".gitattributes").write_text("*.hog diff=hoggin merge=hoggin\n")
    git(work, "init", "--quiet", "--initial-branch=main")
    git(work, "config", "user.name", "Tester")
    git(work, "config", "user.email", "tester@example.org")
    commit(work)
    git(work, "branch", "other")
    (work / "quarry.hog").write_text(quarry.replace("css     40 mm", "css     42 mm"))
    commit(work)
    git(work, "switch", "--quiet", "other")
    (work / "quarry.hog").write_text(quarry.replace("rate 450 t/h", "rate 440 t/h"))
    commit(work)
    git(work, "switch", "--quiet", "main")


def commit(work: Path) -> None:
    git(work, "add", "--all")
    git(work, "commit", "--quiet", "--message=a revision")


def git(work: Path, *arguments: str) -> None:
    when = {f"GIT_{who}_DATE": "2026-01-01T00:00:00Z" for who in ("AUTHOR", "COMMITTER")}
    subprocess.run(["git", "-C", work, *arguments], check=True, env={**os.environ, **when})


# --- what is tried


def inside(root: Path, line: str) -> list[str]:
    """A command that runs a line for `sh` in the root folder."""
    names = {"HOME": "/home", "PATH": "/bin:/usr/bin:/opt/hoggin", "COLUMNS": "100"}
    given = [f"{name}={value}" for name, value in names.items()]
    enter = 'mount -t proc proc "$0/proc" && exec env -i "$@"'
    chroot = [shutil.which("chroot") or "chroot", str(root), "/bin/sh", "-c", f"cd /work && {line}"]
    return ["unshare", "--mount", "sh", "-c", enter, str(root), *given, *chroot]


def same(line: str, root: Path, package: Path) -> bool:
    """Whether the build prints what the package prints, with the same exit code."""
    start = time.monotonic()
    build = subprocess.run(inside(root, line), capture_output=True, text=True, check=False)
    taken = time.monotonic() - start
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    names = {"HOME": str(package.parent), "PATH": path, "COLUMNS": "100"}
    other = subprocess.run(
        line, shell=True, cwd=package, env=names, capture_output=True, text=True, check=False
    )
    said = [(run.returncode, run.stdout, run.stderr) for run in (build, other)]
    right = said[0] == said[1] and "Traceback" not in build.stderr and build.returncode != 2
    print(f"{'same' if right else 'FAILED':6} {taken:6.2f} s  exit code {build.returncode}  {line}")
    if not right:
        print(*(f"{out[-1500:]}{errors[-3000:]}" for _, out, errors in said), sep="\nPACKAGE: ")
    return right


def differing(work: Path, package: Path) -> list[str]:
    """The files that the build has written with other bytes than the package, or not at all."""
    made, expected = contents(work), contents(package)
    found = sorted(name for name in made.keys() | expected if made.get(name) != expected.get(name))
    print(f"{len(made)} files, of which {len(found)} differ from the package's")
    return found


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file() and ".git" not in path.parts)
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def shows_a_plant(root: Path) -> bool:
    with running(root, "hoggin view quarry.hog --no-browser") as process:
        assert process.stdout is not None
        address = re.search(rb"http://\S+", process.stdout.readline())
        assert address is not None
        page, state = fetched(address[0]), b""
        end = time.monotonic() + _PATIENCE_S
        while b"Skarrow Hill" not in state and time.monotonic() < end:
            time.sleep(0.2)
            state = fetched(address[0] + b"state.json")
        plant = fetched(address[0] + b"plant.json")
    print(f"hoggin view: a page of {len(page)} bytes, a plant of {len(plant)} bytes")
    return b"<html" in page and b"Skarrow Hill" in state and b"<svg" in plant


def opens_a_bench(root: Path) -> bool:
    with running(root, "hoggin bench . --no-browser") as process:
        assert process.stdout is not None
        address = re.search(rb"http://\S+", process.stdout.readline())
        assert address is not None
        page, folder = fetched(address[0]), fetched(address[0] + b"folder.json")
    print(f"hoggin bench: a page of {len(page)} bytes, a list of {len(folder)} bytes")
    return b"<html" in page and b"quarry.hog" in folder


def fetched(address: bytes) -> bytes:
    with urllib.request.urlopen(address.decode(), timeout=_PATIENCE_S) as answer:
        content: bytes = answer.read()
    return content


def serves_an_editor(root: Path) -> bool:
    sent = b""
    for message in _CONVERSATION:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        sent += b"Content-Length: %d\r\n\r\n%s" % (len(body), body)
    with running(root, "hoggin language-server") as process:
        answer, _ = process.communicate(sent, timeout=_PATIENCE_S)
    print(f"hoggin language-server: {len(answer)} bytes, exit code {process.returncode}")
    return b'"capabilities"' in answer and process.returncode == 0


@contextmanager
def running(root: Path, line: str) -> Iterator[subprocess.Popen[bytes]]:
    pipe = subprocess.PIPE
    with subprocess.Popen(inside(root, f"exec {line}"), stdin=pipe, stdout=pipe) as process:
        try:
            yield process
        finally:
            process.kill()


CONVERSATIONS = dict(zip(SERVING, (opens_a_bench, shows_a_plant, serves_an_editor), strict=True))


def quickest(root: Path, line: str) -> float:
    taken = []
    for _ in range(5):
        start = time.monotonic()
        subprocess.run(inside(root, line), capture_output=True, check=False)
        taken.append(time.monotonic() - start)
    return min(taken)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]).resolve()))
