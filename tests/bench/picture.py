"""The picture of `docs/bench.md`: `python -m tests.bench.picture docs/pictures/bench.png`."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from tests.bench.conftest import address, opens, serving
from tests.bench.probes import TABLES, has
from tests.bench.test_in_browser import select
from tests.view.browser import chromium, page
from tests.view.conftest import EXAMPLES


def main(target: Path) -> None:
    program = chromium()
    if program is None:
        raise SystemExit("there is no Chromium here")
    with tempfile.TemporaryDirectory() as made:
        plant = Path(made, "quarry", "quarry.hog")
        plant.parent.mkdir()
        shutil.copy(EXAMPLES / "quarry.hog", plant)
        with serving(plant.parent) as server, page(program, Path(made, "profile")) as web:
            web.size(1400, 900)
            opens(web, address(server, plant))
            select(web, "css     40 mm")
            web.type("css     42 mm")
            web.until(has(TABLES, "css 42 mm"))
            web.key("Escape")
            web.picture(target)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
