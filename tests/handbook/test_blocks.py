"""Every block of the language on the pages is text of the language as it is today."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.handbook.contents import handbook
from hoggin.syntax.parser import parse

_BLOCK = re.compile(r"^```hog\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_LEFT_OUT = re.compile(r"(?<![\w\".])\.\.\.[;,]?")  # what an example does not show
_OF_FAULTS = "diagnostics"  # whose blocks are wrong on purpose


def _blocks() -> Iterator[tuple[str, str]]:
    book = handbook()
    for page in book.pages.values():
        if page.name != _OF_FAULTS:
            for number, block in enumerate(_BLOCK.findall(book.text(page.file)), start=1):
                yield f"{page.name}, block {number}", block


@pytest.mark.parametrize(("name", "block"), list(_blocks()))
def test_a_block_is_read_without_errors(name: str, block: str) -> None:
    found = Diagnostics()
    parse(Source(name, _LEFT_OUT.sub("", block)), found)
    assert [one.message for one in found] == []
