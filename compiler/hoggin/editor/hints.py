"""Results of the last balance beside the text: streams on routes, load on machines, and whether
each requirement is met. What is shown of a line is at its end, so no column of the text moves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby, islice, pairwise

from hoggin.diagnostics.source import Span
from hoggin.editor.names import Names, flat
from hoggin.editor.snapshot import Snapshot, step_key
from hoggin.editor.telling import labelled, told
from hoggin.schema.declared import declared
from hoggin.schema.results import MachineResult, RequirementResult, StreamResult
from hoggin.syntax import tree

STALE = "(from the last balance; the text has changed since)"
_LOAD = declared(MachineResult, "load")
_MOST = 3  # sections of one template that are shown one by one


@dataclass(frozen=True, slots=True)
class Hint:
    """Words that an editor shows after an offset: the end of a line."""

    offset: int
    text: str
    tip: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is shown above the line of a requirement, or of the plant."""

    span: Span
    text: str
    met: bool
    is_stale: bool = False  # the text is not the one that was balanced


def hints(snapshot: Snapshot, start: int = 0, end: int | None = None) -> tuple[Hint, ...]:
    """Rate and P80 on each step of a route, load on each machine, within [start, end)."""
    inside = range(start, len(snapshot.source.text) + 1 if end is None else end)
    found = sorted(_hints(snapshot), key=lambda hint: hint.offset)
    joined = [_joined(list(of_line)) for _, of_line in groupby(found, key=lambda one: one.offset)]
    if not snapshot.is_fresh:
        joined = [replace(hint, tip=f"{hint.tip}\n{STALE}") for hint in joined]
    return tuple(hint for hint in joined if hint.offset in inside)


def _joined(of_line: list[Hint]) -> Hint:
    """Several routes of a line, or the steps of one, as one hint."""
    text = " -> ".join(hint.text for hint in of_line)
    return Hint(of_line[0].offset, text, "\n".join(hint.tip for hint in of_line))


def _end_of_line(text: str, offset: int) -> int:
    end = text.find("\n", offset)
    return end if end >= 0 else len(text)


def _hints(snapshot: Snapshot) -> Iterator[Hint]:
    results, balanced = snapshot.results, snapshot.balanced
    if results is None or balanced is None:
        return
    by_name = {stream.name: stream for stream in results.streams}
    sections = sections_of(snapshot)
    for around, statement in _in_bodies(snapshot.file):
        if isinstance(statement, tree.Route):
            for first, second in pairwise(statement.endpoints):
                words = snapshot.source.text[first.path.span.start : second.path.span.end]
                names = balanced.streams.get(step_key(snapshot.name, words), ())
                streams = [by_name[name] for name in names if name in by_name]
                if streams:
                    tip = "\n".join(stream.name for stream in streams)
                    end = _end_of_line(snapshot.source.text, second.path.span.end)
                    yield Hint(end, _listed(map(_stream, streams)), tip)
        elif isinstance(statement, tree.Declaration):
            tags = tags_of(sections, around, statement.name.text)
            machines = [machine for machine in results.machines if machine.tag in tags]
            loads = [text for machine in machines if (text := told(machine, _LOAD.field))]
            if loads:
                text = f"{_LOAD.label} {_listed(loads)}"
                tip = f"{_LOAD.label}: {_LOAD.quantity.meaning}"
                yield Hint(_end_of_line(snapshot.source.text, statement.name.span.end), text, tip)


def _listed(texts: Iterable[str]) -> str:
    """The first few of the texts."""
    first = list(islice(texts, _MOST + 1))
    return " | ".join([*first[:_MOST], *(["..."] if len(first) > _MOST else [])])


def verdicts(snapshot: Snapshot) -> tuple[Verdict, ...]:
    """What became of each requirement in the last balance."""
    results = snapshot.results
    if results is None:
        return ()
    found: list[Verdict] = []
    for _, statement in _in_bodies(snapshot.file):
        if isinstance(statement, tree.Requirement) and not statement.cases:
            condition = statement.condition
            for part in condition.conditions if isinstance(condition, tree.All) else (condition,):
                text = " ".join(part.span.text.split())
                of_part = [r for r in results.requirements if _is_of(r, text)]
                if of_part:
                    words = "; ".join(_verdict(one) for one in of_part[:_MOST])
                    met = all(one.met for one in of_part)
                    found.append(Verdict(statement.span, words, met, not snapshot.is_fresh))
    return tuple(found)


