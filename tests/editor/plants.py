"""Projects of a few files for the tests; the plants are invented."""

from __future__ import annotations

from pathlib import Path

from hoggin.balancing import rated
from hoggin.editor.edits import Edit, applied
from hoggin.editor.project import Project
from hoggin.editor.snapshot import Snapshot

LIBRARY = """\
# `gap` here is no name.
use std.screens
use std.cones
let gap = 14 mm
material basalt { solid_density 2.9 t/m3; bulk_density 1.7 t/m3; work_index 19 kWh/t }
band coarse { passing { 63 mm: 100 %, 20 mm: 0 % to 60 % } }
template circuit(head: 900 mm to 2000 mm, gap: mm = gap, chamber: medium | fine = medium) {
  in  rock
  out stone
  out sand
  crusher cone: cones.high_speed(head: head) { duty tertiary; chamber chamber; css gap }
  screen sizing: screens.inclined(width: 2.4 m, length: 6.0 m) { deck top 20 mm; deck bottom 4 mm }
  rock -> sizing
  sizing.top.over -> cone -> sizing
  sizing.bottom.over -> stone
  sizing.under -> sand
  require cone.load <= 300 %
}
"""
PLANT = """\
use std.sieves
use "parts.hog" as parts
let tonnes = 150 t/h
let fine = 4 mm
plant "Hill, gap of parts" {  # gap parts tonnes
  sieves sieves.en_set2
  feed rock {
    rock parts.basalt
    rate tonnes
    passing { 80 mm: 100 %, 16 mm: 40 %, fine: 15 % }
  }
  section third: parts.circuit(head: 1500 mm, chamber: fine)
  splitter halves { out stone 50 %; out rest_of_it rest }
  rock -> third
  third.stone -> halves
  third.sand -> product sand
  halves.stone -> product stone
  halves.rest_of_it -> product fill
  require stone.rate >= 0.1 * tonnes
  require third.cone.load <= 300 %
  require stone meets parts.coarse
  require stone.passing(fine) <= 90 % and sand.p80 <= 10 mm
}
"""


class Files:
    """A project in a folder, its plant open; `asked` is a snapshot with results."""

    def __init__(self, folder: Path, **texts: str) -> None:
        self.folder = folder.resolve()
        for name, text in (texts or {"plant": PLANT, "parts": LIBRARY}).items():
            (self.folder / f"{name}.hog").write_text(text, encoding="utf-8")
        self.project = Project()

    def path(self, name: str) -> Path:
        return self.folder / f"{name}.hog"

    def look(self, name: str = "plant") -> Snapshot:
        return self.project.snapshot(self.path(name))

    def balanced(self, name: str = "plant") -> Snapshot:
        checked = self.look(name).checked
        assert checked.plant is not None, [d.message for d in checked.diagnostics]
        self.project.keep(self.path(name), checked, rated(checked))
        return self.look(name)

    def text(self, name: str = "plant") -> str:
        return self.project.texts.get(self.path(name)) or self.path(name).read_text("utf-8")

    def put(self, text: str, name: str = "plant") -> Snapshot:
        self.project.put(self.path(name), text)
        return self.look(name)

    def at(self, words: str, name: str = "plant", inside: int = 0) -> int:
        """The offset of some words, which stand once in the file."""
        text = self.text(name)
        assert text.count(words) == 1, (words, text.count(words))
        return text.index(words) + inside

    def apply(self, edits: tuple[Edit, ...]) -> None:
        """Make edits in the files, as an editor does."""
        for file in {edit.file for edit in edits}:
            own = [edit for edit in edits if edit.file == file]
            name = file.removesuffix(".hog")
            self.project.put(self.path(name), applied(self.text(name), own))


def messages(snapshot: Snapshot) -> list[str]:
    return [f"{d.code} {d.message}" for d in snapshot.checked.diagnostics]
