"""The flowsheet of a document's plant, for an editor that can show it beside the text, and the
commands of the lenses."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Mapping
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

from lsprotocol import types

from hoggin.editor.hints import STALE
from hoggin.editor.hover import hover
from hoggin.editor.places import offset_of
from hoggin.editor.preview import lines, preview
from hoggin.editor.session import Server
from hoggin.errors import HogginError

FLOWSHEET = "hoggin/flowsheet"
"""A request of our own: the drawing and tables of a document's plant, as `preview` has them."""


async def flowsheet(made: Server, params: Any) -> Mapping[str, object] | None:
    """None before the first balance. `said` is why the plant can't be drawn, or that the text has
    changed since."""
    snapshot = made.desk.snapshot(params.textDocument.uri)
    results = snapshot.results
    if results is None:
        fault = snapshot.unsettled.diagnostic.message if snapshot.unsettled is not None else ""
        return {"said": fault} if fault else None
    said = "" if snapshot.is_fresh else STALE
    try:
        found = await made.desk.aside(partial(preview, results))
    except HogginError as fault:
        return {"said": str(fault)}
    return {**asdict(found), "said": said, "lines": lines(snapshot)}


async def open_flowsheet(made: Server, uri: str) -> None:
    """For a client that has no place for it: the drawing as a file, opened by the system."""
    snapshot = made.desk.snapshot(uri)
    results = snapshot.results
    if results is None:
        made.say("there is no flowsheet yet: correct the errors of the plant first")
        return
    try:
        found = await made.desk.aside(partial(preview, results))
    except HogginError as fault:
        made.say(str(fault))
        return
    folder = Path(await asyncio.to_thread(tempfile.mkdtemp, prefix="hoggin-"))
    for number, sheet in enumerate(found.sheets, start=1):
        path = folder / f"{snapshot.path.stem}-{number}.svg"
        path.write_text(sheet.svg, encoding="utf-8")
        if made.opens_files:
            made.window_show_document(types.ShowDocumentParams(path.as_uri(), external=True))
        else:
            made.say(f"the flowsheet is in {path}")


def show_details(made: Server, uri: str, line: int, character: int) -> None:
    """For a client that has no hover at a place that it is not at: the same as a message."""
    snapshot = made.desk.snapshot(uri)
    found = hover(snapshot, offset_of(snapshot.source, (line, character), made.encoding))
    if found is not None:
        made.say("\n".join(filter(None, found.lines)))
