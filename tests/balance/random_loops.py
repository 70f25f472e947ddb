"""Random loops as plants have them: a crusher closed by a screen, two crushers interlocked. All are
scenarios of our own."""

from __future__ import annotations

from random import Random

from hoggin.schema.plant import Feed, Machine, ModelUse, Plant

from .builder import crusher, feed, matrix_crusher, plant, screen

SIEVE_LISTS = (
    (125.0, 90.0, 63.0, 45.0, 31.5, 22.4, 16.0, 11.2, 8.0, 5.6, 4.0, 2.0, 1.0, 0.5),
    (63.0, 31.5, 16.0, 8.0, 4.0, 2.0, 1.0, 0.063),
    (100.0, 37.5, 9.5, 4.75, 0.6),
    (80.0, 20.0),
)


def one_deck_loop(seed: int, sieves: tuple[float, ...] = SIEVE_LISTS[0]) -> Plant:
    """A crusher closed by the oversize of a screen of one deck."""
    random = Random(seed)
    css = random.uniform(8.0, 40.0)
    deck = css * random.uniform(0.9, 1.6)
    return plant(
        [_feed(random, 180.0)],
        [_cone(random, "cone", css), _screen(random, "sizing", deck)],
        ["rock -> sizing", "sizing.d1.over -> cone -> sizing", "sizing.under -> sand"],
        sieves=sieves,
    )


def many_deck_loop(seed: int, sieves: tuple[float, ...] = SIEVE_LISTS[0]) -> Plant:
    """A crusher closed by the top deck or the top two decks of a screen of two to four."""
    random = Random(seed)
    css = random.uniform(8.0, 40.0)
    decks = [css * random.uniform(0.95, 1.6)]
    for _ in range(random.randint(1, 3)):
        decks.append(decks[-1] * random.uniform(0.4, 0.75))
    routes = ["rock -> sizing", "sizing.d1.over -> cone -> sizing", "sizing.under -> sand"]
    routes += [f"sizing.d{k}.over -> pile{k}" for k in range(2, len(decks) + 1)]
    return plant(
        [_feed(random, 180.0)],
        [_cone(random, "cone", css), _screen(random, "sizing", *decks)],
        routes,
        sieves=sieves,
    )


def double_loop(seed: int, sieves: tuple[float, ...] = SIEVE_LISTS[0]) -> Plant:
    """A secondary and a tertiary closed by the decks of screens that feed one another."""
    random = Random(seed)
    css = random.uniform(20.0, 40.0)
    fine = css * random.uniform(0.35, 0.6)
    top, second = css * random.uniform(1.1, 1.6), fine * random.uniform(1.05, 1.7)
    third = second * random.uniform(0.4, 0.7)
    shared = random.random() < 0.5
    machines = [_cone(random, "secondary", css), _cone(random, "tertiary", fine)]
    if shared:
        machines.append(_screen(random, "sizing", top, second, third))
        routes = [
            "rock -> sizing",
            "sizing.d1.over -> secondary -> sizing",
            "sizing.d2.over -> tertiary -> sizing",
            "sizing.d3.over -> chips",
            "sizing.under -> sand",
        ]
    else:
        machines += [_screen(random, "scalping", top), _screen(random, "sizing", second, third)]
        routes = [
            "rock -> scalping",
            "scalping.d1.over -> secondary -> scalping",
            "scalping.under -> sizing",
            "sizing.d1.over -> tertiary -> scalping",
            "sizing.d2.over -> chips",
            "sizing.under -> sand",
        ]
    return plant([_feed(random, 250.0)], machines, routes, sieves=sieves)


