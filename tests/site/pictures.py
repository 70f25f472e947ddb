"""The pictures of the live view in `docs/view.md`, taken of the program itself in Chromium.

To take them anew: `python -m tests.site.pictures`.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.site.staging import ROOT
from tests.view.browser import Page, chromium, page
from tests.view.conftest import serving_file
from tests.view.probes import OPEN, READY, gone_to

PICTURES = ROOT / "docs" / "pictures" / "view"
_PLANT = ROOT / "examples" / "quarry.hog"
_EDIT = ("css     40 mm", "css     36 mm")  # whose effect the second picture shows
_WIDTH, _HEIGHT = 1280, 860


def main() -> None:
    program = chromium()
    if program is None:
        raise SystemExit("the pictures need Chromium")
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        plant = Path(folder, "quarry.hog")
        plant.write_text(_PLANT.read_text(encoding="utf-8"), encoding="utf-8")
        with serving_file(plant) as server, page(program, Path(folder, "profile")) as web:
            web.size(_WIDTH, _HEIGHT)
            web.open(server.url)
            web.until(READY)
            web.value(gone_to("secondary"))
            web.until(OPEN)
            web.picture(PICTURES / "machine.png")
            _save_an_edit(plant, web)
            web.dark(True)
            web.picture(PICTURES / "changed.png")


def _save_an_edit(plant: Path, web: Page) -> None:
    text = plant.read_text(encoding="utf-8")
    assert _EDIT[0] in text
    plant.write_text(text.replace(*_EDIT, 1), encoding="utf-8")
    web.until("!!document.querySelector('#drawing .changed')")


if __name__ == "__main__":
    main()
