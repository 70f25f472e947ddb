"""Plants whose crushers follow their feed, and an independent solution of them.

All are scenarios of our own.
"""

from __future__ import annotations

from random import Random

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from hoggin.models import catalog
from hoggin.models.points import in_halves
from hoggin.schema.plant import Machine, Material, ModelUse, Plant

from .builder import HERE, blend, feed, matrix_crusher, plant, screen, splitter
from .random_plants import random_plant
from .reference import Cuts, Reference

Array = NDArray[np.float64]


def following(machine: Machine, **coefficients: float) -> Machine:
    """A crusher with other coefficients of breakage."""
    use = machine.models["breakage"]
    changed = ModelUse(model=use.model, coefficients={**use.coefficients, **coefficients})
    return machine.model_copy(update={"models": {**machine.models, "breakage": changed}})


def t10_crusher(tag: str, k1: float, k2: float, **coefficients: float) -> Machine:
    known = {
        "k1": k1,
        "k2": k2,
        "k3": 2.3,
        "t10_limit": 0.5,
        "energy_scale": 1.25,
        "specific_energy": 0.25,
        "k1_feed": 0.0,
        "k2_feed": 0.0,
        "usual_f80": 40.0,
        "t10_feed": 0.0,
        **coefficients,
    }
    return Machine(
        tag=tag,
        kind="crusher",
        class_name="test.crusher",
        models={"breakage": ModelUse(model="matrix_t10", coefficients=known)},
        place=HERE,
    )


def rock(name: str, **breakage: float) -> Material:
    return Material(
        name=name,
        solid_density_t_m3=2.8,
        bulk_density_t_m3=1.65,
        work_index_kwh_t=15.0,
        breakage=breakage,
    )


def closed_cone(
    *, k2_feed: float = 0.15, k1_feed: float = 0.05, load_dependent: bool = False
) -> Plant:
    """A cone closed by the oversize of a screen, its breakage after the F80 of its own feed."""
    cone = following(
        matrix_crusher("cone", 12.0, 32.0), k1_feed=k1_feed, k2_feed=k2_feed, usual_f80=60.0
    )
    return plant(
        [feed("shot", 150.0)],
        [cone, screen("sizing", 30.0, 10.0, load_dependent=load_dependent, area_m2=9.0)],
        [
            "shot -> cone -> sizing",
            "sizing.d1.over -> cone",
            "sizing.d2.over -> chips",
            "sizing.under -> sand",
        ],
    )


def two_rocks(*, load_dependent: bool = True) -> Plant:
    """Nested loops that a soft and a hard rock enter at different places."""
    return plant(
        [feed("shot", 180.0, material="hard"), feed("dug", 90.0, material="soft")],
        [
            t10_crusher("secondary", 20.0, 55.0, k1_feed=0.05, k2_feed=0.1, t10_feed=-0.03),
            screen("scalper", 45.0, 28.0, load_dependent=load_dependent),
            blend("surge"),
            splitter("divide", 0.7, 0.3),
            t10_crusher("tertiary", 8.0, 20.0),
            following(matrix_crusher("shaper", 7.0, 18.0), k2_feed=0.1, usual_f80=35.0),
            screen("sizing", 22.0, 9.0, load_dependent=load_dependent, area_m2=16.0),
        ],
        [
            "shot -> secondary -> scalper",
            "dug -> scalper",
            "scalper.d1.over -> secondary",
            "scalper.d2.over -> surge -> divide",
            "divide.s1 -> tertiary -> sizing",
            "divide.s2 -> shaper -> sizing",
            "scalper.under -> sizing",
            "sizing.d1.over -> surge",
            "sizing.d2.over -> chips",
            "sizing.under -> sand",
        ],
        materials=[
            rock("hard", t10_limit=0.45, energy_scale=2.0),
            rock("soft", t10_limit=0.65, energy_scale=0.8),
        ],
    )


def random_following_plant(seed: int, count: int, *, materials: int = 2) -> Plant:
    """A random plant whose `matrix` crushers follow their feed, some of them with t10.

    K1 and K2 are at most the k1 and k2 they replace, so that nothing is trapped.
    """
    random = Random(seed)
    original = random_plant(seed, count, materials=materials)
    machines = []
    for machine in original.machines:
        use = machine.models.get("breakage")
        if use is None or use.model != "matrix":
            machines.append(machine)
            continue
        response = {
            "k1_feed": random.choice((0.0, random.uniform(0.0, 0.1))),
            "k2_feed": random.uniform(0.0, 0.3),
            "usual_f80": 200.0,  # the top size of all feeds
        }
        if random.random() < 0.5:
            k1, k2 = use.coefficients["k1"], use.coefficients["k2"]
            energy = random.uniform(0.1, 0.4)
            fed = random.uniform(-0.05, 0.05)
            machines.append(
                t10_crusher(machine.tag, k1, k2, specific_energy=energy, t10_feed=fed, **response)
            )
        else:
            machines.append(following(machine, **response))
    rocks = {
        name: material.model_copy(
            update={
                "bulk_density_t_m3": 1.6,
                "breakage": {"t10_limit": 0.35 + 0.25 * k, "energy_scale": 1.8 - 0.7 * k},
            }
        )
        for k, (name, material) in enumerate(original.materials.items())
    }
    return original.model_copy(update={"machines": tuple(machines), "materials": rocks})


