"""`hoggin classes`: the machine classes of the standard library, read from its own files."""

from __future__ import annotations

from hoggin.check.library import load_library
from hoggin.syntax import tree
from hoggin.world import library_names


def classes(part: str) -> str:
    """Every class whose name holds `part`: how to declare it, and its settings."""
    blocks = []
    for library in library_names():
        for name, entity in load_library(library).classes.items():
            full = f"{library}.{name}"
            if part.lower() in full.lower():
                blocks.append(_block(library, entity.node))
    return "\n".join(blocks)


def _block(library: str, node: tree.ClassDefinition) -> str:
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
    geometry = ", ".join(_line(p) for p in node.parameters)
    lines = [f"{node.kind.text} {short}.{node.name.text}    (use {library})", f"  {about}"]
    if geometry:
        lines.append(f"  given as: ({geometry})")
    for statement in node.body:
        if isinstance(statement, tree.SettingDefinition):
            lines.append(f"  setting:  {_line(statement.parameter)}")
    return "\n".join(lines) + "\n"


def _line(parameter: tree.Parameter) -> str:
    return " ".join(parameter.span.text.partition("source")[0].split())
