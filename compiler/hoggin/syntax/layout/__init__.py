"""The one layout of a source: text in, text out, the same statements in the same order."""

from hoggin.syntax.layout.layout import laid_out

__all__ = ["laid_out"]
