"""The tools under test stand beside the package, not in it: `editor_support/` at the root."""

from __future__ import annotations

import sys

from tests.editor_support.engines import ROOT

sys.path.insert(0, str(ROOT))
