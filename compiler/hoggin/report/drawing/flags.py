"""The numbers of streams, each on a free piece of its own line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from hoggin.report.drawing.diagram import Box, Point

Path = Sequence[Point]
CLEAR = 0.6  # mm between a flag and whatever else there is
ENDS = 0.8  # mm of line seen at both ends of a flag
ARROW = 2.2  # mm of line kept free before its target
_STEP = 1.0


def flagged(
    rooms: Sequence[Box],
    paths: Sequence[Path],
    taken: Sequence[Box],
    given: Mapping[int, Point],
) -> tuple[list[Point], frozenset[int]]:
    """Centres of the flags of all lines, and those lines that have no room for one.

    rooms: what is drawn at the number of each line, from the number's own middle.
    taken: boxes that no flag may cover. given: places where room was made for a flag.
    """
    pieces = [(k, _piece(a, b)) for k, path in enumerate(paths) for a, b in pairwise(path)]
    places: dict[int, list[Point]] = {}
    for k, path in enumerate(paths):
        others = [*taken, *(piece for owner, piece in pieces if owner != k)]
        places[k] = list(_free(path, rooms[k], others))
        if k in given and _clear(rooms[k].moved(given[k]), others):
            places[k].append(given[k])
    centres: dict[int, Point] = {}
    boxes: list[Box] = []
    crowded: set[int] = set()
    for k in sorted(places, key=lambda k: (len(places[k]), k)):  # the least room first
        free = (
            centre
            for centre in places[k]
            if not any(rooms[k].moved(centre).meets(box, CLEAR) for box in boxes)
        )
        centre = next(free, None)
        if centre is None:
            crowded.add(k)
            centre = given.get(k) or _middle(paths[k])
        centres[k] = centre
        boxes.append(rooms[k].moved(centre))
    return [centres[k] for k in range(len(paths))], frozenset(crowded)


def _free(path: Path, room: Box, others: Sequence[Box]) -> Iterator[Point]:
    """The places along a line at which its number is clear of everything else."""
    across, down = reach(room)
    for place, (start, end) in enumerate(pairwise(path)):
        piece = _piece(start, end)
        span = Box(
            piece.x - across, piece.y - down, piece.width + 2 * across, piece.height + 2 * down
        )
        near = [box for box in others if box.meets(span, CLEAR)]  # few: a sheet has thousands
        for centre in _candidates(start, end, room, last=place == len(path) - 2):
            if _clear(room.moved(centre), near):
                yield centre


def _clear(box: Box, others: Sequence[Box]) -> bool:
    return not any(box.meets(other, CLEAR) for other in others)


def _piece(start: Point, end: Point) -> Box:
    return Box(
        min(start[0], end[0]), min(start[1], end[1]), abs(start[0] - end[0]), abs(start[1] - end[1])
    )


def _candidates(start: Point, end: Point, room: Box, *, last: bool) -> Iterator[Point]:
    """Places on a piece of a line, from its start: nearest to what it comes from is read best."""
    across, down = reach(room)
    length = abs(start[0] - end[0]) + abs(start[1] - end[1])
    half = across if start[1] == end[1] else down
    spare = length - 2 * half - ENDS - (ARROW if last else ENDS)
    if spare < 0:
        return
    for step in range(int(spare / _STEP) + 1):
        share = (half + ENDS + step * _STEP) / length
        yield (
            round(start[0] + share * (end[0] - start[0]), 3),
            round(start[1] + share * (end[1] - start[1]), 3),
        )


def reach(room: Box) -> tuple[float, float]:
    """How far a room extends from its number's middle, at most, across and down."""
    return max(-room.x, room.x + room.width), max(-room.y, room.y + room.height)


def _middle(path: Path) -> Point:
    start, end = max(
        pairwise(path), key=lambda pair: abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1])
    )
    return ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
