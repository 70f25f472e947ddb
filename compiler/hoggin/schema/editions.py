"""The editions of the language."""

from __future__ import annotations

EDITIONS = (2026,)
"""Every edition this compiler reads, oldest first. A file that states none is read as the newest.
An edition is added only when a text could mean something else than it did before."""
