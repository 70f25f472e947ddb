"""What other installed packages add to the compiler, by their entry points: process models,
libraries of machine classes, backends and checks. `docs/plugins.md` says how one is written.

Entry points are read when a name is asked for that the compiler does not have itself, so a plant
that uses no plug-in waits for none. A package's code is run with the user's rights.
"""

from hoggin.plugins.api import Backend, Check, Finding

__all__ = ["Backend", "Check", "Finding"]
