"""Edits in words."""

from __future__ import annotations

from dataclasses import replace

from hoggin.revise.why.edits import Change, Edit, place
from hoggin.revise.why.lines import Line
from hoggin.revise.why.meaning import meaning, meaning_of_parameter
from hoggin.syntax import tree

_MOST_ENTRIES = 3  # of a list that are shown
_LONGEST = 90


def told(edit: Edit) -> tuple[str, ...]:
    """Each change of an edit, what was added or removed first."""
    ordered = sorted(
        edit.changes, key=lambda c: (not c.whole, c.whole and isinstance(c.line.node, tree.Route))
    )
    return tuple(map(tell, ordered))


def places(edit: Edit) -> tuple[str, ...]:
    """`quarry.hog:58` of each change, in order, none twice; what AFTER lacks as it was BEFORE."""
    return tuple(dict.fromkeys(map(_place, edit.changes)))


def _place(change: Change) -> str:
    name, line, _ = place(change)
    return f"{name}:{line}" + (" in BEFORE" if change.after is None else "")


def tell(change: Change) -> str:
    old, new = change.before, change.after
    if old is None:
        return f"added {_whole(change.line)}"
    if new is None:
        return f"removed {_whole(change.line)}"
    if isinstance(new.node, tree.Route):
        start = new.node.endpoints[0].path.dotted
        return f"route {start} -> {new.said}, was to {old.said}"
    if isinstance(old.node, tree.Fact) and isinstance(new.node, tree.Fact):
        was, now = old.node.entries, new.node.entries
        if was is not None and now is not None:
            return f"{new.label}: {_entries(was, now)}"
    if isinstance(new.node, tree.ModelDefinition) and new.words in ("first", "other"):
        said = "now the default" if new.words == "first" else "no longer the default"
        return f"{new.label} is {said}"
    default = _defaults(old.node, new.node)
    if default is not None:
        return f"default of {new.label}: {default[1]}, was {default[0]}"
    return f"{new.label}: {_short(new.said) or 'none'}, was {_short(old.said) or 'none'}"


def _defaults(old: tree.Node, new: tree.Node) -> tuple[str, str] | None:
    """Both defaults of a parameter that has nothing else changed; None for anything else."""
    a, b = (n.parameter if isinstance(n, tree.SettingDefinition) else n for n in (old, new))
    if not (isinstance(a, tree.Parameter) and isinstance(b, tree.Parameter)):
        return None
    if a.default is None or b.default is None:
        return None
    bare = (meaning_of_parameter(replace(one, default=None)) for one in (a, b))
    return (a.default.span.text, b.default.span.text) if len(set(bare)) == 1 else None


def _whole(line: Line) -> str:
    """A line that only one side has."""
    if isinstance(line.node, tree.Route):
        return f"route {line.node.endpoints[0].path.dotted} -> {line.said}"
    of = ": " if isinstance(line.node, tree.Declaration) and line.said else " "
    return _short(f"{line.label}{of}{line.said}".strip())


def _entries(old: tuple[tree.Entry, ...], new: tuple[tree.Entry, ...]) -> str:
    """Entries of a list that differ."""
    before = {meaning(entry.key): entry for entry in old}
    after = {meaning(entry.key): entry for entry in new}
    found = []
    for key in dict.fromkeys((*after, *before)):
        a, b = before.get(key), after.get(key)
        if a is None and b is not None:
            found.append(f"{_text(b)} added")
        elif b is None and a is not None:
            found.append(f"{_text(a)} removed")
        elif a is not None and b is not None and _value(a) != _value(b):
            found.append(f"{_text(b)}, was {_shown(a)}")
    more = len(found) - _MOST_ENTRIES
    return "; ".join(found[:_MOST_ENTRIES]) + (f"; and {more} more" if more > 0 else "")


def _value(entry: tree.Entry) -> str:
    return f"{meaning(entry.value)} to {meaning(entry.upper)}"


def _shown(entry: tree.Entry) -> str:
    low = entry.value.span.text if entry.value else ""
    return f"{low} to {entry.upper.span.text}" if entry.upper else low


def _text(entry: tree.Entry) -> str:
    words = _shown(entry)
    return f"{entry.key.span.text}: {words}" if words else entry.key.span.text


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3].rstrip() + "..."
