"""Plants for the benchmarks: scenarios of our own, built without the language."""

from __future__ import annotations

from hoggin.schema.plant import Machine, Plant
from tests.balance.builder import blend, crusher, feed, matrix_crusher, plant, screen, splitter


def three_stage() -> Plant:
    """A quarry plant: jaw, secondary in a loop with a scalper, two tertiaries in another."""
    return plant(
        [feed("rock", 420.0), feed("dug", 60.0)],
        [
            crusher("jaw", 110.0),
            blend("surge"),
            matrix_crusher("secondary", 28.0, 85.0),
            screen("scalper", 63.0, 31.5, load_dependent=True, area_m2=14.0),
            blend("bin"),
            splitter("divide", 0.6, 0.4),
            matrix_crusher("tertiary", 10.0, 32.0),
            crusher("shaper", 12.0, passing=0.75),
            screen("sizing", 25.0, 11.2, 4.0, load_dependent=True, area_m2=16.0),
        ],
        [
            "rock -> jaw -> surge -> secondary -> scalper",
            "dug -> scalper",
            "scalper.d1.over -> surge",
            "scalper.d2.over -> bin -> divide",
            "divide.s1 -> tertiary -> sizing",
            "divide.s2 -> shaper -> sizing",
            "scalper.under -> sizing",
            "sizing.d1.over -> bin",
            "sizing.d2.over -> chips",
            "sizing.d3.over -> grit",
            "sizing.under -> sand",
        ],
    )


def lines(count: int, *, one_loop: bool) -> Plant:
    """`count` closed lines of ten machines. `one_loop`: their returns all share one chain."""
    machines: list[Machine] = []
    routes: list[str] = []
    feeds = []
    for k in range(count):
        machines += [
            blend(f"bin{k}"),
            matrix_crusher(f"secondary{k}", 25.0, 70.0),
            screen(f"scalper{k}", 50.0, 25.0, load_dependent=True),
            blend(f"surge{k}"),
            splitter(f"divide{k}", 0.5, 0.5),
            matrix_crusher(f"tertiary{k}", 10.0, 28.0),
            crusher(f"shaper{k}", 10.0),
            screen(f"sizing{k}", 25.0, 11.2, load_dependent=True),
            splitter(f"spill{k}", 0.9, 0.1),
            blend(f"belt{k}"),
        ]
        feeds.append(feed(f"rock{k}", 150.0))
        spilt = f"surge{(k + 1) % count}" if one_loop else f"pile{k}"
        routes += [
            f"rock{k} -> bin{k} -> secondary{k} -> scalper{k}",
            f"scalper{k}.d1.over -> secondary{k}",
            f"scalper{k}.d2.over -> surge{k} -> divide{k}",
            f"divide{k}.s1 -> tertiary{k} -> sizing{k}",
            f"divide{k}.s2 -> shaper{k} -> sizing{k}",
            f"scalper{k}.under -> sizing{k}",
            f"sizing{k}.d1.over -> surge{k}",
            f"sizing{k}.d2.over -> spill{k}",
            f"spill{k}.s1 -> belt{k} -> chips{k}",
            f"spill{k}.s2 -> {spilt}",
            f"sizing{k}.under -> sand{k}",
        ]
    return plant(feeds, machines, routes)
