"""Plants for the balance tests, built without the language. All are scenarios of our own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from hoggin.schema.plant import (
    Deck,
    Feed,
    Machine,
    Material,
    ModelUse,
    Place,
    Plant,
    Product,
    Setting,
    Stream,
)

HERE = Place(file="test.hog", line=1, column=1)
SIEVES = (125.0, 90.0, 63.0, 45.0, 31.5, 22.4, 16.0, 11.2, 8.0, 5.6, 4.0, 2.0, 1.0, 0.5, 0.063)
SHOT_ROCK = ((200.0, 1.0), (125.0, 0.8), (63.0, 0.5), (20.0, 0.2), (5.0, 0.08), (0.5, 0.02))


def material(name: str = "dolerite", bulk: float = 1.65) -> Material:
    return Material(
        name=name, solid_density_t_m3=bulk * 1.7, bulk_density_t_m3=bulk, work_index_kwh_t=15.0
    )


def feed(
    tag: str,
    rate: float = 100.0,
    *,
    material: str = "dolerite",
    grading: tuple[tuple[float, float], ...] = SHOT_ROCK,
) -> Feed:
    return Feed(
        tag=tag, material=material, rate_t_h=rate, grading=grading, tramp_mm=None, place=HERE
    )


def crusher(tag: str, css: float, *, passing: float = 0.6, top_ratio: float = 2.0) -> Machine:
    """A crusher on the setting curve."""
    return Machine(
        tag=tag,
        kind="crusher",
        class_name="test.crusher",
        settings=(Setting(name="css", text=f"{css:g} mm", value=css, unit="mm"),),
        models={
            "breakage": ModelUse(
                model="setting_curve",
                coefficients={
                    "css": css,
                    "passing_css": passing,
                    "top_ratio": top_ratio,
                    "slope": 0.9,
                },
            )
        },
        place=HERE,
    )


def matrix_crusher(tag: str, k1: float, k2: float) -> Machine:
    """A crusher on the classification and breakage matrices."""
    return Machine(
        tag=tag,
        kind="crusher",
        class_name="test.crusher",
        models={
            "breakage": ModelUse(
                model="matrix",
                coefficients={
                    "k1": k1,
                    "k2": k2,
                    "k3": 2.3,
                    "fines_share": 0.2,
                    "fines_exponent": 0.5,
                    "coarse_exponent": 2.5,
                },
            )
        },
        place=HERE,
    )


def screen(
    tag: str,
    *apertures: float,
    load_dependent: bool = False,
    area_m2: float = 12.0,
    sharpness: float = 5.846,
) -> Machine:
    """A screen with decks `d1`, `d2` ... from the top."""
    use = (
        ModelUse(model="karra", coefficients={"inclination": 18.0, "sharpness": sharpness})
        if load_dependent
        else ModelUse(model="fixed", coefficients={"ratio": 0.9, "sharpness": sharpness})
    )
    decks = tuple(
        Deck(name=f"d{k}", aperture_mm=aperture, shape="square", open_area=0.6, place=HERE)
        for k, aperture in enumerate(apertures, 1)
    )
    return Machine(
        tag=tag,
        kind="screen",
        class_name="test.screen",
        facts={"area_m2": area_m2},
        models={"partition": use},
        decks=decks,
        outlets=(*(f"{deck.name}.over" for deck in decks), "under"),
        place=HERE,
    )


def splitter(tag: str, *shares: float) -> Machine:
    names = tuple(f"s{k}" for k in range(1, len(shares) + 1))
    return Machine(
        tag=tag,
        kind="splitter",
        class_name="",
        shares=dict(zip(names, shares, strict=True)),
        outlets=names,
        place=HERE,
    )


def blend(tag: str) -> Machine:
    return Machine(tag=tag, kind="blend", class_name="", place=HERE)


def plant(
    feeds: Sequence[Feed],
    machines: Sequence[Machine],
    routes: Sequence[str],
    *,
    materials: Sequence[Material] = (),
    sieves: tuple[float, ...] = SIEVES,
) -> Plant:
    """A plant from routes such as `rock -> jaw -> sizing` and `sizing.d1.over -> cone`.

    A target that is no machine is a product.
    """
    tags = {machine.tag: machine for machine in machines}
    streams = []
    for route in routes:
        for start, end in pairwise(part.strip() for part in route.split("->")):
            source, _, outlet = start.partition(".")
            if not outlet and source in tags:
                outlet = "product"
            streams.append(Stream(source=source, outlet=outlet, target=end))
    products = dict.fromkeys(s.target for s in streams if s.target not in tags)
    return Plant(
        title="test",
        revision="A",
        sieves_mm=sieves,
        materials={m.name: m for m in (materials or (material(),))},
        feeds=tuple(feeds),
        machines=tuple(machines),
        streams=tuple(streams),
        products=tuple(Product(tag=tag, title=tag, place=HERE) for tag in products),
        requirements=(),
        place=HERE,
    )


def closed_tertiary(
    *, css: float = 25.0, aperture: float = 40.0, load_dependent: bool = False, rate: float = 100.0
) -> Plant:
    """A cone closed by the oversize of a three-deck screen."""
    return plant(
        [feed("rock", rate)],
        [
            crusher("jaw", 80.0),
            crusher("cone", css),
            screen("sizing", aperture, 16.0, 5.6, load_dependent=load_dependent),
        ],
        [
            "rock -> jaw -> sizing",
            "sizing.d1.over -> cone -> sizing",
            "sizing.d2.over -> coarse",
            "sizing.d3.over -> chips",
            "sizing.under -> fines",
        ],
    )


def by_tonnage(tag: str, *asked: float) -> Machine:
    """A splitter whose outlets `s1`, `s2` ... are asked for tonnages, and `rest` takes the rest."""
    names = tuple(f"s{k}" for k in range(1, len(asked) + 1))
    return Machine(
        tag=tag,
        kind="splitter",
        class_name="",
        asked_t_h=dict(zip(names, asked, strict=True)),
        outlets=(*names, "rest"),
        place=HERE,
    )
