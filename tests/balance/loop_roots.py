"""All balances of a loop that one deck closes, by scipy's brentq on a scan of its cut size.

The flows are those of `fine_reference`, for all cut sizes of the scan at once.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from .fine_reference import Fine

Array = NDArray[np.float64]

_STEPS, _SPAN = 300, 3.0  # of log cut sizes below that of an empty deck


def loop_roots(fine: Fine) -> list[float]:
    """Log cut sizes of the top deck of `sizing` at which its load gives that cut size, lightest
    load first. Its oversize goes to `cone`, which returns all of it to `sizing`."""
    machine = fine.machines[fine.place["sizing"]]
    deck = machine.decks[0]
    model = fine.crushers["cone"]
    damp = fine.moisture
    entering = fine.supply[:, fine.place["sizing"]]

    def residuals(z: Array) -> Array:
        kept = np.array([fine.kept(deck, machine, float(cut), damp) for cut in np.exp(z)]).T
        feeds, history = np.zeros_like(kept), np.zeros_like(kept)
        for i in range(fine.n):
            broken = model.coarser[i, :i] @ history[:i]
            feeds[i] = (entering[i] + model.nu[i] * broken) / (1.0 - model.mu[i] * kept[i])
            struck = kept[i] * feeds[i] + (broken if model.again else 0.0)
            history[i] = model.kappa[i] * struck
        loaded = [fine.cut(deck, machine, 1, load, damp) for load in feeds.T]
        return np.asarray(np.log(loaded) - z)

    def residual(z: float) -> float:
        return float(residuals(np.array([z]))[0])

    top = float(np.log(fine.cut(deck, machine, 1, np.zeros(fine.n), damp)))
    scan = np.linspace(top, top - _SPAN, _STEPS)
    with np.errstate(all="ignore"):
        values = residuals(scan)
        places = [*scan]
        for k in range(1, _STEPS - 1):  # a pair of roots between two steps
            near = abs(values[k]) < min(abs(values[k - 1]), abs(values[k + 1]))
            if near and values[k] * values[k - 1] > 0.0 and values[k] * values[k + 1] > 0.0:
                side = np.sign(values[k])
                lowest = optimize.minimize_scalar(
                    lambda z, side=side: side * residual(z),
                    bounds=(scan[k + 1], scan[k - 1]),
                    method="bounded",
                    options={"xatol": 1e-7},
                )
                places.append(float(lowest.x))
        places = sorted(places, reverse=True)
        values = residuals(np.array(places))
        return [
            float(optimize.brentq(residual, a, b, xtol=1e-12))
            for a, b, fa, fb in zip(places, places[1:], values, values[1:], strict=False)
            if np.isfinite(fa) and np.isfinite(fb) and fa * fb < 0.0
        ]
