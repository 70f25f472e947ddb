"""Sources as git keeps them: in commits, in the index, on the sides of a merge."""

from hoggin.revisions.commits import Commit, find_commit
from hoggin.revisions.index import Index, find_index
from hoggin.revisions.world import Revision, RevisionWorld

__all__ = ["Commit", "Index", "Revision", "RevisionWorld", "find_commit", "find_index"]
