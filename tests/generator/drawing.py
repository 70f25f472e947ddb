"""A whole plant by its number: its own file, and at times a library beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

from tests.generator import libraries, questions, standard
from tests.generator.flowsheet import End, Flowsheet, Open
from tests.generator.spelling import Pen
from tests.generator.standard import MachineClass

MAIN = "plant.hog"
_OWN = "lib/own.hog"
_KINDS = (
    *("crusher", "screen", "feeder", "conveyor", "classifier"),
    *("magnet", "metal_detector", "pump", "thickener"),
)

_TEMPLATE = """template NAME(size: 15 mm to 25 mm = 20 mm, share: % = 50 %) {
  in  rock
  out stone
  out sand
  crusher cone: cones.high_speed(head: 1300 mm) { duty tertiary; chamber medium; css size * 0.6 }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) {
    deck top    size
    deck bottom size / 3
  }
  splitter halves { out left share; out right rest }
  rock -> sizing
  sizing.top.over -> cone -> sizing
  sizing.bottom.over -> halves
  halves.left -> stone
  halves.right -> sand
  sizing.under -> sand
}"""
_NESTED = """template NAME(size: 15 mm to 25 mm, share: % = 50 %) {
  in  rock
  out stone
  out sand
  section inner: INNER(size: size, share: share)
  crusher cone: cones.high_speed(head: 1500 mm) { duty secondary; chamber medium; css 30 mm }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 30 mm }
  rock -> cone -> sizing
  sizing.over -> inner
  sizing.under -> sand
  inner.stone -> stone
  inner.sand -> sand
}"""


@dataclass(frozen=True)
class Files:
    """A plant's texts by path, and what its studies may vary."""

    seed: int
    texts: Mapping[str, str]
    opened: tuple[Open, ...]


@dataclass
class _Own:
    """What the plant's authors define for themselves, and where it stands."""

    pen: Pen
    prefix: str  # "" in the plant's file, "own." in a library
    texts: list[str]
    classes: list[MachineClass]
    materials: list[str]
    gradings: list[tuple[str, float]]
    bands: list[str]
    series: list[str]
    templates: list[str]


def plant(seed: int) -> Files:
    """The plant of that number: the same texts whenever it is asked for."""
    random = Random(seed)
    pen = Pen(random)
    own = _own(pen)
    sheet = Flowsheet(pen, [*standard.classes(), *own.classes * 3], own.templates)
    head = _feeds(sheet, own)
    for _ in range(random.choice((2, 4, 6, 9, 14))):
        sheet.grow()
    sheet.finish()
    libraries_used = {f"std.{name}" for name in sheet.libraries if name not in ("", "own")}
    bands = list(own.bands)
    for library, name in random.sample(standard.bands(), 2):
        libraries_used.add(f"std.gradings.{library}")
        bands.append(f"{library}.{name}")
    sieves = random.choice([f"sieves.{random.choice(standard.series())}", *own.series])
    libraries_used.add("std.sieves")
    facts = [f"sieves {sieves}", f'revision "{random.choice("ABC")}"', *_run(pen)]
    facts += questions.requirements(pen, sheet.tags, bands) + questions.aims(pen, sheet.tags)
    body = [*facts, *head, *sheet.lines]
    random.shuffle(body)
    text = "\n".join(f"  {line}" for line in body)
    title = pen.title() if pen.chance(0.3) else f"Plant {seed}, {sheet.count} names"
    whole = [f'plant "{title}" {{\n{text}\n}}']
    return Files(seed, _texts(own, libraries_used, whole), tuple(sheet.opened))


