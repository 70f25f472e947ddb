"""E02: names and files."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.suggest import did_you_mean, known_here


class E0201(Fault):
    title = "an unknown name"
    why = (
        "No such name is declared in the block, in the file or in the library it is looked for in. "
        "Capital and small letters differ."
    )
    wrong = "shot_rock -> primry"
    right = "shot_rock -> primary"

    @classmethod
    def unknown(cls, name: str, known: Iterable[str]) -> Self:
        return cls(f"unknown name `{name}`", did_you_mean(name, known), "replace")

    @classmethod
    def member_elsewhere(cls, name: str, library: str) -> Self:
        return cls(f"unknown name `{name}`", f"did you mean `{library}.{name}`?", "replace")

    @classmethod
    def library_not_used(cls, name: str, library: str) -> Self:
        return cls(
            f"unknown name `{name}`",
            f"add `use {library}` at the top of the file",
            "use a library",
        )

    @classmethod
    def not_in_library(cls, name: str, library: str, known: Iterable[str]) -> Self:
        return cls(f"unknown name `{name}` in `{library}`", did_you_mean(name, known), "replace")

    @classmethod
    def not_a_library(cls, path: str) -> Self:
        return cls(f"`{path}`: only a library has names after a dot")

    @classmethod
    def not_in_plant(cls, name: str, known: Iterable[str]) -> Self:
        return cls(
            f"unknown machine, feed or product `{name}`", did_you_mean(name, known), "replace"
        )

    @classmethod
    def function(cls, name: str, known: Iterable[str]) -> Self:
        return cls(f"unknown function `{name}`", did_you_mean(name, known), "replace")

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

    @classmethod
    def declared(cls, name: str) -> Self:
        return cls(f"`{name}` is declared twice", "rename one of them", note="first declared")

    @classmethod
    def set_twice(cls, name: str) -> Self:
        return cls(f"`{name}` is set twice", "keep one of them", note="first set")

    @classmethod
    def deck(cls, name: str) -> Self:
        return cls(
            f"there are two decks `{name}`",
            "decks are named top, second (or middle), third, bottom",
            note="the first",
        )

    @classmethod
    def size(cls) -> Self:
        return cls("this size is listed twice", "keep one of them", note="the first")

    @classmethod
    def outlet(cls, name: str) -> Self:
        return cls(f"there are two outlets `{name}`", "rename one of them", note="the first")

    @classmethod
    def revision(cls, mark: str) -> Self:
        return cls(
            f"revision `{mark}` is listed twice",
            "give each revision a mark of its own",
            note="first listed",
        )


class E0203(Fault):
    title = "a library can't be used"
    why = (
        '`use std.NAME` reaches the compiler\'s own library, and `use "FILE.hog" as NAME` a file '
        "of your own, by its path from the file it stands in."
    )
    wrong = "use our_machines"
    right = 'use "our_machines.hog" as ours'

    @classmethod
    def without_alias(cls, file: str) -> Self:
        return cls("a file needs a name to be used by", f'write `use "{file}" as NAME`')

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
    why = (
        "A file that uses another can't be used by it, directly or by a third. Move what they "
        "share into a file of its own."
    )

    @classmethod
    def circle(cls, files: Iterable[str]) -> Self:
        return cls(
            "files use each other in a circle: " + " -> ".join(files),
            "move what they share into a third file",
        )


class E0205(Fault):
    title = "a `use` leads out of the project"
    why = (
        "A plant must be complete in its own folder and revision history, so a `use` reaches no "
        "file outside the project root: the nearest folder with a `.git`, or else the plant's own "
        "folder. Links are followed first."
    )
    wrong = 'use "../../elsewhere/cones.hog" as cones'
    right = 'use "lib/cones.hog" as cones'

    @classmethod
    def outside(cls, root: str) -> Self:
        return cls(
            "this `use` leads out of the project root",
            f"keep library files under `{root}/`, the folder with `.git` (or the plant's own "
            "folder)",
        )


class E0206(Fault):
    title = "not one plant"
    why = "A file holds one plant, or none and is a library."

    @classmethod
    def second(cls) -> Self:
        return cls(
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
    why = (
        "Each kind of line has its block: a deck stands in a screen, a route in a plant or "
        "template, a rule in a class."
    )
    wrong = 'plant "Hill" {\n  deck top 20 mm\n}'
    right = 'plant "Hill" {\n  screen sizing: screens.inclined(...) { deck top 20 mm }\n}'

    @classmethod
    def misplaced(cls, word: str, kind: str, where: str) -> Self:
        """`kind`: a key of the table of where lines belong."""
        return cls(f"{word} is not allowed {where}", _BELONGS.get(kind, ""))

    @classmethod
    def share_of_port(cls) -> Self:
        return cls("a template's port has no share", "shares belong to the outlets of a splitter")

    @classmethod
    def alternatives_required(cls) -> Self:
        return cls(
            "a requirement is one limit: `or` is not allowed",
            "write each limit on its own line",
        )

    @classmethod
    def equality_required(cls, operator: str) -> Self:
        return cls(
            f"`{operator}` can't be required of a result",
            "use `<=`, `>=` or `between ... and ...`",
        )

    @classmethod
    def function_of_results(cls, function: str) -> Self:
        return cls(
            f"`{function}` of results can't be required",
            "write a line for each result: then all must hold",
        )

    @classmethod
    def band_in_rule(cls) -> Self:
        return cls("`meets` is not allowed in a rule", "`meets` belongs in a `require` line")


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
    why = (
        "A requirement asks for a result by the name of a product, feed, machine or deck and what "
        "is wanted of it."
    )
    wrong = "require chips <= 15 mm"
    right = "require chips.p80 <= 15 mm"

    @classmethod
    def no_result(cls, owner: str, name: str, known: Iterable[str]) -> Self:
        return cls(f"{owner} has no result `{name}`", did_you_mean(name, known), "replace")

    @classmethod
    def which_result(cls, owner: str, known: Iterable[str]) -> Self:
        return cls(f"which result of {owner}?", known_here(known), "choose a member")

    @classmethod
    def nothing_required(cls) -> Self:
        return cls(
            "this requirement contains no result of the plant",
            "name a result, such as `chips.rate` or `secondary.load`",
        )

    @classmethod
    def not_a_product(cls, path: str) -> Self:
        return cls(f"`{path}` is not a product", "only a product can meet a band")

    @classmethod
    def size_missing(cls, name: str) -> Self:
        return cls(f"`{name}` needs a size", f"write `{name}(5 mm)`")

    @classmethod
    def one_size(cls, name: str) -> Self:
        return cls(f"`{name}` takes one size", f"write `{name}(5 mm)`")

    @classmethod
    def section(cls, path: str, known: Iterable[str]) -> Self:
        return cls(
            f"`{path}` is not a machine, feed or product",
            did_you_mean("", known),
            "replace",
        )

    @classmethod
    def port(cls, path: str) -> Self:
        return cls(
            f"`{path}` is not a machine, feed or product", "a port of a template has no results"
        )
