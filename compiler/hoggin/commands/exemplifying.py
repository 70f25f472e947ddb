"""`hoggin example`: list the example plants, or copy one."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Collection
from itertools import groupby
from pathlib import Path

from hoggin.commands.output import width_of
from hoggin.commands.running import write_files
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError
from hoggin.examples import Example, examples, files
from hoggin.folding import beside


def example(options: argparse.Namespace) -> Exit:
    """Copy an example, or list all. An existing file is never replaced."""
    known = examples()
    of_group = [one for one in known.values() if one.group == options.name]
    if options.name is None or of_group:
        print(_listed(of_group or known.values()), end="")
        return Exit.DONE
    if options.name not in known:
        near = did_you_mean(options.name, known)
        raise HogginError(f"unknown example `{options.name}`. {near}".rstrip())
    contents = files(known[options.name])
    folder: Path = options.into
    for name in contents:
        if os.path.lexists(folder / name):
            there = f"`{folder / name}` already exists and is not changed"
            raise HogginError(f"{there}; name another folder with `--into`")
    write_files(contents, folder)
    plant = next(folder / name for name in contents if Path(name).stem == options.name)
    print(f"next: {_next(plant, folder)}", file=sys.stderr)
    return Exit.DONE


def _next(plant: Path, folder: Path) -> str:
    """A plant that uses a file beside its own folder needs a project root above both."""
    if plant.parent == folder:
        return f"`hoggin issue {plant}`"
    return f"`git init {folder}` makes it the root of a project, then `hoggin issue {plant}`"


def _listed(shown: Collection[Example]) -> str:
    """Examples with a line on what each is, by folder."""
    wide = max(len(one.name) for one in shown) + 4
    blocks = []
    for heading, held in groupby(shown, key=lambda one: one.heading):
        lines = [f"{heading}:"]
        width = width_of(sys.stdout)
        lines += [beside(f"  {one.name}".ljust(wide), one.title, width) for one in held]
        blocks.append("\n".join(lines) + "\n")
    blocks.append("All places, rock and figures are invented.\n")
    return "\n".join(blocks)
