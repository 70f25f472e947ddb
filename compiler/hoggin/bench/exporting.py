"""The documents of a saved plant, as one file to download.

They have the same bytes as those that `hoggin issue` and `hoggin report` write.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from hoggin.api.plant import load
from hoggin.api.states import States
from hoggin.report.cases import AS_WRITTEN
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.formats import files
from hoggin.report.package.package import package

_STEM = "flowsheet"
_BEFORE_ALL = (1980, 1, 1, 0, 0, 0)  # the first date that the format knows: no clock in the bytes


@dataclass(frozen=True, slots=True)
class Exported:
    name: str
    content: bytes


def documents(path: Path) -> Exported:
    """Every document of the plant in every state, with its report, in a ZIP file. Raises
    HogginError."""
    found = _balanced(path)
    written = found[AS_WRITTEN]
    report = package(written.document, None, found.schedule, written.plausible)
    contents = found.documents() | {f"report/{name}": one for name, one in report.items()}
    return Exported(f"{path.stem}.zip", _zipped(contents, path.stem))


def drawn(path: Path, form: str) -> Exported:
    """The flowsheet in one format; in a ZIP file where it takes several files. Raises
    HogginError."""
    drawing = flowsheet(_balanced(path)[AS_WRITTEN].document)
    found = files(drawing, _STEM, [form])
    if len(found) == 1:
        return Exported(f"{path.stem}_{_STEM}.{form}", next(iter(found.values())))
    name = f"{path.stem}_{_STEM}_{form}"
    return Exported(f"{name}.zip", _zipped(found, name))


def _balanced(path: Path) -> States:
    return load(path).balance_all()


def _zipped(contents: Mapping[str, bytes], folder: str) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, content in sorted(contents.items()):
            entry = zipfile.ZipInfo(f"{folder}/{name}", _BEFORE_ALL)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            entry.create_system = 3  # as on any system
            archive.writestr(entry, content)
    return made.getvalue()
