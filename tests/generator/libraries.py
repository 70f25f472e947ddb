"""What users define for themselves: materials, sieves, bands, gradings and machine classes."""

from __future__ import annotations

from collections.abc import Sequence

from tests.generator.spelling import Pen
from tests.generator.standard import MachineClass, read_classes

_SIEVES = (90.0, 63.0, 45.0, 31.5, 22.4, 16.0, 11.2, 8.0, 5.6, 4.0, 2.0, 1.0, 0.5, 0.25, 0.063)


def material(pen: Pen, name: str) -> str:
    draw = pen.between
    density = draw(2.3, 3.1)
    lines = [
        f"solid_density {density:g} t/m3",
        f"bulk_density {1000 * density * draw(0.5, 0.65):.4g} kg/m3",
        f"work_index {draw(8, 20):g} kWh/t",
    ]
    if pen.chance(0.6):
        lines.append(f"abrasion_index {draw(0.02, 0.7):g}")
    if pen.chance(0.6):
        lines.append(f"moisture {pen.share(draw(0.002, 0.08))}")
    if pen.chance(0.2):
        lines += [f"t10_limit {draw(30, 60):g} %", f"energy_scale {draw(0.8, 3):g} kWh/t"]
    return _block(pen, f"material {name}", lines)


def grading(pen: Pen, top: float) -> str:
    """`{ 63 mm: 100 %, 31.5 mm: 55 % ... }` from a top size in mm down."""
    size, passing = top, 1.0
    points = [f"{pen.mm(size)}: 100 %"]
    for _ in range(pen.random.randint(3, 8)):
        size *= pen.random.uniform(0.35, 0.75)
        passing *= pen.random.uniform(0.5, 0.95)
        if size < 0.05:
            break
        points.append(f"{pen.mm(size)}: {100 * passing:.3g} %")
    return "{ " + ", ".join(points) + " }"


def named_grading(pen: Pen, name: str, top: float) -> str:
    lines = [f"passing {grading(pen, top)}"]
    if pen.chance(0.5):
        lines.append(f'about "{pen.title()}"')
    return _block(pen, f"grading {name}", lines)


def series(pen: Pen, name: str) -> str:
    kept = [s for s in _SIEVES if pen.chance(0.7)] or [8.0, 4.0]
    return f"series {name} {{ " + ", ".join(pen.mm(s) for s in kept) + " }"


def band(pen: Pen, name: str) -> str:
    sizes = sorted(pen.random.sample(_SIEVES, pen.random.randint(2, 4)), reverse=True)
    points, high = [], 1.0
    for size in sizes:
        low = max(0.0, high - pen.random.uniform(0.2, 0.6))
        points.append(f"{pen.mm(size)}: {100 * low:.3g} % to {100 * high:.3g} %")
        high = max(0.05, low * pen.random.uniform(0.5, 1.0))
    lines = ["passing { " + ", ".join(points) + " }", f'source "{pen.title()}"']
    return _block(pen, f"band {name}", lines)


def machine_class(pen: Pen, kind: str, name: str) -> tuple[str, MachineClass]:
    """The text of a class, and the class as a machine sees it."""
    head, lines = {
        "crusher": _crusher,
        "screen": _screen,
        "feeder": _feeder,
        "conveyor": _conveyor,
        "classifier": _classifier,
        "magnet": _magnet,
        "metal_detector": _metal_detector,
        "pump": _pump,
        "thickener": _thickener,
    }[kind](pen)
    lines = [*lines, f'about "{pen.title()}"', f'caution "{pen.title()}"']
    order = [*lines[:3], *pen.random.sample(lines[3:], len(lines) - 3)]
    body = "\n".join(f"  {line}" for line in order)
    text = f"class {kind} {name}({head}) {{\n{body}\n}}"
    return text, read_classes("", text)[0]


