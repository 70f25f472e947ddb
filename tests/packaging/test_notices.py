"""The notices name every work of others that is shipped, with its licence."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoggin import notices
from hoggin.commands.main import main
from hoggin.errors import Exit

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "compiler" / "hoggin"
NOTICE = (ROOT / "compiler" / "hoggin" / "NOTICE").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# `lib/elk.bundled.js` of the npm package elkjs 0.12.1 as it was downloaded on 2026-11-29.
ELKJS = "b1032b7cfd2a57c54c6f0e8369d7665e19a579954f7cd20a6dae28f1912ea0d7"
_LONG = 5_000  # characters; nobody writes such a line by hand


def made_elsewhere() -> Iterator[str]:
    """Every file of the package that a person did not write here, by its path in a wheel: what is
    in a `vendor` folder, packed files, and programs that were put on one line."""
    for path in sorted(PACKAGE.rglob("*")):
        if not path.is_file() or path.suffix in (".py", ".pyc", ".vsix"):
            continue
        content = path.read_bytes()
        packed = b"\0" in content
        long = path.suffix in (".js", ".css") and max(map(len, content.split(b"\n"))) > _LONG
        if "vendor" in path.parts or packed or long:
            yield f"hoggin/{path.relative_to(PACKAGE).as_posix()}"


def test_every_file_of_others_in_the_package_is_named() -> None:
    found = list(made_elsewhere())
    assert "hoggin/report/drawing/vendor/elk.bundled.js.gz" in found
    for name in found:
        assert name in NOTICE, f"{name} is not in NOTICE"


def test_every_file_that_is_named_is_in_the_package() -> None:
    named = re.findall(r"hoggin/[\w./-]+\w", NOTICE)
    assert len(named) >= 2
    for name in named:
        assert (PACKAGE.parent / name).is_file()


def test_the_layout_kernel_is_the_published_file() -> None:
    packed = PACKAGE / "report" / "drawing" / "vendor" / "elk.bundled.js.gz"
    assert hashlib.sha256(gzip.decompress(packed.read_bytes())).hexdigest() == ELKJS


def test_every_licence_text_of_the_package_is_in_its_metadata() -> None:
    texts = {path.name for path in PACKAGE.rglob("*LICEN[CS]E*") if path.is_file()}
    assert texts | {"LICENSE", "NOTICE"} == {Path(one).name for one in PROJECT["license-files"]}


def test_package_and_extension_are_under_the_licence_at_the_top() -> None:
    assert (ROOT / "LICENSE").read_text().split()[:4] == ["Apache", "License", "Version", "2.0,"]
    extension = json.loads((ROOT / "editor_support" / "vscode" / "package.json").read_text())
    assert PROJECT["license"] == extension["license"] == "Apache-2.0"


@pytest.mark.slow
def test_every_package_that_hoggin_needs_is_listed_with_its_licence() -> None:
    listed = {package.name.lower().replace("_", "-"): package for package in notices.packages()}
    needed = [
        re.split(r"[<>=\[]", one, maxsplit=1)[0]
        for one in PROJECT["dependencies"]
        if ";" not in one  # of another system
    ]
    assert set(needed) <= listed.keys()
    assert "pytest" not in listed, "only tests use it"
    assert listed["typst"].licence == "Apache-2.0"  # as the Python package index states it
    assert "SIL OPEN FONT LICENSE" in listed["fontpkg-arimo"].text().upper()


@pytest.mark.slow
def test_the_command_prints_the_notices_and_the_packages(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["notices"]) == Exit.DONE
    printed = capsys.readouterr().out
    assert printed.startswith(NOTICE)
    assert re.search(r"^fontpkg-arimo +\S+ +OFL-1\.1$", printed, re.MULTILINE)


@pytest.mark.slow
def test_the_command_prints_one_licence_and_corrects_a_name(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["notices", "Typst"]) == Exit.DONE
    assert "TERMS AND CONDITIONS FOR USE" in capsys.readouterr().out
    assert main(["notices", "tyqst"]) == Exit.USE
    assert "did you mean `typst`?" in capsys.readouterr().err
