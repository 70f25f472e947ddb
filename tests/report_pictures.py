"""The pictures of docs/report.md: pages of the report of the main example, by poppler's `pdftoppm`.

`python -m tests.report_pictures` writes them anew.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.report.package.content import report
from hoggin.report.package.pdf import pdf
from tests.documented import documented
from tests.report.package.paper import read, squeezed

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures" / "report"
DPI = "70"
PAGES = {
    "front": "Plant design report",
    "basis": "Design basis",
    "equipment": "Motor list",
    "data_sheet": "20-CR-201 Secondary cone crusher",
}  # a picture, and words of which its page is the last to have them


def main() -> None:
    results = balanced(check_file(ROOT / "examples" / "quarry.hog"))
    assert results is not None
    content = pdf(report(documented(results)))
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "report.pdf"
        file.write_bytes(content)
        sheets = read(content).sheets
        for name, words in PAGES.items():
            page = str(max(n for n, s in enumerate(sheets, 1) if squeezed(words) in s.letters))
            command = ["pdftoppm", "-png", "-r", DPI, "-f", page, "-l", page, "-singlefile"]
            subprocess.run(
                [*command, str(file), str(PICTURES / name)], check=True, stderr=subprocess.DEVNULL
            )


if __name__ == "__main__":
    main()
