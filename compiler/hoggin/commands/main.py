"""`hoggin`: the command line. Anything that ends a command early is caught and reported here."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence

from hoggin import loading
from hoggin.commands.command_line import command_parser, run
from hoggin.commands.completing import ASKED_BY, answer_shell
from hoggin.commands.output import drop_output, fit_for_terminals
from hoggin.commands.running import complain, told
from hoggin.errors import Exit, HogginError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    # The search for cycles to free and for plugins of pydantic takes a tenth of a check's time. A
    # process that lives for a second needs neither.
    gc.disable()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    # Matrices here are small. Threads of numpy's BLAS would wait for one another, many times longer
    # than they work where the cores are busy; and sums that threads divide differ in a last digit.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    parser = command_parser()
    if ASKED_BY in os.environ:
        answer_shell(parser)
    with fit_for_terminals():
        return _run(parser.parse_args(arguments))


def _run(options: argparse.Namespace) -> int:
    """The exit code. An error of the system that no command expects is reported as well."""
    try:
        code = run(options)
        sys.stdout.flush()
    except HogginError as fault:
        return told(fault)
    except BrokenPipeError:  # the reader, such as `head`, has closed the pipe: not an error
        drop_output()
        return Exit.DONE
    except KeyboardInterrupt:
        return _interrupted()
    except OSError as fault:
        of = f"`{fault.filename}`: " if fault.filename else ""
        drop_output()
        complain(f"{of}the system reports: {(fault.strerror or str(fault)).lower()}")
        return Exit.USE
    except MemoryError:
        complain("out of memory; no partial files are left")
        return Exit.USE
    except RecursionError:
        complain("the input is nested too deeply; no partial files are left")
        return Exit.USE
    except Exception:
        if loading.came():  # and a library made another exception of it
            return _interrupted()
        raise
    return code


def _interrupted() -> Exit:
    complain(Exit.INTERRUPTED.meaning.replace(" from the keyboard", ""))
    return Exit.INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
