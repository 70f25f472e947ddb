"""How whole files are coloured, kept for comparison: what changes is to be looked at.

`python -m tests.editor_support.snapshots` keeps what the grammar makes of them now.
"""

from __future__ import annotations

from pathlib import Path

from tests.editor_support.engines import ROOT, Lines, textmate_lines
from tests.editor_support.texts import TEXTS

FOLDER = Path(__file__).with_name("snapshots")
_FILES = ("examples/gravel.hog", "examples/standard/closed_circuit.hog", "stdlib/washing.hog")


def snapshots() -> dict[Path, str]:
    """Each snapshot's file and its content now."""
    texts = {Path(name).stem: (ROOT / name).read_text() for name in _FILES} | TEXTS
    coloured = textmate_lines(list(texts.values()))
    return {
        FOLDER / f"{name}.scopes": _told(text, lines)
        for (name, text), lines in zip(texts.items(), coloured, strict=True)
    }


def _told(text: str, lines: Lines) -> str:
    """Each line of the text behind `>`, then its pieces, each behind what it is."""
    told: list[str] = []
    for line, pieces in zip(text.split("\n"), lines, strict=True):
        told.append(f"> {line}".rstrip())
        for start, end, scopes in pieces:
            if line[start:end].strip():
                told.append(f"    {scopes.replace('.hoggin', ''):<36} {line[start:end].strip()}")
    return "\n".join(told) + "\n"


if __name__ == "__main__":
    for path, content in snapshots().items():
        path.write_text(content, encoding="utf-8")