class FollowingReference(Reference):
    """The same equations with scipy.optimize.root over cut sizes, F80s and rock shares at once.

    F80 is read with numpy.interp, shares are solved with numpy.linalg: only the process models are
    the balance's own.
    """

    def __init__(self, plant: Plant, edges_mm: Array) -> None:
        super().__init__(plant, edges_mm)
        self.rocks = [feed.material for feed in plant.feeds]
        self.crushers = [m for m in plant.machines if m.kind == "crusher"]

    def solve(self) -> tuple[Array, dict[tuple[str, str], float]]:
        """Streams (S, n), and the cut sizes."""
        keys = [(machine.tag, deck.name) for machine, deck in self.decks]
        count, crushers, rocks = len(keys), len(self.crushers), len(self.rocks)

        def residual(z: Array) -> Array:
            cuts = dict(zip(keys, np.exp(z[:count]), strict=True))
            shares = z[count + crushers :].reshape(crushers, rocks)
            self.set_operators(np.exp(z[count : count + crushers]), shares)
            fed = self.points_fed(cuts)
            loaded = self.loaded_cuts(fed, cuts)
            mixed = self.shares(fed, cuts)
            found = [np.log([loaded[key] for key in keys])]
            found.append(
                np.log([self.f80(in_halves(fed[self.number[m.tag]])) for m in self.crushers])
            )
            found.append(np.ravel([mixed[self.number[m.tag]] for m in self.crushers]))
            difference: Array = np.concatenate(found) - z
            return difference

        start = np.concatenate(
            [
                np.log([deck.aperture_mm for _, deck in self.decks]),
                np.full(crushers, np.log(60.0)),
                np.full(crushers * rocks, 1.0 / rocks),
            ]
        )
        found = optimize.root(residual, start, method="hybr", tol=1e-13)
        assert np.abs(residual(found.x)).max() < 1e-10
        cuts = dict(zip(keys, np.exp(found.x[:count]).tolist(), strict=True))
        return self.streams(cuts), cuts

    def set_operators(self, f80s: Array, shares: Array) -> None:
        for machine, f80, share in zip(self.crushers, f80s, shares, strict=True):
            self.operators[machine.tag] = self.operator(machine, f80, share)

    def operator(self, machine: Machine, f80: float, shares: Array) -> Array:
        use = machine.models["breakage"]
        model = catalog.find("breakage", use.model)
        assert model is not None
        known: dict[str, object] = dict(use.coefficients)
        if use.model in ("matrix", "matrix_t10"):
            known["f80_mm"] = [f80]
        if use.model == "matrix_t10":
            for name in ("t10_limit", "energy_scale"):
                stated = [self.plant.materials[r].breakage for r in self.rocks]
                known[name] = [[own.get(name, use.coefficients[name]) for own in stated]]
            known["rock_shares"] = [shares]
        operator: Array = model.load("operator")(self.edges, points_mm=self.points, **known)[0]
        return operator

    def shares(self, fed: Array, cuts: Cuts) -> Array:
        """(M, F): masses from each feed into each machine, from one linear system."""
        machines = self.plant.machines
        ways = np.zeros((len(machines), len(machines)))
        side = np.zeros((len(machines), len(self.rocks)))
        owner = {feed.tag: place for place, feed in enumerate(self.plant.feeds)}
        outlets = {m.tag: self.outlets(m, cuts) for m in machines}
        for stream in self.plant.streams:
            target = self.number.get(stream.target)
            if target is None:
                continue
            if stream.source in owner:
                side[target, owner[stream.source]] += self.feeds[stream.source].sum()
                continue
            source = self.number[stream.source]
            out = (outlets[stream.source][stream.outlet] @ fed[source]).sum()
            ways[target, source] += out / fed[source].sum()
        masses = np.linalg.solve(np.eye(len(machines)) - ways, side)
        result: Array = masses / masses.sum(axis=1, keepdims=True)
        return result