def _crusher(pen: Pen) -> tuple[str, list[str]]:
    low = pen.random.choice((1, 5, 20, 60))
    high = low * pen.random.choice((6, 12))
    lines = [
        f"setting css: {low} mm to {high} mm",
        "setting lining: coarse | fine = coarse",
        "let drive = 60 kW * (size / 1 m) ^ 2 + 20 kW",
        "feed_opening by lining { coarse: 6 * css, fine: 4 * css }",
        f"max_reduction_ratio {pen.between(3, 9):g}",
        "installed_power drive",
        "action inter_particle",
        f'rule css <= {high} mm else "{pen.title()}"',
        *_some(
            pen,
            f"relief_stroke {pen.mm(pen.between(20, 100))}",
            f"min_load {pen.share(pen.between(0.2, 0.7))}",
            f"liner_mass {pen.between(0.2, 5):g} t",
            f"closest_setting {low} mm",
            f"moisture_limit {pen.share(pen.between(0.01, 0.06))}",
            "model wear: chamber_liners",
        ),
    ]
    if pen.chance(0.3):
        lines += [f"chamber_angle {pen.between(30, 60):g} deg", "thread_pitch 1 in"]
        lines += ["adjustment_teeth 60"]
    lines += _breakage(pen) + _capacity(pen)
    lines.append(f"model power: bond {{ no_load 0.1 * drive; efficiency {pen.between(0.5, 1):g} }}")
    lines.append("model flakiness: near_setting { css css; best 15 %; usual_ratio 3 }")
    if pen.chance(0.5):
        lines.append("model flat_elongated: near_setting { css css; best 6 % }")
    return "size: 400 mm to 2000 mm", lines


def _breakage(pen: Pen) -> list[str]:
    draw = pen.between
    chamber = f"k1 {draw(0.3, 0.8):g} * css; k2 {draw(1.8, 3):g} * css"
    models = [
        f"model breakage: matrix {{ {chamber}; k3 {draw(1.5, 3):g}; "
        f"fines_share {draw(5, 40):g} % }}",
        f"model breakage: setting_curve {{ css css; passing_css {draw(0.5, 0.9):g}; "
        f"top_ratio {draw(1.5, 3):g}; slope {draw(0.6, 1.4):g} }}",
        f"model breakage: matrix_t10 {{ {chamber}; t10_limit 45 %; energy_scale 1.8 kWh/t; "
        f"specific_energy {draw(0.3, 2):g} kWh/t }}",
        f"model breakage: matrix {{ {chamber}; k1_feed 0.002; usual_f80 4 * css }}",
        f"model breakage: impact {{ tip_speed {draw(20, 60):g} m/s; d_min 0.1 * css; d50 css }}",
    ]
    first = pen.random.choice(models)
    name = first.split()[2]
    others = [m for m in models if m.split()[2] != name]
    return [first, pen.random.choice(others)] if pen.chance(0.3) else [first]


def _capacity(pen: Pen) -> list[str]:
    draw = pen.between
    gape = "3 * css" if pen.chance(0.9) else "min(3 * css, 200 mm)"  # at times below the setting
    return [
        pen.random.choice(
            (
                f"model capacity: rated {{ rated {draw(50, 900):g} t/h }}",
                f"model capacity: jaw {{ gape max({gape}, 50 mm); width size; css max(css, 5 mm); "
                f"throw {draw(8, 40):g} mm }}",
                f"model capacity: choke_zone {{ css css; throw {draw(10, 40):g} mm; "
                f"mean_diameter size; speed {draw(200, 400):g} rpm }}",
                f"model capacity: rotor {{ width size; gap css; tip_speed {draw(20, 60):g} m/s; "
                "inlet 0.6 * size; drop 0.5 * size; inlet_fill 5 % }",
                f"model capacity: roll {{ width size; gap css; "
                f"peripheral_speed {draw(1, 8):g} m/s }}",
            )
        )
    ]


def _screen(pen: Pen) -> tuple[str, list[str]]:
    draw = pen.between
    partition = pen.random.choice(
        (
            "model partition: karra { inclination slope }",
            f"model partition: fixed {{ ratio {draw(0.75, 1):g}; sharpness {draw(3, 12):g} }}",
        )
    )
    lines = [
        "setting slope: 0 deg to 30 deg = 15 deg",
        "max_decks 4",
        "inclination slope",
        "area 0.95 * width * length",
        "width width",
        "length length",
        partition,
        *_some(
            pen,
            "travel_speed 24 m/min",
            f"open_area {draw(40, 75):g} %",
            "max_bed_factor 4",
            "model area: factor_method { efficiency 92 % }",
            f"installed_power {draw(5, 40):g} hp",
        ),
    ]
    return "width: 0.6 m to 3.6 m, length: 2 m to 9 m", lines


