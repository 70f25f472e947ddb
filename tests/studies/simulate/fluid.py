"""Two sections with a store between them, solved another way: the Markov fluid equations.

The continuous two-machine line with a finite buffer and operation-dependent failures, after
Gershwin and Schick (1980) and Mitra (1988), both from memory; the equations below are written anew
from balance of probability, and solved with scipy's matrix exponential.

States are up/up (a), up/down (b), down/up (c), down/down (z); speeds m1, m2, failures p1, p2 and
repairs r1, r2 per hour. Inside, with f the densities over the level x,

    (m1 - m2) f_a' = -(p1 + p2) f_a + r2 f_b + r1 f_c
           m1 f_b' = -(p1 + r2) f_b + p2 f_a + r1 f_z
          -m2 f_c' = -(p2 + r1) f_c + p1 f_a + r2 f_z
                 0 = -(r1 + r2) f_z + p1 f_b + p2 f_c

At an empty store the second is starved while the first is down and can't fail then; at a full one
the first is blocked while the second is down, likewise. A section slowed by its neighbour fails as
often as one at speed. The faster section decides where probability gathers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import expm, svd


@dataclass(frozen=True)
class Pair:
    m1: float
    m2: float
    p1: float
    p2: float
    r1: float
    r2: float
    room: float

    @property
    def mirrored(self) -> Pair:
        """The line run backwards makes as much (reversibility)."""
        return Pair(self.m2, self.m1, self.p2, self.p1, self.r2, self.r1, self.room)


def throughput(pair: Pair) -> float:
    """Tonnes an hour that leave the second section in the long run; speeds differ.

    The first section is the slower one here; the other case is its mirror image.
    """
    if pair.m1 > pair.m2:
        return throughput(pair.mirrored)
    m1, m2, p1, p2, r1, r2 = pair.m1, pair.m2, pair.p1, pair.p2, pair.r1, pair.r2
    drift = np.array([m1 - m2, m1, -m2])
    both = np.array([0.0, p1, p2]) / (r1 + r2)  # f_z in terms of f_a, f_b, f_c
    rates = np.array([[-(p1 + p2), r2, r1], [p2, -(p1 + r2), 0.0], [p1, 0.0, -(p2 + r1)]])
    rates[1] += r1 * both
    rates[2] += r2 * both
    inside = rates / drift[:, None]
    # Densities at the full store, and their integral, from those at the empty one.
    block = np.zeros((6, 6))
    block[:3, :3], block[3:, :3] = inside, np.eye(3)
    grown = expm(block * pair.room)
    at_full, area = grown[:3, :3], grown[3:, :3]
    # Unknowns: f_a, f_b, f_c at the empty store; masses up/up and down/up there, up/down at full.
    system = np.zeros((6, 6))
    system[0] = [m2 - m1, 0, 0, -(p1 + p2), r1, 0]
    system[1] = [0, 0, m2, p1, -r1, 0]
    system[2] = [0, m1, 0, -p2, 0, 0]
    system[3, :3], system[3, 5] = m1 * at_full[1], -r2
    system[4, :3], system[4, 5] = (m2 - m1) * at_full[0], -r2
    system[5, :3] = at_full[2]
    system[3:5] /= np.abs(at_full).max()  # of like size, or rounding drowns the null space
    system[5] /= np.abs(at_full).max()
    values, rows = svd(system)[1:]
    assert values[-1] < 1e-6 * values[-2]
    solution = rows[-1]
    densities = area @ solution[:3]
    total = densities.sum() + both @ densities + solution[3:].sum()
    up = densities[0] + densities[2]
    return float((m2 * up + m1 * solution[3]) / total)
