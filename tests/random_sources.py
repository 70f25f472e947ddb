"""Sources of random plants that have a balance: stages in a row, closed, open or parted. All
invented, no claim to be sensible ones."""

from __future__ import annotations

from random import Random

_HEAD = """\
use std.cones
use std.screens
use std.sieves
use std.gradings.astm

material granite { solid_density 2.68 t/m3; bulk_density 1.6 t/m3; work_index 15.5 kWh/t }
material slag    { solid_density 3.1 t/m3; bulk_density 1.9 t/m3; work_index 12 kWh/t }
let coarse = 26 mm
"""


def random_source(seed: int) -> str:
    """A plant of two to five stages and one to three feeds."""
    random = Random(seed)
    names = [f"{random.choice('abcxyz')}{number}" for number in range(9)]
    lines: list[str] = ["sieves sieves.iso_r20_3", 'revision "A"']
    stages = random.randint(2, 5)
    entries = [f"in_{names[stage]}" for stage in range(stages)] + ["last"]
    for stage in range(stages):
        lines += _stage(random, names[stage], entries[stage], entries[stage + 1 :])
    lines += ["blend last", "last -> product rest", "require rest.share <= 90 %"]
    for number in range(random.randint(1, 3)):
        rock = random.choice(("granite", "slag"))
        grading = "150 mm: 100 %, 63 mm: 60 %, 20 mm: 25 %, 2 mm: 6 %"
        rate = random.randint(40, 200)
        lines.append(
            f"feed {random.choice('fgk')}{number} {{\n rock {rock}\n rate {rate} t/h\n"
            f" passing {{ {grading} }}\n tramp {10 * (number + 1)} mm\n}}"
        )
        fed = entries[0] if number == 0 else random.choice(entries)
        lines.append(f"{lines[-1].split()[1]} -> {fed}")
    random.shuffle(lines)
    body = "\n".join(lines)
    return f'{_HEAD}\nplant "Random {seed}" {{\n{body}\n}}\n'


def _stage(random: Random, name: str, entry: str, onward: list[str]) -> list[str]:
    """A blend, and what follows it; everything leaves to later stages or to products."""
    target = random.choice(onward)
    kind = random.choice(("closed", "reversed", "parted", "screened"))
    screen = (
        f"screen s_{name}: screens.inclined(width: 2.4 m, length: 6 m) {{\n"
        f" deck bottom {random.randint(5, 12)} mm\n deck top {random.randint(36, 44)} mm\n}}"
    )
    cone = (
        f"crusher c_{name}: cones.high_speed(head: 1500 mm) {{\n duty secondary\n"
        f" css {random.randint(20, 24)} mm\n}}"
    )
    found = [f"blend {entry}"]
    out = [f"s_{name}.bottom.over -> {onward[0]}", f"s_{name}.under -> product p_{name}"]
    match kind:
        case "closed":
            found += [screen, cone, f"{entry} -> s_{name}", f"s_{name}.top.over -> c_{name}"]
            return [*found, f"c_{name} -> s_{name}", *out]
        case "reversed":
            found += [screen, cone, f"{entry} -> c_{name} -> s_{name}"]
            return [*found, f"s_{name}.top.over -> {entry}", *out]
        case "screened":
            return [*found, screen, f"{entry} -> s_{name}", f"s_{name}.top.over -> {target}", *out]
    share = random.randint(20, 60)
    found.append(f"splitter d_{name} {{\n out b {share} %\n out a rest\n out c 10 %\n}}")
    found += [f"{entry} -> d_{name}", f"d_{name}.a -> {onward[0]}", f"d_{name}.b -> {onward[-1]}"]
    return [*found, f"d_{name}.c -> {entry}"]
