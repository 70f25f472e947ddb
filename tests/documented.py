"""The compiler's version in the pictures of the documentation: a fixed one, so that a picture
changes only when what it shows changes."""

from __future__ import annotations

from hoggin.schema.results import Results

VERSION = "0.1.0"


def documented(results: Results) -> Results:
    """Results as the documentation shows them."""
    made = results.provenance
    return results.model_copy(
        update={
            "compiler_version": VERSION,
            "provenance": made and made.model_copy(update={"compiler_version": VERSION}),
        }
    )
