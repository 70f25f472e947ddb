"""Routes step by step: exactly one leaves each outlet, so a step is known by where it starts, and
chains are put together again from steps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from hoggin.revise.merge.choices import Choice, Choices
from hoggin.revise.merge.page import Item
from hoggin.revise.why.lines import Path
from hoggin.syntax import tree

Steps = dict[Path, tree.Route]


class Routes:
    def __init__(self, choices: Choices) -> None:
        self._choices = choices

    def changed(self, keys: Sequence[Path]) -> bool:
        return any(self._choices.by_path[key] is not Choice.OURS for key in keys)

    def added(self, theirs: Sequence[Item]) -> Steps:
        """The steps that they alone have and that are taken."""
        found: Steps = {}
        for item in theirs:
            if isinstance(item.node, tree.Route):
                found.update(
                    (key, step)
                    for key, step in _steps(item.keys, item.node).items()
                    if key not in self._choices.ours and self._choices.by_path[key] is Choice.THEIRS
                )
        return found

    def rewritten(
        self, keys: Sequence[Path], node: tree.Route, extra: Steps
    ) -> tuple[list[str], list[tuple[str, str]]]:
        """The chains that a chain of ours becomes, and the steps in conflict as both have them.
        What they added and follows on is taken from `extra`."""
        kept: Steps = {}
        conflicts: list[tuple[str, str]] = []
        for key, step in _steps(keys, node).items():
            choice = self._choices.by_path[key]
            if choice is Choice.CONFLICT:
                conflicts.append((_chain(step), self.theirs_of(key)))
            elif choice is Choice.OURS:
                kept[key] = step
            elif key in self._choices.theirs:
                kept[key] = self._theirs_step(key)
        return self.chains(kept, extra), conflicts

    def chains(self, steps: Steps, extra: Steps) -> list[str]:
        """Steps as chains, each as long as it goes on, also by what is taken from `extra`."""
        left = dict(steps)
        found = []
        for key in steps:
            step = left.pop(key, None)
            if step is None:
                continue
            written = [step.endpoints[0]]
            while step is not None:
                written.append(step.endpoints[1])
                following = (*key[:-1], f"from {written[-1].path.dotted}")
                step = left.pop(following, None) or extra.pop(following, None)
            found.append(" -> ".join(map(_endpoint, written)))
        return found

    def gone_with_us(self, key: Path) -> bool:
        """Whether we took a step out that they lead elsewhere."""
        return key not in self._choices.ours and self._choices.by_path[key] is Choice.CONFLICT

    def theirs_of(self, key: Path) -> str:
        """A step as they have it; nothing where they took it out."""
        return _chain(self._theirs_step(key)) if key in self._choices.theirs else ""

    def _theirs_step(self, key: Path) -> tree.Route:
        node = self._choices.theirs[key].line.node
        assert isinstance(node, tree.Route)
        return node


def _steps(keys: Sequence[Path], node: tree.Route) -> Steps:
    return {
        key: tree.Route(start.span.to(end.span), (start, end))
        for key, (start, end) in zip(keys, pairwise(node.endpoints), strict=True)
    }


def _chain(route: tree.Route) -> str:
    return " -> ".join(map(_endpoint, route.endpoints))


def _endpoint(end: tree.Endpoint) -> str:
    return f"product {end.path.dotted}" if end.new_product else end.path.dotted
