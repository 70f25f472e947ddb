"""The free coefficients, their form and their bounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.fit.base import BaseClass

# Lengths are fitted as multiples of the css. These are wider than the 0.5 to 0.95 and 1.7 to 3.5
# that are usual for the two (from memory), and do not overlap, so that k2 stays above k1.
_TIMES_CSS = {"k1": (0.2, 1.2), "k2": (1.25, 6.0)}
_APART = 1.001  # k2 over k1 at the least, where one of them is held
_USUAL = {
    "matrix": ("k1", "k2", "fines_share"),
    "matrix_t10": ("k1", "k2", "specific_energy"),
    "setting_curve": ("passing_css", "slope"),
}


@dataclass(frozen=True, slots=True)
class Parameter:
    """A free coefficient: a mean over the samples, as a multiple of the css if `times_css`,
    otherwise in `unit`.

    `shape` is how the class's own expression varies about its mean: a sample's coefficient is the
    parameter's value times the sample's `shape`. So its dependence on other settings (speed,
    chamber) is kept.
    """

    name: str
    unit: str
    times_css: bool
    low: float
    high: float
    start: float
    shape: tuple[float, ...]

    @property
    def label(self) -> str:
        if self.times_css:
            return f"{self.name} / css"
        return f"{self.name}, {self.unit}" if self.unit else self.name


def free_parameters(base: BaseClass, names: Sequence[str] | None) -> tuple[Parameter, ...]:
    """The coefficients to fit, named or default, in the model's order.

    Bounds are those of the catalog, and common ones for multiples of the css. Raises HogginError
    for a name that the model does not have, and if a coefficient's value in the class is unknown.
    """
    known = {c.name: c for c in base.model.coefficients if c.name != "css"}
    wanted = _USUAL.get(base.model.name) if names is None else names
    if not wanted:
        raise HogginError(
            f"name the coefficients to fit with --free: {', '.join(f'`{name}`' for name in known)}"
        )
    for name in wanted:
        if name not in known:
            hint = did_you_mean(name, known)
            raise HogginError(f"breakage model `{base.model.name}` has no `{name}` to fit. {hint}")
    if not min(base.css_mm) > 0.0:
        raise HogginError("a css must be above 0")
    for name, values in base.coefficients.items():
        if any(math.isnan(value) for value in values):
            raise HogginError(
                f"`{name}` of {base.name} depends on unknown parameters: give them, as "
                "--set head=1300mm or --set chamber=fine"
            )
    following = [name for name in base.model.feed_coefficients if name in wanted]
    if following and not min(base.coefficients["usual_f80"]) > 0.0:
        raise HogginError(
            f"`{following[0]}` is relative to the F80 of a usual feed: state `usual_f80` in the "
            f"breakage model of {base.name}, above 0"
        )
    return tuple(_parameter(base, name, set(wanted)) for name in known if name in wanted)


def _parameter(base: BaseClass, name: str, free: set[str]) -> Parameter:
    coefficient = next(c for c in base.model.coefficients if c.name == name)
    times_css = coefficient.unit == "mm"
    scale = base.css_mm if times_css else (1.0,) * len(base.css_mm)
    values = base.coefficients[name]
    start = math.fsum(v / s for v, s in zip(values, scale, strict=True)) / len(values)
    shape = tuple(value / start for value in values) if start > 0.0 else scale
    if min(shape) <= 0.0:
        raise HogginError(f"`{name}` of {base.name} is not above 0 at every sample: keep it fixed")
    low = coefficient.low / min(shape)
    high = coefficient.high / max(shape)
    if times_css:
        usual_low, usual_high = _TIMES_CSS.get(name, (0.1, 6.0))
        low, high = max(usual_low, low), min(usual_high, high)
        other = {"k1": "k2", "k2": "k1"}.get(name)
        if other is not None and other not in free:  # k1 stays below a k2 that is held
            held = [v / s for v, s in zip(base.coefficients[other], shape, strict=True)]
            if name == "k1":
                high = min(high, min(held) / _APART)
            else:
                low = max(low, max(held) * _APART)
    if not low < high:
        raise HogginError(f"the fixed coefficients leave no range for `{name}`")
    return Parameter(name, coefficient.unit, times_css, low, high, start, shape)