def summary(snapshot: Snapshot) -> Verdict | None:
    """Above the plant: what became of its requirements, and what a click does."""
    results = snapshot.results
    plants = [s for s in snapshot.file.statements if isinstance(s, tree.PlantDefinition)]
    if results is None or not plants:
        return None
    asked = [one for one in results.requirements if one.met is not None]
    met = sum(1 for one in asked if one.met)
    text = f"{met} of {len(asked)} requirements met" if asked else "no requirements judged"
    words = f"{text}; show the flowsheet"
    return Verdict(plants[0].span, words, met == len(asked), not snapshot.is_fresh)


def requirement_words(snapshot: Snapshot, node: tree.Requirement) -> str:
    """The same for one requirement."""
    of_line = [one.text for one in verdicts(snapshot) if one.span.start == node.span.start]
    return "; ".join(of_line)


def _verdict(result: RequirementResult) -> str:
    word = result.verdict
    told = not result.limit_text or "wanted" in result.value_text
    limit = "" if told else f" (wanted {result.limit_text})"
    margin = f", margin {result.margin_text}" if result.margin_text else ""
    section = result.text.partition(": ")[0] + ": " if result.text.startswith("in ") else ""
    return f"{section}{word}: {result.value_text}{limit}{margin}"


def _is_of(result: RequirementResult, text: str) -> bool:
    inside = result.text.startswith("in ") and result.text.partition(": ")[2] == text
    return inside or result.text == text


def _in_bodies(file: tree.File) -> Iterator[tuple[tree.Statement, tree.Statement]]:
    """Every statement of plants and templates, with the plant or template it is in. Of a
    `choose` only what applies: the other options were not balanced."""
    for statement in file.statements:
        if isinstance(statement, tree.PlantDefinition | tree.TemplateDefinition):
            for inner in _standing(statement.body):
                yield statement, inner


def _standing(body: tuple[tree.Statement, ...]) -> Iterator[tree.Statement]:
    for statement in body:
        if not isinstance(statement, tree.Choose):
            yield statement
        elif (option := statement.standing) is not None:
            yield from _standing(option.body)


def sections_of(snapshot: Snapshot) -> Mapping[tuple[str, int], tuple[str, ...]]:
    """The tags of the sections that stand for a template in the document's plant, by the
    template's key: `tertiary`, `lines.north`."""
    found: dict[tuple[str, int], list[str]] = {}
    for statement in snapshot.file.statements:
        if isinstance(statement, tree.PlantDefinition):
            _gather(snapshot.names, statement.body, "", found, ())
    return {key: tuple(tags) for key, tags in found.items()}


def _gather(
    names: Names,
    body: tuple[tree.Statement, ...],
    prefix: str,
    found: dict[tuple[str, int], list[str]],
    around: tuple[tuple[str, int], ...],
) -> None:
    for node in flat(body):
        if not isinstance(node, tree.Declaration) or node.kind.text != "section":
            continue
        template = names.type_of(node)
        if template is None or not isinstance(template.node, tree.TemplateDefinition):
            continue
        tags = found.setdefault(template.key, [])
        if template.key in around or len(tags) >= 1000:
            continue
        tags.append(prefix + node.name.text)
        inner = (*around, template.key)
        _gather(names, template.node.body, f"{prefix}{node.name.text}.", found, inner)


def tags_of(
    sections: Mapping[tuple[str, int], tuple[str, ...]], around: tree.Statement | None, name: str
) -> set[str]:
    if isinstance(around, tree.PlantDefinition):
        return {name}
    if isinstance(around, tree.TemplateDefinition):
        key = (around.span.source.name, around.name.span.start)
        return {f"{section}.{name}" for section in sections.get(key, ())}
    return set()


def _stream(stream: StreamResult) -> str:
    return ", ".join(filter(None, (told(stream, "rate_t_h"), labelled(stream, "p80_mm"))))
