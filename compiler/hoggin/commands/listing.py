"""`hoggin classes`: the machine classes of the installed libraries, their grading bands and sieve
series, read from their files. `hoggin plugins`: the installed plug-ins. `hoggin notices`: the works
of others, with their licences."""

from __future__ import annotations

import argparse
from textwrap import fill
from typing import TYPE_CHECKING

from hoggin.check.library import load_library
from hoggin.commands.output import say
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError
from hoggin.syntax import tree
from hoggin.syntax.printer import typed
from hoggin.world import installed_libraries

if TYPE_CHECKING:
    from hoggin.notices import Package


def list_classes(options: argparse.Namespace) -> int:
    text = classes(options.name or "")
    if options.name:
        text += bands(options.name) + series(options.name)
    if not text:
        raise HogginError(
            f"no machine class, band or sieve series has `{options.name}` in its name"
        )
    say(text.rstrip("\n"))
    return Exit.DONE


def classes(part: str) -> str:
    """Every class with `part` in its name: how to declare it, and its settings."""
    blocks = []
    for library in installed_libraries():
        for name, entity in load_library(library).classes.items():
            full = f"{library}.{name}"
            if part.lower() in full.lower():
                blocks.append(block(library, entity.node))
    return "\n".join(blocks)


def bands(part: str) -> str:
    """Every grading band with `part` in its name or description."""
    lines = []
    for library in installed_libraries():
        for name, found in load_library(library).bands.items():
            if part.lower() in f"{library}.{name} {found.about}".lower():
                called = f"band {library.rpartition('.')[2]}.{name}    (use {library})"
                lines.append(f"{called}\n  {found.about}\n")
    return "".join(lines)


def series(part: str) -> str:
    """Every sieve series with `part` in its name, with its sizes."""
    lines = []
    for library in installed_libraries():
        for name, sizes in load_library(library).series.items():
            if part.lower() in f"{library}.{name}".lower():
                called = f"series {library.rpartition('.')[2]}.{name}    (use {library})"
                shown = " ".join(f"{size:g}" for size in sizes)
                folded = fill(f"{shown} mm", 96, initial_indent="  ", subsequent_indent="  ")
                lines.append(f"{called}\n{folded}\n")
    return "".join(lines)


def list_plugins(_options: argparse.Namespace) -> int:
    """List every installed plug-in; Exit.USE if one can't be used."""
    from hoggin.commands.running import complain
    from hoggin.plugins.listing import tried

    code = Exit.DONE
    offers = list(tried())
    if not offers:
        print("no plug-ins are installed")
    for offer, fault in offers:
        if fault is None:
            say(f"{offer.what}    ({offer.package} {offer.version})")
        else:
            code = Exit.USE
            complain(str(fault))
    return code


def block(library: str, node: tree.ClassDefinition) -> str:
    """A class: how to declare it, and its settings."""
    about = next(
        (
            fact.value.text
            for fact in node.body
            if isinstance(fact, tree.Fact)
            and fact.name.text == "about"
            and isinstance(fact.value, tree.Text)
        ),
        "",
    )
    short = library.rpartition(".")[2]
    geometry = ", ".join(signature(p) for p in node.parameters)
    lines = [f"{node.kind.text} {short}.{node.name.text}    (use {library})", f"  {about}"]
    if geometry:
        lines.append(f"  given as: ({geometry})")
    for statement in node.body:
        if isinstance(statement, tree.SettingDefinition):
            lines.append(f"  setting:  {signature(statement.parameter)}")
    return "\n".join(lines) + "\n"


def signature(parameter: tree.Parameter) -> str:
    """A parameter without its source: `css: 12 mm to 65 mm`."""
    return f"{parameter.name.text}: {typed(parameter)}"


def list_notices(options: argparse.Namespace) -> int:
    from hoggin import notices

    packages = notices.packages()
    if options.package is None:
        say(notices.own())
        print(_packages(packages), end="")
        return Exit.DONE
    by_name = {package.name.lower(): package for package in packages}
    found = by_name.get(options.package.lower())
    if found is None:
        near = did_you_mean(options.package.lower(), by_name)
        raise HogginError(f"Hoggin does not use a package `{options.package}`. {near}".rstrip())
    print(f"{found.name} {found.version}: {found.licence}\n\n{found.text()}", end="")
    return Exit.DONE


def _packages(packages: tuple[Package, ...]) -> str:
    name = max((len(package.name) for package in packages), default=0)
    version = max((len(package.version) for package in packages), default=0)
    lines = (
        f"{package.name:{name}}  {package.version:{version}}  {package.licence}\n"
        for package in packages
    )
    return "".join(lines)