def of_pieces(a_plant: Plant, seed: int) -> Plant:
    """A plant whose chambers break coarser pieces of feed at coarser sizes, on rock that is softer
    or harder than usual."""
    random = Random(seed)
    machines = []
    for machine in a_plant.machines:
        use = machine.models.get("breakage")
        if use is not None and use.model in ("matrix", "matrix_t10"):
            own = {
                "size_exponent": random.uniform(0.1, 0.35),
                "usual_f80": use.coefficients["k2"] * random.uniform(1.0, 2.0),
            }
            if use.model == "matrix":
                own |= {"rock_exponent": 0.2, "usual_work_index": 15.0}
            else:
                own |= {"energy_response": 0.7, "usual_toughness": random.uniform(1.5, 4.0)}
            use = ModelUse(model=use.model, coefficients={**use.coefficients, **own})
            machine = machine.model_copy(update={"models": {"breakage": use}})
        machines.append(machine)
    hardness = random.uniform(8.0, 22.0)
    rocks = {
        name: rock.model_copy(update={"work_index_kwh_t": hardness})
        for name, rock in a_plant.materials.items()
    }
    return a_plant.model_copy(update={"machines": tuple(machines), "materials": rocks})


def part_filled(a_plant: Plant, seed: int) -> Plant:
    """A plant whose squeezing chambers are filled more or less: of a capacity near their load."""
    random = Random(seed)
    fed = sum(feed.rate_t_h for feed in a_plant.feeds)
    return a_plant.model_copy(
        update={
            "machines": tuple(
                of_capacity(machine, fed * random.uniform(0.7, 4.0), random.uniform(0.04, 0.14))
                if machine.kind == "crusher"
                else machine
                for machine in a_plant.machines
            )
        }
    )


def of_capacity(machine: Machine, capacity_t_h: float, starved: float = 0.1) -> Machine:
    """A crusher of a capacity, for rock of 1.6 t/m3, that is full from 60 % of it on. Starved, its
    k1 and k2 are so much larger, or so much less passes its setting."""
    use = machine.models["breakage"]
    known = {
        "matrix": "starved_rise",
        "matrix_t10": "starved_rise",
        "setting_curve": "starved_loss",
    }
    own = {known[use.model]: starved} if use.model in known else {}
    rated = ModelUse(model="rated", coefficients={"rated": capacity_t_h, "rated_density": 1.6})
    breakage = ModelUse(model=use.model, coefficients={**use.coefficients, **own})
    models = {**machine.models, "breakage": breakage, "capacity": rated}
    return machine.model_copy(update={"models": models, "facts": {"min_load": 0.6}})


def _feed(random: Random, top: float) -> Feed:
    slope = random.uniform(0.5, 1.1)
    points = tuple((top * 0.5**k, 0.5 ** (slope * k)) for k in range(11))
    return feed("rock", random.uniform(80.0, 350.0), grading=points)


def _cone(random: Random, tag: str, css: float) -> Machine:
    kind = random.choice(("matrix", "matrix", "matrix", "t10", "curve", "impact"))
    if kind == "curve":
        return crusher(
            tag, css, passing=random.uniform(0.5, 0.75), top_ratio=random.uniform(1.6, 2.2)
        )
    plain = matrix_crusher(tag, css * random.uniform(0.6, 0.95), css * random.uniform(1.8, 2.4))
    if kind == "matrix":
        return plain
    coefficients = plain.models["breakage"].coefficients
    if kind == "t10":
        sizes = {name: coefficients[name] for name in ("k1", "k2", "k3")}
        rock = {"t10_limit": 0.5, "energy_scale": 1.25, "specific_energy": 0.18}
        use = ModelUse(model="matrix_t10", coefficients={**sizes, **rock})
    else:
        terms = {n: coefficients[n] for n in ("fines_share", "fines_exponent", "coarse_exponent")}
        rotor = {
            "tip_speed": random.uniform(30.0, 45.0),
            "reference_speed": 35.0,
            "d_min": css * random.uniform(0.2, 0.6),
            "d50": css * random.uniform(0.4, 1.0),
            "sharpness": 1.0,
            "energy_factor": 0.5,
            "energy_exponent": 0.5,
        }
        use = ModelUse(model="impact", coefficients={**rotor, **terms})
    return plain.model_copy(update={"models": {"breakage": use}})


def _screen(random: Random, tag: str, *decks: float) -> Machine:
    return screen(
        tag,
        *decks,
        load_dependent=random.random() < 0.85,
        area_m2=random.uniform(8.0, 18.0),
        sharpness=random.choice((5.846, 5.846, random.uniform(3.0, 12.0))),
    )
