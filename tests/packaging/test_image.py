"""The image and the dev container name what is there. No test builds them, because the base image
comes from a registry; docs/repository.md says how they were tried."""

from __future__ import annotations

import json
import os
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCKERFILE = ROOT / ".ci/Dockerfile"
TEXT = DOCKERFILE.read_text(encoding="utf-8")


def test_the_dev_container_opens_a_stage_of_the_image() -> None:
    container = ROOT / ".devcontainer/devcontainer.json"
    build = json.loads(container.read_text(encoding="utf-8"))["build"]
    assert (container.parent / build["dockerfile"]).samefile(DOCKERFILE)
    assert (container.parent / build["context"]).samefile(ROOT)
    assert build["target"] in re.findall(r"^FROM \S+ AS (\w+)$", TEXT, re.MULTILINE)


@pytest.mark.skipif(os.name == "nt", reason="the image's own script")
def test_its_command_passes_every_word_on_as_it_is(tmp_path: Path) -> None:
    """As the user that it is run as. As root it first becomes the owner of the folder."""
    noted = tmp_path / "noted"
    own = tmp_path / "bin"
    own.mkdir()
    (own / "hoggin").write_text(f'#!/bin/sh\nprintf "%s|" "$@" > "{noted}"\n', encoding="utf-8")
    (own / "id").write_text("#!/bin/sh\necho 1000\n", encoding="utf-8")
    for program in own.iterdir():
        program.chmod(0o755)
    words = ["issue", "my plant.hog", "--into", "$HOME"]
    path = f"{own}{os.pathsep}{os.environ['PATH']}"
    subprocess.run([ROOT / ".ci/as_owner", *words], env={"PATH": path}, check=True)
    assert noted.read_text(encoding="utf-8") == "issue|my plant.hog|--into|$HOME|"
