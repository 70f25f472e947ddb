"""Where a build that runs without Python begins."""

import multiprocessing
import os
import sys


def restore_search_path() -> None:
    """Programs that the command starts, as git or a browser, find the system's own libraries and
    not those of this build, which were put before them for this process."""
    before = os.environ.pop("LD_LIBRARY_PATH_ORIG", None)
    os.environ.pop("LD_LIBRARY_PATH", None)
    if before:
        os.environ["LD_LIBRARY_PATH"] = before


if __name__ == "__main__":
    multiprocessing.freeze_support()  # a process of a pool goes no further
    restore_search_path()
    from hoggin.__main__ import main

    sys.exit(main())
