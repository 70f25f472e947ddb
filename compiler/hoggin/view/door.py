"""A file that leads a browser to the page.

A browser is given what it opens on its command line, which every user of the computer can list. So
it is given a file that this user alone can read, and the file has the address with its token.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_PAGE = """<!DOCTYPE html>
<html lang="en-GB">
<meta charset="utf-8">
<meta name="referrer" content="no-referrer">
<meta http-equiv="refresh" content="0; url={url}">
<title>Hoggin</title>
<p><a href="{url}">Open the live view</a>
"""


@contextmanager
def door(url: str) -> Iterator[str]:
    """The address of such a file, which is there while this lasts."""
    with tempfile.TemporaryDirectory(prefix="hoggin-view-") as folder:  # only its maker can enter
        page = Path(folder) / "open.html"
        page.write_text(_PAGE.format(url=url), encoding="utf-8")
        yield page.as_uri()
