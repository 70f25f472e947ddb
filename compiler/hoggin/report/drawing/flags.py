"""The numbers of streams, each on a free piece of its own line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from hoggin.report.drawing.diagram import Box, Point
from hoggin.report.drawing.measures import flag_box

Path = Sequence[Point]
CLEAR = 0.6  # mm between a flag and whatever else there is
ENDS = 0.8  # mm of line seen at both ends of a flag
ARROW = 2.2  # mm of line kept free before its target
_STEP = 1.0


def flagged(
    numbers: Sequence[str],
    paths: Sequence[Path],
    taken: Sequence[Box],
    given: Mapping[int, Point],
) -> tuple[list[Point], frozenset[int]]:
    """Centres of the flags of all lines, and those lines that have no room for one.

    taken: boxes that no flag may cover. given: places where room was made for a flag.
    """
    pieces = [(k, _piece(a, b)) for k, path in enumerate(paths) for a, b in pairwise(path)]
    rooms: dict[int, list[Point]] = {}
    for k, path in enumerate(paths):
        others = [*taken, *(piece for owner, piece in pieces if owner != k)]
        rooms[k] = list(_free(path, numbers[k], others))
        if k in given and _clear(flag_box(numbers[k], given[k]), others):
            rooms[k].append(given[k])
    centres: dict[int, Point] = {}
    boxes: list[Box] = []
    crowded: set[int] = set()
    for k in sorted(rooms, key=lambda k: (len(rooms[k]), k)):  # the least room first
        free = (
            centre
            for centre in rooms[k]
            if not any(flag_box(numbers[k], centre).meets(box, CLEAR) for box in boxes)
        )
        centre = next(free, None)
        if centre is None:
            crowded.add(k)
            centre = given.get(k) or _middle(paths[k])
        centres[k] = centre
        boxes.append(flag_box(numbers[k], centre))
    return [centres[k] for k in range(len(paths))], frozenset(crowded)


def _free(path: Path, number: str, others: Sequence[Box]) -> Iterator[Point]:
    """The places along a line at which its flag is clear of everything else."""
    flag = flag_box(number, (0.0, 0.0))
    for place, (start, end) in enumerate(pairwise(path)):
        piece = _piece(start, end)
        span = Box(
            piece.x - flag.width / 2,
            piece.y - flag.height / 2,
            piece.width + flag.width,
            piece.height + flag.height,
        )
        near = [box for box in others if box.meets(span, CLEAR)]  # few: a sheet has thousands
        for centre in _candidates(start, end, flag, last=place == len(path) - 2):
            if _clear(flag_box(number, centre), near):
                yield centre


def _clear(box: Box, others: Sequence[Box]) -> bool:
    return not any(box.meets(other, CLEAR) for other in others)


def _piece(start: Point, end: Point) -> Box:
    return Box(
        min(start[0], end[0]), min(start[1], end[1]), abs(start[0] - end[0]), abs(start[1] - end[1])
    )


def _candidates(start: Point, end: Point, flag: Box, *, last: bool) -> Iterator[Point]:
    """Places on a piece of a line, from its start: nearest to what it comes from is read best."""
    level = start[1] == end[1]
    length = abs(start[0] - end[0]) + abs(start[1] - end[1])
    half = (flag.width if level else flag.height) / 2
    room = length - 2 * half - ENDS - (ARROW if last else ENDS)
    if room < 0:
        return
    for step in range(int(room / _STEP) + 1):
        share = (half + ENDS + step * _STEP) / length
        yield (
            round(start[0] + share * (end[0] - start[0]), 3),
            round(start[1] + share * (end[1] - start[1]), 3),
        )


def _middle(path: Path) -> Point:
    start, end = max(
        pairwise(path), key=lambda pair: abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1])
    )
    return ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
