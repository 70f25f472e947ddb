"""Our text with their changes put into it, statement by statement: our statements stay as they are,
with comments and layout."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from hoggin.revise.merge.choices import Choice, Choices
from hoggin.revise.merge.facts import ROOT
from hoggin.revise.merge.page import Edit, Item, Page, edited
from hoggin.revise.merge.routes import Routes
from hoggin.revise.why.lines import Block, Path
from hoggin.syntax import tree

Marked = Callable[[str, str], str]
"""Lines of ours and of theirs, as the lines that stand for a conflict of them."""

_STEP = "  "
_PARTED = re.compile(r"[ \t]*;[ \t]*")


def written(ours: Page, theirs: Page, choices: Choices, marked: Marked) -> str:
    """Our text with the choices made, and conflicts as `marked` writes them."""
    writer = _Writer(ours, theirs, choices, marked)
    return edited(ours.text, list(writer.block(ROOT, None)))


class _Writer:
    def __init__(self, ours: Page, theirs: Page, choices: Choices, marked: Marked) -> None:
        self._ours, self._theirs, self._choices = ours, theirs, choices
        self._marked = marked
        self._routes = Routes(choices)
        self._parts: dict[Path, list[Path]] = {}  # of heads of blocks: arguments, parameters, title
        for key in choices.by_path:
            if key[-1].startswith(("argument ", "parameter ")) or key[-1] == "title":
                self._parts.setdefault(key[:-1], []).append(key)

    def block(self, path: Path, head: Item | None) -> Iterator[Edit]:
        """The edits within a block of ours, or of the file."""
        ours, theirs = self._ours.bodies.get(path, ()), self._theirs.bodies.get(path, ())
        extra = self._routes.added(theirs)
        for item in ours:
            if isinstance(item.node, tree.Route):
                yield from self._route(item, item.node, extra)
            else:
                yield from self._statement(item)
        yield from self._added(ours, theirs, head, extra)

    # -- what both have, or we alone -----------------------------------------------------------

    def _statement(self, item: Item) -> Iterator[Edit]:
        path = item.path
        choice = self._choices.by_path[path]
        other = self._theirs.items.get(path)
        is_block = isinstance(item.node, Block)
        if path in self._choices.broken or (choice is Choice.CONFLICT and not is_block):
            yield self._conflict(item, other)
        elif self._choices.gone(path) or (is_block and self._choices.left_to_a_route(path)):
            yield self._taken_out(item)
        elif is_block:
            yield from self._head(item, other)
            yield from self.block(path, item)
        elif choice is Choice.THEIRS and other is not None:
            yield self._replaced(item, other)

    def _taken_out(self, item: Item) -> Edit:
        page = self._ours
        rest = page.rest(item.end)
        if page.begins_line(item.start) and rest is not None:
            return Edit(page.line_start(item.start), min(rest.end() + 1, len(page.text)), "")
        parted = _PARTED.match(page.text, item.end)
        if parted is not None:
            return Edit(item.start, parted.end(), "")
        return Edit(len(page.text[: item.start].rstrip(" \t;")), item.end, "")

    def _replaced(self, item: Item, other: Item) -> Edit:
        """Their statement for ours; with their comment after it, where they have another."""
        text = self._moved(other.text, other, self._ours.indent(item.start))
        own, given = self._ours.comment(item), self._theirs.comment(other)
        rest = self._ours.rest(item.end)
        if given and given.strip() != own.strip() and rest is not None:
            return Edit(item.start, rest.end(), text + given)
        return Edit(item.start, item.end, text)

    def _conflict(self, item: Item, other: Item | None) -> Edit:
        indent = self._ours.indent(item.start)
        if not self._ours.begins_line(item.start):
            indent += _STEP
        said, end = item.text, item.end
        given = "" if other is None else self._moved(other.text, other, indent)
        rest = self._ours.rest(end)
        if rest is not None:  # a comment goes with its statement
            said, end = said + self._ours.text[end : rest.end()].rstrip("; \t"), rest.end()
            given += self._theirs.comment(other) if other is not None else ""
        return Edit(item.start, end, self._marked_lines(said, given, indent), apart=True)

    def _marked_lines(self, ours: str, theirs: str, indent: str) -> str:
        sides = (f"{indent}{side}\n" if side else "" for side in (ours, theirs))
        return self._marked(*sides)

    def _moved(self, text: str, other: Item, indent: str) -> str:
        return self._theirs.moved(text, other.start, indent)

    # -- heads of blocks -----------------------------------------------------------------------

    def _head(self, item: Item, other: Item | None) -> Iterator[Edit]:
        if other is None:
            return
        keys = [item.path, *self._parts.get(item.path, ())]
        chosen = [self._choices.by_path[key] for key in keys]
        page, brace = self._ours, self._ours.opening(item)
        end = item.start + len(page.head(item))
        if Choice.CONFLICT in chosen:
            opens = "" if brace is None else " {"
            ours, theirs = (self._composed(item, side) for side in (Choice.OURS, Choice.THEIRS))
            lines = self._marked_lines(ours + opens, theirs + opens, page.indent(item.start))
            yield Edit(item.start, end if brace is None else brace + 1, lines, apart=True)
        elif Choice.THEIRS in chosen:
            theirs_whole = all(self._choices.taken_from_theirs(key) for key in keys)
            text = self._theirs.head(other) if theirs_whole else self._composed(item, Choice.OURS)
            yield Edit(item.start, end, self._moved(text, other, page.indent(item.start)))

    def _composed(self, item: Item, settled: Choice) -> str:
        """The head from the parts that were chosen; a conflict is settled as said."""

        def node(key: Path) -> tree.Node | None:
            choice = self._choices.by_path[key]
            choice = settled if choice is Choice.CONFLICT else choice
            side = self._choices.ours if choice is Choice.OURS else self._choices.theirs
            return side[key].line.node if key in side else None

        keys = [item.path, *self._parts.get(item.path, ())]
        found = [part for part in map(node, keys) if part is not None]
        head, parts = found[0], [part.span.text for part in found[1:]]
        listed = f"({', '.join(parts)})"
        match head:
            case tree.Declaration(kind=kind, name=name, of=of):
                of_class = "" if of is None else f": {of.dotted}{listed if parts else ''}"
                return f"{kind.text} {name.text}{of_class}"
            case tree.ClassDefinition(kind=kind, name=name):
                return f"class {kind.text} {name.text}{listed}"
            case tree.TemplateDefinition(name=name):
                return f"template {name.text}{listed}"
            case tree.PlantDefinition():
                return f"plant {parts[0]}"
        side = self._theirs if head.span.source is self._theirs.file.source else self._ours
        return side.head(side.items[item.path])

    # -- routes --------------------------------------------------------------------------------

    def _route(self, item: Item, node: tree.Route, extra: dict[Path, tree.Route]) -> Iterator[Edit]:
        """A chain of ours, some of whose steps lead elsewhere now."""
        if not self._routes.changed(item.keys):
            return
        chains, conflicts = self._routes.rewritten(item.keys, node, extra)
        indent = self._ours.indent(item.start)
        alone = self._ours.begins_line(item.start) and self._ours.rest(item.end) is not None
        if conflicts:
            lines = "".join(f"{indent}{chain}\n" for chain in chains)
            lines += "".join(self._marked_lines(*sides, indent) for sides in conflicts)
            yield Edit(item.start, item.end, lines, apart=True)
        elif chains:
            parted = f"\n{indent}" if alone else "; "
            yield Edit(item.start, item.end, parted.join(chains))
        else:
            yield self._taken_out(item)

    # -- what they alone have ------------------------------------------------------------------

    def _added(
        self,
        ours: Sequence[Item],
        theirs: Sequence[Item],
        head: Item | None,
        extra: dict[Path, tree.Route],
    ) -> Iterator[Edit]:
        """Their statements that we lack, each after the one it is after with them."""
        known = {key: item for item in ours for key in item.keys}
        inner = "" if head is None else self._ours.indent(head.start) + _STEP
        homeless = ""
        for place, item in enumerate(theirs):
            before = next((known[k] for i in theirs[place::-1] for k in i.keys if k in known), None)
            after = next((known[k] for i in theirs[place:] for k in i.keys if k in known), None)
            for text, is_conflict in self._to_add(item, known, extra):
                anchor = before or after
                if anchor is None:
                    homeless += self._lines(item, text, inner, is_conflict)
                else:
                    behind = before is not None
                    yield self._beside(anchor, item, text, is_conflict, behind=behind)
        if homeless:
            yield self._into(head, homeless)

    def _to_add(
        self, item: Item, known: dict[Path, Item], extra: dict[Path, tree.Route]
    ) -> Iterator[tuple[str, bool]]:
        """What to put in of a statement of theirs, and whether it is in conflict with our having
        taken it out."""
        if isinstance(item.node, tree.Route):
            steps = {key: extra.pop(key) for key in item.keys if key in extra}
            whole = len(steps) == len(item.keys)
            texts = [item.text] if whole else self._routes.chains(steps, {})
            yield from ((text, False) for text in texts)
            gone = [key for key in item.keys if self._routes.gone_with_us(key)]
            yield from ((self._routes.theirs_of(key), True) for key in gone)
            return
        path, choices = item.path, self._choices
        if path in known:
            return
        if path in choices.ours:  # a product that a route of ours declares, without a block
            base = choices.base.get(path)
            fresh = base is None or base.of_route
            conflict = not fresh and choices.conflict_below(path)
        else:
            fresh = choices.by_path[path] is Choice.THEIRS
            conflict = path in choices.broken or choices.by_path[path] is Choice.CONFLICT
        if fresh or conflict:
            yield item.text, conflict

    def _lines(self, item: Item, text: str, indent: str, is_conflict: bool) -> str:
        """A statement of theirs as lines of their own, with the comments that go with it."""
        page = self._theirs
        moved = self._moved(text, item, indent)
        if is_conflict:
            return self._marked_lines("", moved, indent)
        if text != item.text or not page.begins_line(item.start):
            return f"{indent}{moved}\n"
        above = page.text[page.above(item) : page.line_start(item.start)]
        comments = "".join(f"{indent}{line.strip()}\n" for line in above.splitlines())
        return f"{comments}{indent}{moved}{page.comment(item)}\n"

    def _beside(
        self, anchor: Item, item: Item, text: str, is_conflict: bool, *, behind: bool
    ) -> Edit:
        """Behind or before a statement of ours; in lines of its own where nothing else of ours
        is on that side of the line."""
        page = self._ours
        indent = page.indent(anchor.start)
        rest = page.rest(anchor.end)
        at = anchor.end if behind else anchor.start
        if behind and rest is not None:
            place = min(rest.end() + 1, len(page.text))
        elif not behind and page.begins_line(at):
            place = page.above(anchor)
        elif is_conflict:
            return Edit(at, at, self._lines(item, text, indent, is_conflict), apart=True)
        else:
            moved = self._moved(text, item, indent)
            return Edit(at, at, f"; {moved}" if behind else f"{moved}; ")
        return Edit(place, place, self._lines(item, text, indent, is_conflict))

    def _into(self, head: Item | None, lines: str) -> Edit:
        """Lines into a block of ours that has none yet, or into an empty file."""
        page = self._ours
        if head is None:
            return Edit(len(page.text), len(page.text), lines)
        brace = page.opening(head)
        indent = page.indent(head.start)
        if brace is None:
            return Edit(head.end, head.end, f" {{\n{lines}{indent}}}")
        return Edit(brace + 1, head.end - 1, f"\n{lines}{indent}")
