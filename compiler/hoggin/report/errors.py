"""What a backend raises when a document cannot be made or put on disk."""

from __future__ import annotations


class EmitError(Exception):
    """A document could not be drawn or written; the message is one plain sentence for the user."""
