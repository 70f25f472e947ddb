"""Half-typed text: some random edits at every run; `fuzzing.py` makes as many as one likes."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.editor.project import Project
from tests.editor.fuzzing import EXAMPLE, faults

pytestmark = pytest.mark.slow

_EDITS = 400


@pytest.mark.parametrize("seed", range(4))
def test_no_answer_fails_or_hangs_on_half_typed_text(seed: int, tmp_path: Path) -> None:
    assert list(faults(_EDITS, seed, tmp_path)) == []


def test_only_the_file_that_changed_is_parsed_again(tmp_path: Path) -> None:
    path = tmp_path.resolve() / "quarry.hog"
    text = EXAMPLE.read_text(encoding="utf-8")
    project = Project()
    project.put(path, text)
    project.snapshot(path)
    assert project.reader.parsed > 5  # the plant and the libraries it uses
    for count in range(1, 4):
        before = project.reader.parsed
        project.put(path, text + "\n" * count)
        project.snapshot(path)
        assert project.reader.parsed == before + 1
