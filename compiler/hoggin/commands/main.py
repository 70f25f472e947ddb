"""`hoggin`: the command line. Anything that ends a command early is caught and reported here."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence

from hoggin import interruption
from hoggin.commands.arguments import CommandParser
from hoggin.commands.command_line import command_parser, run
from hoggin.commands.completing import ASKED_BY, answer_shell
from hoggin.commands.output import fit_for_terminals
from hoggin.commands.running import complain, told
from hoggin.errors import Exit, HogginError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    # The search for cycles to free and for plugins of pydantic takes a tenth of a check's time. A
    # process that lives for a second needs neither.
    gc.disable()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    parser = command_parser()
    if ASKED_BY in os.environ:
        answer_shell(parser)
    with interruption.interruptible(), fit_for_terminals() as printed:
        try:
            return _run(parser, arguments)
        finally:
            if fault := printed.fault():
                complain(f"standard output: the system reports: {fault}")
                raise SystemExit(Exit.USE)


def _run(parser: CommandParser, arguments: Sequence[str] | None) -> int:
    """The exit code. An error of the system that no command expects is reported as well."""
    try:
        return run(parser.parse_args(arguments))
    except HogginError as fault:
        return told(fault)
    except KeyboardInterrupt:
        return _interrupted()
    except OSError as fault:
        of = f"`{fault.filename}`: " if fault.filename else ""
        complain(f"{of}the system reports: {(fault.strerror or str(fault)).lower()}")
        return Exit.USE
    except MemoryError:
        complain("out of memory; no partial files are left")
        return Exit.USE
    except RecursionError:
        complain("the input is nested too deeply; no partial files are left")
        return Exit.USE
    except Exception:
        if interruption.came():  # and a library made another exception of it
            return _interrupted()
        raise


def _interrupted() -> Exit:
    complain("interrupted; no partial files are left")
    return Exit.INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
