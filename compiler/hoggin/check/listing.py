"""What documents call the things of a plant: `title`, `tag`, `sheet`, `note`, `existing`.

A thing states them in its block. A section may state them of the things of its template, `section
line_a: line() { cone.tag "20-CR-101" }`, since no two things have the same tag.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from hoggin.check.evaluate import text_of
from hoggin.check.loader import misplaced
from hoggin.check.network import Body, Network, Node
from hoggin.check.scope import Scope, Session, once
from hoggin.diagnostics.families.classes import E0403
from hoggin.diagnostics.families.names import E0201, E0202
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of, listed_of
from hoggin.syntax import tree

Said = dict[str, "str | bool | tuple[str, ...]"]  # by the field of a `Listed`
_EXISTING, _SHEET, _TAG = "existing", "sheet", "tag"
_FIELDS = {_TAG: "item_tag"}  # a `Listed` calls the name of the thing its tag
_OF_SECTION = facts_of("section")
_OF_ANY = listed_of("splitter")  # a machine states all of them


@dataclass(frozen=True, slots=True)
class _Line:
    """A line and the scope that its names are in."""

    fact: tree.Fact
    scope: Scope


@dataclass(eq=False)
class Listing:
    """Reads these lines for one plant. `given` are those that sections state, by the tag of the
    thing, then by name; `sheets` those of whole sections; `tags` where each tag was first stated,
    and of what."""

    session: Session
    given: dict[str, dict[str, _Line]] = field(default_factory=dict)
    sheets: dict[str, _Line] = field(default_factory=dict)
    tags: dict[str, tuple[Span, str]] = field(default_factory=dict)

    def of(self, node: tree.Declaration, tag: str, scope: Scope) -> Said:
        """What is stated of a feed, machine or product, in its block or at its section."""
        known = listed_of(node.kind.text)
        lines: dict[str, _Line] = {}
        first: dict[str, Span] = {}
        notes = [one.text.text for one in node.body if isinstance(one, tree.Note)]
        if _SHEET in known and (sheet := self._sheet_around(tag)) is not None:
            lines[_SHEET] = sheet
        for line in node.body:
            if isinstance(line, tree.Fact) and line.name.text in known:
                once(first, line.name, self.session)
                lines[line.name.text] = _Line(line, scope)
        at_section = self.given.get(tag, {})
        lines |= {name: line for name, line in at_section.items() if name in known}
        found: Said = {"notes": tuple(sorted(notes))} if notes else {}
        for name, one in lines.items():
            self._read(name, one, tag, found)
        return found

    def within(self, node: tree.Declaration, tag: str, scope: Scope) -> list[tree.DottedIdent]:
        """Note what a section states of the things in it; what an outer section states goes first.
        Returns the names it states it of."""
        stated: list[tree.DottedIdent] = []
        first: dict[str, Span] = {}
        for line in node.body:
            if not isinstance(line, tree.Fact):
                misplaced(line, "in a section", self.session)
            elif not once(first, line.name, self.session):
                continue
            elif isinstance(line.name, tree.DottedIdent):
                self._of_part(line, line.name, tag, scope)
                stated.append(line.name)
            elif line.name.text in _OF_SECTION:
                self.sheets[tag] = _Line(line, scope)
            else:
                unknown = E0403.unknown("a section", line.name.text, _OF_SECTION)
                self.session.report(unknown, line.name.span)
        return stated

    def _of_part(self, line: tree.Fact, name: tree.DottedIdent, tag: str, scope: Scope) -> None:
        owner, _, last = name.text.rpartition(".")
        if last in _OF_ANY:
            self.given.setdefault(f"{tag}.{owner}", {}).setdefault(last, _Line(line, scope))
        else:
            self.session.report(E0403.of_section(last, _OF_ANY), name.parts[-1].span)

    def check(self, stated: list[tree.DottedIdent], section: Body, network: Network) -> None:
        """Note what the names stand for, and report those that are of nothing in the section."""
        inside = section.prefix
        things = {t: n for t, n in network.nodes.items() if n.kind != "port"}
        names = [tag.removeprefix(inside) for tag in things if tag.startswith(inside)]
        for name in stated:
            owner, _, last = name.text.rpartition(".")
            node = things.get(inside + owner)
            self._note(name.parts[:-1], section)
            if node is None:
                if not network.damaged:
                    self.session.report(E0201.not_in_plant(owner, names), name.span)
            elif last in _OF_ANY and last not in listed_of(node.word):
                fault = E0403.unknown(f"a {node.word}", last, listed_of(node.word))
                self.session.report(fault, name.parts[-1].span)

    def _note(self, parts: tuple[tree.Ident, ...], body: Node | Body | None) -> None:
        for part in parts:
            if not isinstance(body, Body) or part.text not in body.idents:
                return
            self.session.names.uses[part] = body.idents[part.text]
            body = body.names[part.text]

    def _sheet_around(self, tag: str) -> _Line | None:
        """That of the nearest section around a thing."""
        while tag:
            tag = tag.rpartition(".")[0]
            if tag in self.sheets:
                return self.sheets[tag]
        return None

    def _read(self, name: str, line: _Line, tag: str, found: Said) -> None:
        fact, report = line.fact, self.session.report
        if name == _EXISTING:
            found[name] = True
            if fact.value is not None or fact.entries is not None:
                report(E0403.stands_alone(name), fact.span)
            return
        if fact.value is None:
            report(E0403.no_value_such_as(name, _OF_ANY[name].sample), fact.span)
            return
        text = text_of(fact.value, name, line.scope, self.session)
        if text is None:
            return
        found[_FIELDS.get(name, name)] = text
        if name == _TAG:
            self._claim(text, fact.span, tag)

    def _claim(self, text: str, span: Span, tag: str) -> None:
        """A tag stands for one thing. The line of a template is read again for each section."""
        at, first = self.tags.setdefault(text, (span, tag))
        if first == tag:
            return
        if at == span:
            part = f"{tag.rpartition('.')[2]}.{_TAG}"
            self.session.report(E0202.tag_of_template(text, first, tag, part), span)
        else:
            self.session.report(E0202.tag(text), span, at)