def _feeder(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        f"setting speed: 0.05 m/s to 0.5 m/s = {pen.between(0.1, 0.4):g} m/s",
        f"installed_power {pen.between(2, 30):g} kW",
        "max_feed_size 0.5 * width",
        "model capacity: layer { width width; depth 0.4 * width; travel_speed speed }",
    ]
    return "width: 400 mm to 2500 mm", lines


def _conveyor(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        "setting speed: 0.5 m/s to 4 m/s = 2 m/s",
        "max_lump width / 3",
        "max_slope 18 deg",
        f"installed_power {pen.between(5, 100):g} kW",
        "model capacity: trough { width width; middle_roll 0.38 * width; trough_angle 30 deg; "
        "surcharge_angle 15 deg; travel_speed speed; length length; lift 0 m }",
        "model belt_power: resistance { travel_speed speed; length length; lift 0 m; "
        "belt_mass 1 t; roll_mass 1 t }",
    ]
    return "width: 400 mm to 2000 mm, length: 5 m to 500 m", lines


def _classifier(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        "setting cut: 0.05 mm to 0.6 mm = 0.15 mm",
        f"added_water {pen.between(5, 60):g} m3/h",
        f"retained_moisture {pen.between(10, 25):g} %",
        f"model partition: settling {{ d50 cut; bypass {pen.between(0, 0.3):g} }}",
    ]
    return "size: 300 mm to 2000 mm", lines


def _over_a_belt(pen: Pen) -> str:
    return (
        f"model capacity: layer {{ width 0.8 * width; depth {pen.between(80, 400):g} mm; "
        "travel_speed speed; fill 70 % }"
    )


def _magnet(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        "setting speed: 0.5 m/s to 4 m/s = 2 m/s",
        f"tramp_removal {pen.share(pen.random.choice((0.0, 0.5, 0.9, 1.0)))}",
        _over_a_belt(pen),
        *_some(pen, f"installed_power {pen.between(2, 20):g} kW"),
    ]
    return "width: 400 mm to 2000 mm", lines


def _metal_detector(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        "setting speed: 0.5 m/s to 4 m/s = 2 m/s",
        f"detected_size {pen.between(5, 90):g} mm",
        f"detected_share {pen.share(pen.random.choice((0.5, 0.98, 1.0)))}",
        _over_a_belt(pen),
        *_some(pen, f"clearing {pen.between(5, 60):g} min"),
    ]
    return "width: 400 mm to 2000 mm", lines


def _pump(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        f"setting head: 2 m to 60 m = {pen.between(5, 50):g} m",
        "max_flow flow",
        f"model pump_power: hydraulic {{ head head; efficiency {pen.between(0.3, 0.8):g} }}",
        *_some(pen, f"installed_power {pen.between(5, 90):g} kW"),
    ]
    return "flow: 20 m3/h to 2000 m3/h", lines


def _thickener(pen: Pen) -> tuple[str, list[str]]:
    lines = [
        "setting solids: 20 % to 60 % = 40 %",
        "let pool = size ^ 2 * 0.785",
        "retained_moisture (1 - solids) / solids",
        f"model partition: settling {{ d50 0.004 mm; bypass {pen.between(0.8, 1):g} }}",
        "model capacity: settling { surface pool; interface_speed 5 m/h; test_solids 5 %; "
        "underflow_solids solids }",
        *_some(pen, "surface pool", "max_rise_rate 4 m/h", f"water_reused {pen.share(0.85)}"),
    ]
    return "size: 3 m to 40 m", lines


def _some(pen: Pen, *lines: str) -> list[str]:
    return [line for line in lines if pen.chance(0.4)]


def _block(pen: Pen, head: str, lines: Sequence[str]) -> str:
    """A block over several lines, or on one."""
    shuffled = pen.random.sample(lines, len(lines))
    if pen.chance(0.3):
        return f"{head} {{ {'; '.join(shuffled)} }}"
    return f"{head} {{\n" + "\n".join(f"  {line}" for line in shuffled) + "\n}"
