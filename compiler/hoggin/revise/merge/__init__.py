"""Three texts of a file, of which two were made from the first, as one: fact by fact."""

from hoggin.revise.merge.merge import Labels, Merged, merge

__all__ = ["Labels", "Merged", "merge"]
