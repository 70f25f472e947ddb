"""Sizes on paper that whoever lays out a diagram and whoever draws it must agree on, in mm."""

from __future__ import annotations

from hoggin.report.drawing.diagram import Box, Connector, Flag, Placed, Point
from hoggin.report.lettering import BOLD, ems

TEXT = 2.5  # size of the type of labels
LINE = 3.2  # from one line of a label to the next
FLAG_TEXT = 2.2
FLAG_HEIGHT = 3.6
FLAG_ENDS = 2.4  # of a flag's width, for its pointed ends
TRIANGLE = (4.8, 4.2)  # width and height of the triangle of a revision mark
TRIANGLE_GAP = 0.5  # from the triangle to what it stands beside
CLOUD_GAP = 1.2  # from what is in a cloud to its line
BULGE = 0.9  # how far the line of a cloud bulges out
CONNECTOR_HEIGHT = 8.4
CONNECTOR_ENDS = 5.0
CONNECTOR_STEP = 6.0  # so that equal sections with words of other lengths have equal layouts


def text_size(lines: tuple[str, ...], size: float = TEXT) -> tuple[float, float]:
    """Width and height of lines of which the first is bold."""
    widths = [ems(line) * size * (BOLD if row == 0 else 1.0) for row, line in enumerate(lines)]
    return max(widths, default=0.0), LINE * size / TEXT * len(lines)


def flag_size(number: str) -> tuple[float, float]:
    return ems(number) * FLAG_TEXT + FLAG_ENDS, FLAG_HEIGHT


def flag_box(number: str, centre: Point) -> Box:
    """The room of a stream's number on its line."""
    width, height = flag_size(number)
    return Box(centre[0] - width / 2, centre[1] - height / 2, width, height)


def connector_lines(leaves: bool, number: str, sheet: int, words: str) -> tuple[str, str]:
    """What an off-sheet connector says: the stream's number, the other sheet, and what is there."""
    return f"{number} {'to' if leaves else 'from'} sheet {sheet}", words


def connector_size(lines: tuple[str, str]) -> tuple[float, float]:
    wanted = text_size(lines)[0] + CONNECTOR_ENDS
    return -(-wanted // CONNECTOR_STEP) * CONNECTOR_STEP, CONNECTOR_HEIGHT


def connector_box(connector: Connector) -> Box:
    """The room of a connector: its line ends at the middle of its top, or starts at its foot."""
    lines = connector_lines(connector.leaves, connector.number, connector.sheet, connector.words)
    width, height = connector_size(lines)
    x, y = connector.at
    return Box(x - width / 2, y if connector.leaves else y - height, width, height)


def label_room(lines: tuple[str, ...], *, revised: bool) -> tuple[float, float]:
    """The room of a label, with the triangle of a revision mark at its left if it is revised."""
    width, height = text_size(lines)
    if not revised:
        return width, height
    return width + TRIANGLE[0] + TRIANGLE_GAP, max(height, TRIANGLE[1])


def machine_triangle(placed: Placed) -> Box:
    """The room of the triangle beside a label."""
    text = placed.label.box
    middle = text.y + text.height / 2
    return Box(text.x - TRIANGLE_GAP - TRIANGLE[0], middle - TRIANGLE[1] / 2, *TRIANGLE)


def machine_cloud(placed: Placed) -> Box:
    """The line of the cloud around a machine, its label and its triangle, without its bulges."""
    inside = placed.box.around(placed.label.box).around(machine_triangle(placed))
    return inside.grown(CLOUD_GAP)


def flag_triangle(flag: Flag) -> Box:
    """The room of the triangle at the right of a stream's number."""
    edge = flag_box(flag.number, flag.centre)
    left = edge.x + edge.width + TRIANGLE_GAP
    return Box(left, flag.centre[1] - TRIANGLE[1] / 2, *TRIANGLE)


def flag_cloud(flag: Flag) -> Box:
    """The line of the cloud around a stream's number and its triangle, without its bulges."""
    return flag_box(flag.number, flag.centre).around(flag_triangle(flag)).grown(CLOUD_GAP)


def flag_room(flag: Flag) -> Box:
    """All that is drawn at the number of a stream."""
    if flag.revised:
        return flag_cloud(flag).grown(BULGE)
    return flag_box(flag.number, flag.centre)
