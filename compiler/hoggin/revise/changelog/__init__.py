"""The change log of a plant: one entry a revision, what was changed and what followed."""

from hoggin.revise.changelog.document import ChangeLog, Entry, Mark
from hoggin.revise.changelog.entries import Reading, change_log

__all__ = ["ChangeLog", "Entry", "Mark", "Reading", "change_log"]
