"""Build the documentation site: `python -m tests.site [FOLDER]`, by default `dist/site`."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.site.building import build
from tests.site.staging import ROOT

if __name__ == "__main__":
    build(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "dist" / "site")
