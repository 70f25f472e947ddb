"""Diagrams set by hand, and plants to draw: invented, all of them.

The diagrams are for the sheets and the formats. They are no layouts: their lines may run through
symbols.
"""

from __future__ import annotations

from pathlib import Path

import hoggin
from hoggin.report.drawing.diagram import Box, Diagram, Flag, Label, Placed, Route, StreamKind
from hoggin.report.drawing.stream_table import all_streams
from hoggin.report.drawing.symbols import symbol
from hoggin.schema.plant import Project, Revision
from hoggin.schema.results import Results, StreamResult

EXAMPLES = Path(__file__).parents[3] / "examples"


def plant(name: str) -> Results:
    """An example of the project with a project block and dated revisions of our own."""
    document = hoggin.load(EXAMPLES / f"{name}.hog").balance().document
    assert document.plant is not None
    revisions = (
        Revision(mark="A", text="first issue", date="2026-03-31", drawn="AB"),
        Revision(mark="B", text="second screen", date="2026-05-12", drawn="AB", checked="CD"),
        Revision(mark="C", text="tertiary closed", date="2026-09-01", drawn="XY", approved="EF"),
    )
    project = Project(
        name="Extension of the plant", client="Invented client", owner="Invented office",
        document_number="4711-PR-001", status="for comment", drawn="AB", checked="CD",
    )  # fmt: skip
    inner = document.plant.model_copy(update={"revisions": revisions})
    return document.model_copy(update={"project": project, "plant": inner})


def hand_set(results: Results, height: float = 36.0, title: str = "") -> Diagram:
    """Everything of a plant in rows, with a line for each stream."""
    waters = dict.fromkeys(
        end for stream in results.water_streams for end in (stream.source, stream.target)
    )
    tags = {thing.tag for thing in (*results.feeds, *results.machines, *results.products)}
    names = [
        *((feed.tag, "feed") for feed in results.feeds),
        *((m.tag, f"screen_{len(m.decks)}" if m.decks else "cone") for m in results.machines),
        *((product.tag, "product") for product in results.products),
        *((name, "water") for name in waters if name.split(".")[0] not in tags),
    ]
    ends: dict[str, tuple[float, float, float]] = {}
    placed: list[Placed] = []
    for n, (name, shape) in enumerate(names):
        x, y = 55.0 * (n % 6) + 25.0, height * (n // 6)
        width, high = symbol(shape).width, symbol(shape).height
        ends[name] = (x + width / 2, y, y + high)
        label = Label(Box(x - 24, y + 2, 22, 8), (name, shape), "end")
        attention = "watch" if n == 1 else "void" if n == 2 else "over" if n == 3 else ""
        placed.append(
            Placed(name, shape, Box(x, y, width, high), label, attention=attention)  # type: ignore[arg-type]
        )
    routes: list[Route] = []
    for n, stream in enumerate(all_streams(results)):
        source, target = (
            ends.get(end) or ends[end.split(".")[0]] for end in (stream.source, stream.target)
        )
        level = source[2] + 4 + 1.3 * (n % 12)
        corners = (
            (source[0], source[2]), (source[0], level), (target[0], level), (target[0], target[1])
        )  # fmt: skip
        flag = Flag(stream.number, ((source[0] + target[0]) / 2, level))
        rock = isinstance(stream, StreamResult)
        kind: StreamKind = "rock" if rock else "water"
        name = stream.name if isinstance(stream, StreamResult) else stream.number
        hop = ((source[0] + 3 * target[0]) / 4, level)
        hops = (hop,) if abs(source[0] - target[0]) > 30 else ()
        returns = isinstance(stream, StreamResult) and stream.recirculating
        routes.append(Route(name, corners, flag, kind, returns=returns, hops=hops))
    rows = len(names) // 6 + 1
    return Diagram(title, 350.0, height * rows, tuple(placed), tuple(routes))


HOSTILE = (
    '=HYPERLINK("http://x") <b>&amp; "quoted" \\N \\ %%d %%%% ^J {\\fArial;x}',
    "</text><script>alert(1)</script> #let x = 1 $y$ *z* _w_ `v`",
    "Größe µ – 粗い \u202egnp שלום عربي",
    "unbroken" * 40,
)


def hostile(results: Results) -> Results:
    """A plant whose texts would break a careless writer of any of the formats."""
    one, two, three, long = HOSTILE
    machines = tuple(
        machine.model_copy(update={"title": text, "item_tag": f"{n} {text}"})
        for n, (machine, text) in enumerate(zip(results.machines, HOSTILE * 9, strict=False))
    )
    project = Project(
        name=one, client=two, owner=three, document_number=long, status=one, drawn=two,
        checked=three, approved=long,
    )  # fmt: skip
    assert results.plant is not None
    revisions = tuple(
        Revision(mark=text[:9], text=text, date=text, drawn=text) for text in HOSTILE * 3
    )
    return results.model_copy(
        update={
            "title": " ".join(HOSTILE), "machines": machines, "project": project,
            "source_file": one + long, "revision": two,
            "plant": results.plant.model_copy(update={"revisions": revisions}),
        }
    )  # fmt: skip
