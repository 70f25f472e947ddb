"""`hoggin view`: shows the plant in a browser, updated whenever one of its files is saved."""

from __future__ import annotations

import argparse
import gc
import threading
import traceback
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path

from hoggin import balancing
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.render import render_all
from hoggin.diagnostics.source import Source
from hoggin.errors import Exit, HogginError
from hoggin.report.cases import states
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.view.door import door
from hoggin.view.follow import FollowedWorld, Marks, mark
from hoggin.view.live import Live
from hoggin.view.reading import Reading, SourceLine
from hoggin.view.server import ViewServer
from hoggin.world import UnreadableError, named, read_text


def view(options: argparse.Namespace) -> int:
    """Serve until interrupted."""
    gc.enable()  # this process lives long, unlike the other commands'
    file: Path = options.file
    with named(file):
        read_text(file)
    live = Live(lambda: read_plant(file, options.case))
    try:
        server = ViewServer(live, options.port)
    except OSError as fault:
        raise HogginError(f"port {options.port} is not available: {fault.strerror}") from fault
    print(server.url)
    print("Only this computer can open it, at this address only. Press Ctrl-C to stop.", flush=True)
    threading.Thread(target=live.follow, daemon=True).start()
    try:
        with nullcontext() if options.no_browser else browser(server.url):
            server.serve_forever()
    except KeyboardInterrupt:
        print("ended")
    finally:
        live.stop()
        server.server_close()
    return Exit.DONE


@contextmanager
def browser(url: str) -> Iterator[None]:
    """Open it, in a thread: a browser of the terminal comes back only when it is closed."""
    with door(url) as address:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        yield


def read_plant(
    file: Path, case: str = "", world_of: Callable[[Path], FollowedWorld] = FollowedWorld
) -> tuple[Reading, Marks]:
    """One reading of the plant, and the files it read. A fault of the compiler itself is shown like
    an error of the text, and the next save is read again. Raises OSError where the system does not
    answer: it may do so at another time without a save."""
    try:
        world = world_of(file)
    except UnreadableError as fault:
        return _unreadable(file, fault), {file: mark(file)}
    try:
        return _read(file, world, case), world.asked
    except OSError:
        raise
    except Exception:  # of any kind: a server that ends with it would hide it
        traceback.print_exc()
        said = "The compiler itself failed on this text; the terminal has the details. This is a "
        said += "fault of the compiler, not of the text.\n"
        return Reading(None, said, "The compiler failed"), world.asked


def _read(file: Path, world: FollowedWorld, case: str) -> Reading:
    try:
        checked = check(world, world.open_main())
    except UnreadableError as fault:
        return _unreadable(file, fault)
    said = render_all(checked.diagnostics)
    if checked.has_errors:
        errors = sum(diagnostic.is_error for diagnostic in checked.diagnostics)
        return Reading(None, said, f"{errors} {'error' if errors == 1 else 'errors'} in the text")
    if checked.plant is None:
        said += f"`{file}` is a library and has no plant to show\n"
        return Reading(None, said, "The file has no plant")
    try:
        checked = checked.in_case(case)
    except HogginError as fault:
        return Reading(None, f"{fault}\n", str(fault))
    assert checked.plant is not None
    cases = [state.plant.case for state in checked.states if state.plant is not None]
    found = balancing.rated_in_all(checked)
    shown = found[cases.index(case)]
    if not isinstance(shown, Results):
        said = render_all([*checked.diagnostics, shown])
        return Reading(None, said, "The plant can't be balanced")
    said += render_all(one for one in found if not isinstance(one, Results))
    settled = [one for one in found if isinstance(one, Results)]
    known = states(settled) if len(settled) == len(found) else ()
    return Reading(shown, said, places=dict(_places(checked, checked.plant)), states=known)


def _unreadable(file: Path, fault: UnreadableError) -> Reading:
    return Reading(None, f"`{file}`: {fault}\n", f"The file can't be read: {fault}")


def _places(checked: Checked, plant: Plant) -> Iterator[tuple[str, tuple[SourceLine, ...]]]:
    stated = [(feed.tag, feed.place) for feed in plant.feeds]
    stated += [(machine.tag, machine.place) for machine in plant.machines]
    stated += [(product.tag, product.place) for product in plant.products]
    for tag, place in stated:
        source = checked.sources.get(place.file)
        if source is not None:
            yield tag, (_line(source, place.line),)
    for name, spans in checked.routes.items():
        yield name, tuple(_line(span.source, span.line) for span in spans)


def _line(source: Source, line: int) -> SourceLine:
    return SourceLine(source.name, line, source.line_text(line).strip())
