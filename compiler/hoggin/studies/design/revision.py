"""The plant's text with the open numbers and options replaced by those that were found."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from hoggin.balance.result import Array
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.schema.tracing import Alternatives
from hoggin.studies.design.problem import Problem
from hoggin.studies.design.rounding import text_of
from hoggin.studies.design.variants import Variant
from hoggin.syntax import tree
from hoggin.syntax.edits import Edit, applied


def rewritten(
    source: Source,
    variant: Variant,
    problem: Problem,
    values: Array,
    kept: Mapping[str, tree.Choose],
) -> str:
    """The text of the source. `kept` are the `choose` blocks whose options its cases pick: such a
    block stays, settled on the option that was found.

    Raises HogginError if another file leaves something open, which this text can't settle.
    """
    text, name = source.text, source.name
    edits: list[Edit] = []
    for unknown, value in zip(problem.unknowns, values, strict=True):
        _own(unknown.variable.source, name, unknown.name)
        edits.append(Edit(*unknown.variable.place, text_of(unknown, float(value))))
    blocks: list[Alternatives] = []
    for choice in variant.alternatives.values():
        _own(choice.source, name, choice.name)
        if choice.bodies and choice.name in kept:
            after = kept[choice.name].name.span.end
            edits.append(Edit(after, after, f": {choice.options[choice.picked]}"))
        elif choice.bodies:
            blocks.append(choice)
        else:
            edits.append(Edit(*choice.place, choice.options[choice.picked]))
    edits = [*_outside(edits, blocks), *(_unfolded(text, block, edits) for block in blocks)]
    return applied(text, edits)


def _own(source: str, name: str, what: str) -> None:
    if source != name:
        raise HogginError(
            f"`{what}` is left open in `{source}`, but the revision is only of `{name}`: "
            "move it there, as a `let` or an argument"
        )


def _outside(edits: Sequence[Edit], blocks: Sequence[Alternatives]) -> list[Edit]:
    return [
        edit
        for edit in edits
        if not any(block.place[0] <= edit.start < block.place[1] for block in blocks)
    ]


def _unfolded(text: str, block: Alternatives, edits: Sequence[Edit]) -> Edit:
    """A `choose` replaced by the lines of its picked option, after the block's own comments."""
    start, end = block.bodies[block.picked]
    inner = [
        Edit(edit.start - start, edit.end - start, edit.text)
        for edit in edits
        if start <= edit.start < end
    ]
    body = applied(text[start:end], inner).rstrip()
    own = _comments_of(text, block)
    column = block.place[0] - (text.rfind("\n", 0, block.place[0]) + 1)
    first, *rest = body.strip("\n").split("\n") if "\n" in body else [body.strip()]
    lines = textwrap.dedent("\n".join([first, *rest])).split("\n")
    indent = "\n" + " " * column
    joined = indent.join([*own, *lines])
    return Edit(*block.place, "\n".join(line.rstrip() for line in joined.split("\n")))


def _comments_of(text: str, block: Alternatives) -> list[str]:
    """Comments on lines of their own before the picked option, after the one above it."""
    start = block.bodies[block.picked - 1][1] if block.picked else block.place[0]
    end = block.bodies[block.picked][0]
    lines = (line.strip() for line in text[start:end].split("\n"))
    return [line for line in lines if line.startswith("#")]
