"""Random plants that have a balance: invented flowsheets, no claim to be sensible ones.

Machines are numbered; outlets go forward, except that a splitter may return one of its shares to
anything before it, and a screen its top oversize to an earlier crusher whose whole product is
finer than that deck. So whatever goes round is split or broken each time, and leaves in the end.
"""

from __future__ import annotations

from random import Random

from hoggin.schema.plant import Machine, Plant

from .builder import (
    blend,
    crusher,
    feed,
    material,
    matrix_crusher,
    plant,
    screen,
    splitter,
)


def random_plant(
    seed: int, count: int, *, load_dependent: bool = True, materials: int = 2
) -> Plant:
    """A plant of `count` machines with loops, from a seed."""
    random = Random(seed)
    machines: list[Machine] = []
    for index in range(count):
        machines.append(_machine(random, f"m{index}", load_dependent))
    routes: list[str] = []
    for index, machine in enumerate(machines):
        for place, outlet in enumerate(machine.outlets):
            port = machine.tag if outlet == "product" else f"{machine.tag}.{outlet}"
            back = None
            if place == 0 and random.random() < 0.5:
                back = _return(random, machines, index)
            target = back if back is not None else _forward(random, index, count)
            routes.append(f"{port} -> {target}")
    feeds = []
    for number in range(random.randint(1, 3)):
        owner = f"rock{number % materials}"
        feeds.append(feed(f"feed{number}", random.uniform(20.0, 400.0), material=owner))
        target = "m0" if number == 0 else f"m{random.randrange(max(1, count // 2))}"
        routes.append(f"feed{number} -> {target}")
    random.shuffle(routes)
    return plant(
        feeds,
        machines,
        routes,
        materials=[material(f"rock{k}", 1.5 + 0.2 * k) for k in range(materials)],
        sieves=(125.0, 63.0, 31.5, 16.0, 8.0, 4.0, 2.0, 1.0, 0.25),
    )


def _machine(random: Random, tag: str, load_dependent: bool) -> Machine:
    kind = random.choice(("crusher", "matrix", "screen", "screen", "splitter", "blend"))
    if kind == "crusher":
        return crusher(
            tag, random.choice((8.0, 12.0, 20.0, 35.0)), passing=random.uniform(0.5, 0.8)
        )
    if kind == "matrix":
        smallest = random.uniform(2.0, 15.0)
        return matrix_crusher(tag, smallest, smallest * random.uniform(1.8, 4.0))
    if kind == "screen":
        decks = random.sample((80.0, 50.0, 31.5, 20.0, 12.0, 6.0, 3.0), random.randint(1, 4))
        return screen(
            tag,
            *sorted(decks, reverse=True),
            load_dependent=load_dependent and random.random() < 0.5,
            area_m2=random.uniform(5.0, 20.0),
        )
    if kind == "splitter":
        shares = [random.uniform(0.2, 1.0) for _ in range(random.randint(2, 3))]
        return splitter(tag, *(share / sum(shares) for share in shares))
    return blend(tag)


def _forward(random: Random, index: int, count: int) -> str:
    if index + 1 == count or random.random() < 0.2:
        return f"pile{random.randrange(4)}"
    return f"m{random.randrange(index + 1, min(count, index + 6))}"


def _return(random: Random, machines: list[Machine], index: int) -> str | None:
    machine = machines[index]
    if machine.kind == "splitter":
        return machines[random.randrange(index + 1)].tag
    if machine.kind != "screen":
        return None
    opening = machine.decks[0].aperture_mm
    fine_enough = [m.tag for m in machines[:index] if 0.0 < _product_top(m) < opening]
    return random.choice(fine_enough) if fine_enough else None


def _product_top(machine: Machine) -> float:
    """Size above which a crusher leaves nothing, mm; 0 for what is no crusher."""
    if machine.kind != "crusher":
        return 0.0
    use = machine.models["breakage"]
    if use.model == "matrix":
        return use.coefficients["k2"]
    return use.coefficients["css"] * use.coefficients["top_ratio"]
