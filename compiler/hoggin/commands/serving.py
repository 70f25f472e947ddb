"""`hoggin language-server`: serves an editor over standard input and output."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from contextlib import redirect_stdout

from hoggin.balancing import rated
from hoggin.editor.server import server
from hoggin.errors import Exit

_LEFT = 1  # ended without a request to shut down first, as the protocol requires


def serve(_options: argparse.Namespace) -> int:
    gc.enable()  # unlike the other commands, this one runs for hours
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")  # the server closes what it wrote to
    with redirect_stdout(sys.stderr):  # nothing but answers may be between them
        made = server(rated)
        made.start_io(sys.stdin.buffer, answers)
    return Exit.DONE if made.was_shut_down else _LEFT
