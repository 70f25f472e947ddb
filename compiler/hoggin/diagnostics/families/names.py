"""E02: names and files."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from hoggin.diagnostics.fault import Fault, Message, Unknown
from hoggin.diagnostics.suggest import did_you_mean, known_here


class E0201(Fault):
    title = "an unknown name"
    why = """No such name is declared in the block, in the file or in the library it is looked for
    in. Capital and small letters differ."""
    wrong = "shot_rock -> primry"
    right = "shot_rock -> primary"

    unknown = Unknown[str]("unknown name `{name}`")
    member_elsewhere = Message[str, str](
        "unknown name `{name}`", "did you mean `{library}.{name}`?", "replace"
    )
    library_not_used = Message[str, str](
        "unknown name `{name}`", "add `use {library}` at the top of the file", "use a library"
    )

    @classmethod
    def not_in_library(cls, name: str, library: str, known: Iterable[str]) -> Self:
        return cls(f"unknown name `{name}` in `{library}`", did_you_mean(name, known), "replace")

    not_a_library = Message[str]("`{path}`: only a library has names after a dot")
    not_in_plant = Unknown[str]("unknown machine, feed or product `{name}`")
    function = Unknown[str]("unknown function `{name}`")

    @classmethod
    def no_let_to_vary(cls, name: str, known: Iterable[str]) -> Self:
        return cls(f"the plant's file has no `let {name}` to vary", did_you_mean(name, known))

    @classmethod
    def no_fact_to_vary(cls, owner: str, name: str, known: Iterable[str]) -> Self:
        return cls(
            f"the plant declares no `{owner}` that states `{name}`", did_you_mean(name, known)
        )


class E0202(Fault):
    title = "declared twice"
    why = "A name, setting or size has one value. Both places are shown."
    wrong = "css 12 mm\ncss 14 mm"
    right = "css 12 mm"

    declared = Message[str](
        "`{name}` is declared twice", "rename one of them", note="first declared"
    )
    set_twice = Message[str]("`{name}` is set twice", "keep one of them", note="first set")
    deck = Message[str](
        "there are two decks `{name}`",
        "decks are named top, second (or middle), third, bottom",
        note="the first",
    )
    size = Message[()]("this size is listed twice", "keep one of them", note="the first")
    outlet = Message[str]("there are two outlets `{name}`", "rename one of them", note="the first")
    revision = Message[str](
        "revision `{mark}` is listed twice",
        "give each revision a mark of its own",
        note="first listed",
    )


class E0203(Fault):
    title = "a library can't be used"
    why = """`use std.NAME` reaches the compiler's own library, and `use "FILE.hog" as NAME` a file
    of your own, by its path from the file it stands in."""
    wrong = "use our_machines"
    right = 'use "our_machines.hog" as ours'

    without_alias = Message[str](
        "a file needs a name to be used by", 'write `use "{file}" as NAME`'
    )

    @classmethod
    def not_standard(cls, path: str) -> Self:
        name = path.rpartition(".")[2]
        return cls(
            f"`{path}` is not a standard library",
            f"standard libraries begin with `std.`; for a file of your own write "
            f'`use "{name}.hog" as {name}`',
        )

    @classmethod
    def unreadable(cls, shown: str, fault: str, known: Iterable[str]) -> Self:
        return cls(f"can't use `{shown}`: {fault}", did_you_mean(shown, known), "replace")


class E0204(Fault):
    title = "files use each other in a circle"
    why = """A file that uses another can't be used by it, directly or by a third. Move what they
    share into a file of its own."""

    @classmethod
    def circle(cls, files: Iterable[str]) -> Self:
        return cls(
            "files use each other in a circle: " + " -> ".join(files),
            "move what they share into a third file",
        )


class E0205(Fault):
    title = "a `use` leads out of the project"
    why = """A plant must be complete in its own folder and revision history, so a `use` reaches no
    file outside the project root: the nearest folder with a `.git`, or else the plant's own folder.
    Links are followed first."""
    wrong = 'use "../../elsewhere/cones.hog" as cones'
    right = 'use "lib/cones.hog" as cones'

    outside = Message[str](
        "this `use` leads out of the project root",
        "keep library files under `{root}/`, the folder with `.git` (or the plant's own folder)",
    )


class E0206(Fault):
    title = "not one plant"
    why = "A file holds one plant, or none and is a library."

    second = Message[()](
        "there is a second plant in this file",
        "give each plant its own file; shared parts go in a library",
    )


_BELONGS = {
    "use": "`use` lines stand at the top of a file, outside every block",
    "let": "`let` belongs in a file, class, template or plant",
    "require": "`require` belongs in a plant or template",
    "rule": "`rule` belongs in a machine class",
    "class": "a class stands at the top of a file",
    "template": "a template stands at the top of a file",
    "setting": "`setting` belongs in a machine class",
    "plant": "a plant stands at the top of a file",
    "series": "a series stands at the top of a file",
    "model": "`model` belongs in a machine class",
    "deck": "a deck belongs in a screen",
    "port": "`in` and `out` belong in a template, `out` also in a splitter",
    "route": "routes belong in a plant or template",
    "machine": "machines, feeds and products belong in a plant or template",
    "definition": "named materials, bands and gradings stand at the top of a file",
    "aim": "`aim` belongs in a plant",
    "choose": "`choose` stands directly in a plant, not inside another `choose`",
    "option": "an `option` belongs in a `choose`",
    "fact": "facts belong in the block of what they describe",
}


class E0207(Fault):
    title = "a line in the wrong place"
    why = """Each kind of line has its block: a deck stands in a screen, a route in a plant or
    template, a rule in a class."""
    wrong = 'plant "Hill" {\n  deck top 20 mm\n}'
    right = 'plant "Hill" {\n  screen sizing: screens.inclined(...) { deck top 20 mm }\n}'

    @classmethod
    def misplaced(cls, word: str, kind: str, where: str) -> Self:
        """`kind`: a key of the table of where lines belong."""
        return cls(f"{word} is not allowed {where}", _BELONGS.get(kind, ""))

    share_of_port = Message[()](
        "a template's port has no share", "shares belong to the outlets of a splitter"
    )
    alternatives_required = Message[()](
        "a requirement is one limit: `or` is not allowed", "write each limit on its own line"
    )
    equality_required = Message[str](
        "`{operator}` can't be required of a result", "use `<=`, `>=` or `between ... and ...`"
    )
    function_of_results = Message[str](
        "`{function}` of results can't be required",
        "write a line for each result: then all must hold",
    )
    band_in_rule = Message[()](
        "`meets` is not allowed in a rule", "`meets` belongs in a `require` line"
    )


class E0208(Fault):
    title = "`let` lines in a circle"
    why = "Each name would have to be known before the other."
    wrong = "let a = 2 * b\nlet b = a / 2"
    right = "let b = 5 mm\nlet a = 2 * b"

    @classmethod
    def circle(cls, names: Iterable[str]) -> Self:
        return cls(
            "`let` lines define each other in a circle: " + " -> ".join(names),
            "give one of them a value of its own",
        )


class E0209(Fault):
    title = "no such result"
    why = """A requirement asks for a result by the name of a product, feed, machine or deck and
    what is wanted of it."""
    wrong = "require chips <= 15 mm"
    right = "require chips.p80 <= 15 mm"

    no_result = Unknown[str, str]("{owner} has no result `{name}`")

    @classmethod
    def which_result(cls, owner: str, known: Iterable[str]) -> Self:
        return cls(f"which result of {owner}?", known_here(known), "choose a member")

    nothing_required = Message[()](
        "this requirement contains no result of the plant",
        "name a result, such as `chips.rate` or `secondary.load`",
    )
    not_a_product = Message[str]("`{path}` is not a product", "only a product can meet a band")
    size_missing = Message[str]("`{name}` needs a size", "write `{name}(5 mm)`")
    one_size = Message[str]("`{name}` takes one size", "write `{name}(5 mm)`")

    @classmethod
    def section(cls, path: str, known: Iterable[str]) -> Self:
        return cls(
            f"`{path}` is not a machine, feed or product",
            did_you_mean("", known),
            "replace",
        )

    port = Message[str](
        "`{path}` is not a machine, feed or product", "a port of a template has no results"
    )
