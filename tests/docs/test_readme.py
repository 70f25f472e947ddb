"""What README shows is what the commands print today; its pictures are today's; its set-up commands
name what is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoggin.examples import examples
from tests.docs.readme import PICTURES, README, ROOT, made

PAGE = README.read_text(encoding="utf-8")


@pytest.mark.slow
def test_what_is_printed_and_drawn_is_as_readme_shows() -> None:
    page, pictures = made(PAGE)
    assert page == PAGE, "run: python -m tests.docs.readme"
    for name, content in pictures.items():
        assert (PICTURES / name).read_bytes() == content, "run: python -m tests.docs.readme"


def test_the_set_up_names_files_and_examples_that_are_there() -> None:
    shown = "".join(re.findall(r"```(?:sh|powershell)\n(.*?)```", PAGE, re.DOTALL))
    paths = re.findall(r"(?:examples|\.ci)[/\\][\w/.\\]+", shown)
    assert len(paths) >= 5
    assert [path for path in paths if not Path(ROOT, path.replace("\\", "/")).is_file()] == []
    assert set(re.findall(r"hoggin example (\w+)", shown)) <= set(examples())
