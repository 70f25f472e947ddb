"""E02: names and files."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0201(Fault):
    """an unknown name

    The name is not declared in the block, in the file or in the named library. Capital and small
    letters differ.

    Wrong: shot_rock -> primry
    Right: shot_rock -> primary
    """

    unknown = Unknown[str]("unknown name `{name}`")
    member_elsewhere = Message[str, str](
        "unknown name `{name}`", "did you mean `{library}.{name}`?", "replace"
    )
    library_not_used = Message[str, str](
        "unknown name `{name}`", "add `use {library}` at the top of the file", "use a library"
    )

    not_in_library = Unknown[str, str]("unknown name `{name}` in `{library}`", compared=0)

    not_a_library = Message[str]("`{path}`: only a library has names after a dot")
    not_in_plant = Unknown[str]("unknown machine, feed or product `{name}`")
    function = Unknown[str]("unknown function `{name}`")

    no_let_to_vary = Unknown[str]("the plant's file has no `let {name}` to vary")

    no_fact_to_vary = Unknown[str, str]("the plant declares no `{owner}` that states `{name}`")


class E0202(Fault):
    """declared twice

    A name, setting or size has one value. The message shows both places.

    Wrong: css 12 mm
           css 14 mm
    Right: css 12 mm
    """

    declared = Message[str](
        "`{name}` is declared twice", "rename one of them", note="first declared"
    )
    set_twice = Message[str]("`{name}` is set twice", "keep one of them", note="first set")
    deck = Message[str](
        "there are two decks `{name}`",
        "decks are named top, second, third, bottom",
        note="the first",
    )
    size = Message[()]("this size is listed twice", "keep one of them", note="the first")
    case = Message[str]("there are two cases `{name}`", "rename one of them", note="the first")
    outlet = Message[str]("there are two outlets `{name}`", "rename one of them", note="the first")
    tag = Message[str](
        'there are two tags "{tag}"',
        "a tag stands for one machine, feed or product: change one of them",
        note="the first",
    )
    tag_of_template = Message[str, str, str, str](
        'the tag "{tag}" is that of both `{first}` and `{second}`',
        'state it at each section: `section NAME: TEMPLATE(...) {{ {part} "..." }}`',
    )
    revision = Message[str](
        "revision `{mark}` is listed twice",
        "give each revision a different mark",
        note="first listed",
    )


class E0203(Fault):
    """a library can't be used

    `use std.NAME` imports a library of the compiler. `use "FILE.hog" as NAME` imports your own
    file, by its path relative to the file that uses it.

    Wrong: use our_machines
    Right: use "our_machines.hog" as ours
    """

    without_alias = Message[str]("a used file needs a name", 'write `use "{file}" as NAME`')

    not_standard = Message[str](
        "`{path}` is not a standard library",
        "standard libraries begin with `std.`; for a file of your own write "
        '`use "{path:last part}.hog" as {path:last part}`',
    )
    prefix_missing = Message[str](
        "`{path}` is not a standard library", "did you mean `std.{path}`?", "replace"
    )

    unreadable = Unknown[str, str]("can't use `{shown}`: {fault}", compared=0)


class E0204(Fault):
    """files use each other in a circle

    Two files can't use each other, directly or through a third file. Move what they share into
    another file.
    """

    circle = Message[Iterable[str]](
        "files use each other in a circle: {files:chain}", "move what they share into a third file"
    )


class E0205(Fault):
    """a `use` leads out of the project

    A plant must be complete in its own folder and revision history, so a `use` can't read files
    outside the project root. The root is the nearest folder with a `.git`, or the plant's own
    folder if there is none. Links are followed first.

    Wrong: use "../../elsewhere/cones.hog" as cones
    Right: use "lib/cones.hog" as cones
    """

    outside = Message[str](
        "this `use` leads out of the project root",
        "keep library files under `{root}/`, the folder with `.git` (or the plant's own folder)",
    )


class E0206(Fault):
    """not one plant

    A file has one plant, or none; then it is a library.
    """

    second = Message[()](
        "there is a second plant in this file",
        "give each plant its own file; shared parts go in a library",
    )


_BELONGS = {
    "use": "`use` lines belong at the top of a file, outside every block",
    "let": "`let` belongs in a file, class, template or plant",
    "require": "`require` belongs in a plant or template",
    "rule": "`rule` belongs in a machine class",
    "class": "a class belongs at the top of a file",
    "template": "a template belongs at the top of a file",
    "setting": "`setting` belongs in a machine class",
    "plant": "a plant belongs at the top of a file",
    "series": "a series belongs at the top of a file",
    "model": "`model` belongs in a machine class, or in a machine that picks a model of its class",
    "operation": "`operation` belongs in a machine, feed or plant",
    "project": "`project` belongs in a plant",
    "note": "a note belongs in a machine, feed or product",
    "deck": "a deck belongs in a screen",
    "port": "`in` and `out` belong in a template, `out` also in a splitter",
    "route": "routes belong in a plant or template",
    "machine": "machines, feeds and products belong in a plant or template",
    "definition": "named materials, bands and gradings belong at the top of a file",
    "aim": "aims belong in a plant",
    "choose": "`choose` belongs directly in a plant, not inside another `choose`",
    "option": "an `option` belongs in a `choose`",
    "case": "a `case` belongs in a plant",
    "fact": "facts belong in the block of what they describe",
}


class E0207(Fault):
    """a line in the wrong place

    Each kind of line has its block: a deck belongs in a screen, a route in a plant or template,
    a rule in a class.

    Wrong: plant "Hill" {
             deck top 20 mm
           }
    Right: plant "Hill" {
             screen sizing: screens.inclined(...) { deck top 20 mm }
           }
    """

    @classmethod
    def misplaced(cls, word: str, kind: str, where: str) -> Self:
        """`kind`: a key of the table of where lines belong."""
        return cls(f"{word} is not allowed {where}", _BELONGS.get(kind, ""))

    share_of_port = Message[()](
        "a template's port has no share",
        "remove the share; shares belong to the outlets of a splitter",
    )
    alternatives_required = Message[()](
        "a requirement is one limit: `or` is not allowed", "write each limit on its own line"
    )
    equality_required = Message[str](
        "`{operator}` can't be required of a result", "use `<=`, `>=` or `within ... to ...`"
    )
    function_of_results = Message[str](
        "`{function}` of results can't be required",
        "write a line for each result: then all must hold",
    )
    band_in_rule = Message[()](
        "`meets` is not allowed in a rule", "`meets` belongs in a `require` line"
    )


class E0208(Fault):
    """`let` lines in a circle

    Each of the names depends on the other.

    Wrong: let a = 2 * b
           let b = a / 2
    Right: let b = 5 mm
           let a = 2 * b
    """

    circle = Message[Iterable[str]](
        "`let` lines define each other in a circle: {names:chain}",
        "give one of them a value that does not depend on the others",
    )


class E0209(Fault):
    """no such result

    A requirement names a result by a product, feed, machine or deck and the quantity.

    Wrong: require chips <= 15 mm
    Right: require chips.p80 <= 15 mm
    """

    no_result = Unknown[str, str]("{owner} has no result `{name}`")

    which_result = Message[str, Iterable[str]](
        "which result of {owner}?", "{known:known here}", "choose a member"
    )

    nothing_required = Message[()](
        "this requirement contains no result of the plant",
        "name a result, such as `chips.rate` or `secondary.load`",
    )
    not_a_product = Message[str]("`{path}` is not a product", "only a product can meet a band")
    size_missing = Message[str]("`{name}` needs a size", "write `{name}(5 mm)`")
    one_size = Message[str]("`{name}` takes one size", "write `{name}(5 mm)`")

    section = Unknown[str]("`{path}` is not a machine, feed or product", compared=None)

    port = Message[str](
        "`{path}` is not a machine, feed or product", "a port of a template has no results"
    )
