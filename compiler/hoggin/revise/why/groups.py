"""Things that turn out to belong together."""

from __future__ import annotations


class Groups:
    """Disjoint sets of the numbers below `count`.

    Source: Galler and Fisher (1964), Comm. ACM 7(5), 301-303; from memory.
    """

    def __init__(self, count: int) -> None:
        self._parent = list(range(count))

    def join(self, one: int, other: int) -> None:
        first, second = sorted((self._root(one), self._root(other)))
        self._parent[second] = first

    def all(self) -> list[tuple[int, ...]]:
        """Every set, its numbers ascending; sets by their least."""
        found: dict[int, list[int]] = {}
        for number in range(len(self._parent)):
            found.setdefault(self._root(number), []).append(number)
        return [tuple(group) for group in found.values()]

    def _root(self, number: int) -> int:
        while self._parent[number] != number:
            number = self._parent[number]
        return number