def write(files: Files, folder: Path) -> None:
    """Put a plant's files in a folder."""
    for name, text in files.texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def _texts(own: _Own, used: set[str], whole: list[str]) -> dict[str, str]:
    if own.templates:
        used = used | {"std.cones", "std.screens"}
    uses = [f"use {name}" for name in sorted(used)]
    if not own.prefix:
        return {MAIN: "\n".join([*uses, *own.texts, *whole]) + "\n"}
    library = ["use std.cones", "use std.screens"] if own.templates else []
    return {
        MAIN: "\n".join([*uses, f'use "{_OWN}" as own', *whole]) + "\n",
        _OWN: "\n".join([*library, *own.texts]) + "\n",
    }


def _own(pen: Pen) -> _Own:
    prefix = "own." if pen.chance(0.5) else ""
    own = _Own(pen, prefix, [], [], [], [], [], [], [])
    for number in range(pen.random.randint(1, 3)):
        name = f"rock_{number}"
        own.materials.append(prefix + name)
        own.texts.append(libraries.material(pen, name))
    for number in range(pen.random.randint(0, 2)):
        name, top = f"sampled_{number}", pen.between(30, 600)
        own.gradings.append((prefix + name, top))
        own.texts.append(libraries.named_grading(pen, name, top))
    if pen.chance(0.4):
        own.bands.append(f"{prefix}chips")
        own.texts.append(libraries.band(pen, "chips"))
    if pen.chance(0.3):
        own.series.append(f"{prefix}ours")
        own.texts.append(libraries.series(pen, "ours"))
    for kind in _KINDS:
        if pen.chance(0.4):
            text, made = libraries.machine_class(pen, kind, f"own_{kind}")
            own.texts.append(text)
            library = prefix.rstrip(".")
            own.classes.append(
                MachineClass(library, kind, made.name, made.parameters, made.settings, made.decks)
            )
    if pen.chance(0.3):
        own.texts.append(_TEMPLATE.replace("NAME", "circuit"))
        own.templates.append(f"{prefix}circuit")
        if pen.chance(0.4):
            own.texts.append(_NESTED.replace("NAME", "double").replace("INNER", "circuit"))
            own.templates.append(f"{prefix}double")
    pen.random.shuffle(own.texts)
    return own


def _feeds(sheet: Flowsheet, own: _Own) -> list[str]:
    pen = sheet.pen
    lines = []
    shaped = pen.chance(0.2)  # every feed states its shape, or none
    for _ in range(pen.random.choice((1, 1, 1, 2, 3))):
        tag = sheet.enter("feed", "feed")
        rate, top = pen.between(30, 500), pen.between(20, 900)
        grading = libraries.grading(pen, top)
        if own.gradings and pen.chance(0.4):
            grading, top = pen.random.choice(own.gradings)
        rated = pen.t_h(rate)
        if pen.chance(0.1):
            rated = f"normal({rate:g} t/h, 5 %)"
        block = [f"rock {pen.random.choice(own.materials)}", f"rate {rated}"]
        block.append(f"passing {grading}")
        block += [f"tramp {pen.mm(pen.between(10, 80))}"] if pen.chance(0.3) else []
        block += [f"tramp_every {pen.between(5, 200):g} h"] if pen.chance(0.2) else []
        if pen.chance(0.2):
            block += [f"nonmagnetic_tramp {pen.mm(pen.between(10, 80))}"]
            block += ["nonmagnetic_tramp_every 3 d"] if pen.chance(0.5) else []
        block += [f"flakiness {pen.between(5, 35):g} %"] if shaped else []
        pen.random.shuffle(block)
        lines.append(f"feed {tag} {{\n" + "\n".join(f"    {line}" for line in block) + "\n  }")
        sheet.ends.append(End(tag, top, rate))
    return lines


def _run(pen: Pen) -> list[str]:
    lines = [f"hours_per_year {pen.between(1000, 6000):g} h"] if pen.chance(0.3) else []
    if pen.chance(0.3):
        lines += ["shifts { early: 6 h to 14 h, late: 14 h to 22 h }", "days_per_week 5"]
    return [f"operation {{ {'; '.join(lines)} }}"] if lines else []
