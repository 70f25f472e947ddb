"""`hoggin bench`: write a plant in a browser, with all that it means beside it."""

from __future__ import annotations

import argparse
import gc
from contextlib import nullcontext
from pathlib import Path

from hoggin.balancing import rated
from hoggin.bench.bench import Bench
from hoggin.bench.server import BenchServer
from hoggin.commands.viewing import browser, read_plant
from hoggin.errors import Exit, HogginError
from hoggin.world import World, named, read_text


def bench(options: argparse.Namespace) -> int:
    """Serve until interrupted."""
    gc.enable()  # this process lives long, unlike the other commands'
    root, file = _place(options.place)
    made = Bench(root, read_plant, rated)
    try:
        server = BenchServer(made, options.port)
    except OSError as fault:
        raise HogginError(f"port {options.port} is not available: {fault.strerror}") from fault
    url = server.url if file is None else f"{server.url}{made.folder.number(file)}/"
    print(url)
    print("Only this computer can open it, at this address only. Press Ctrl-C to stop.", flush=True)
    try:
        with nullcontext() if options.no_browser else browser(url):
            server.serve_forever()
    except KeyboardInterrupt:
        print("ended")
    finally:
        server.server_close()
        made.close()
        _keep(made)
    return Exit.DONE


def _keep(bench: Bench) -> None:
    try:
        for name, kept in bench.keep():
            print(f"the unsaved text of {name} is in {kept}")
    except OSError as fault:
        raise HogginError(f"unsaved text can't be kept: {fault.strerror or fault}") from fault


def _place(given: Path) -> tuple[Path, Path | None]:
    """The folder that the bench works in, and the file to begin with. Of a file it is the project's
    root: what its `use` lines can reach."""
    if given.is_dir():
        return given, None
    with named(given):
        read_text(given)
        world = World(given)
    if world.main.suffix != ".hog":
        raise HogginError(f"`{given}`: a plant's file name ends in `.hog`")
    return world.root, world.main
