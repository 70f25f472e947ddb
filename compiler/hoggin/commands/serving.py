"""`hoggin language-server`: serves an editor over standard input and output."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from contextlib import redirect_stdout

from hoggin.errors import Exit, HogginError

_LEFT = 1  # ended without a request to shut down first, as the protocol requires


def serve(_options: argparse.Namespace) -> int:
    try:
        from hoggin.editor.server import server
    except ModuleNotFoundError as fault:
        if fault.name is None or fault.name.partition(".")[0] not in ("pygls", "lsprotocol"):
            raise
        text = 'the language server needs pygls: pip install "hoggin[editor]"'
        raise HogginError(text) from fault
    from hoggin.balancing import rated

    gc.enable()  # unlike the other commands, this one runs for hours
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")  # the server closes what it wrote to
    with redirect_stdout(sys.stderr):  # nothing but answers may be between them
        made = server(rated)
        made.start_io(sys.stdin.buffer, answers)
    return Exit.DONE if made.was_shut_down else _LEFT
