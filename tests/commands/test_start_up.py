"""Standard streams that are closed, and Ctrl-C while the compiler is loaded: in processes of their
own, as both are the process's."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands.test_main import PLANT

pytestmark = [
    pytest.mark.skipif(os.name == "nt", reason="streams and signals are others there"),
    pytest.mark.slow,
]
HOGGIN = f'"{sys.executable}" -m hoggin'
# Ctrl-C at the moment a module is asked for; some libraries make another exception of it.
_INTERRUPTED_AT = """
import os, signal, sys
module, as_raised, *sys.argv[1:] = sys.argv[1:]
class Finder:
    def find_spec(self, name, path, target=None):
        if name == module:
            try:
                os.kill(os.getpid(), signal.SIGINT)
            except KeyboardInterrupt:
                if as_raised == "another":
                    raise RuntimeError("a library could not be loaded") from None
                raise
sys.meta_path.insert(0, Finder())
from hoggin.__main__ import main
sys.exit(main())
"""


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("met.hog").write_text(PLANT.replace("%LEAST%", "20"))
    Path("unmet.hog").write_text(PLANT.replace("%LEAST%", "99"))
    return tmp_path


def _run(command: str) -> tuple[int, str]:
    """The exit code and what went to standard error."""
    done = subprocess.run(
        ["sh", "-c", f"exec {HOGGIN} {command}"],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    return done.returncode, done.stderr


@pytest.mark.parametrize(("name", "code"), [("met", 0), ("unmet", 4)])
def test_closed_output_changes_neither_the_verdict_nor_the_documents(
    name: str, code: int, here: Path
) -> None:
    def issued(into: str, closed: str = "") -> dict[str, bytes]:
        assert _run(f"issue {name}.hog --into {into} {closed}")[0] == code
        return {path.name: path.read_bytes() for path in (here / into).rglob("*") if path.is_file()}

    opened = issued("open")
    assert len(opened) > 5
    for place, closed in enumerate((">&-", ">&- 2>&-", "<&- >&- 2>&-")):
        assert issued(f"closed_{place}", closed) == opened


@pytest.mark.parametrize(
    ("command", "code"),
    [("check met.hog", 0), ("balance unmet.hog", 4), ("check absent.hog", 2), ("--version", 0)],
)
def test_every_command_ends_as_it_would_with_open_streams(command: str, code: int) -> None:
    for closed in (">&-", "2>&-", "<&- >&- 2>&-"):
        assert _run(f"{command} {closed}")[0] == code


@pytest.mark.parametrize("command", ["format -", "start new.hog", "language-server"])
def test_closed_input_is_an_error_where_it_is_read(command: str, here: Path) -> None:
    before = sorted(here.iterdir())
    code, told = _run(f"{command} <&-")
    assert code == 2
    assert told.endswith("hoggin: `standard input`: the system reports: it is closed\n")
    assert sorted(here.iterdir()) == before


@pytest.mark.parametrize("raised", ["itself", "another"])
@pytest.mark.parametrize(
    "module",
    ["hoggin.commands.main", "argparse", "hoggin.commands.issuing", "numpy", "lark"],
)
def test_ctrl_c_while_a_module_is_loaded_is_a_sentence(
    module: str, raised: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(here / "cache"))  # where no tables are kept
    command = ["issue", "met.hog", "--into", "out"]
    done = subprocess.run(
        [sys.executable, "-c", _INTERRUPTED_AT, module, raised, *command],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode in (130, -signal.SIGINT)
    assert done.stderr == "hoggin: interrupted; no partial files are left\n"
    assert not (here / "out").exists()
