"""A second solution of plants, on fine uniform classes, that shares no code with the balance.

numpy and scipy alone, from the equations of `docs/models.md` and the sources it names: Whiten's
chamber with two-term or t10 breakage, alike for all pieces of feed or not, Nikolov's impactor, the
setting curve, Karra's and fixed cut sizes. A `Plant` is read as data. Classes are uniform in log
size, `octave` of them a doubling, with the sizes at which a model changes its formula as further
edges; each class stands for the rock at its middle. Two such solutions give the converged one
(`converged`, Richardson 1911).

A chamber that is not full breaks a share of its feed as a starved one would: it is two crushers
side by side. How full it is at given cut sizes is found by scipy's brentq, or MINPACK's hybrid
method for several chambers.

Where cut sizes depend on load, roots are found by scipy: `roots` scans a plant of one such deck for
all of them, and `settle` runs MINPACK's hybrid method from many starts for plants of several.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import interpolate, optimize

from hoggin.schema.plant import Deck, Feed, Machine, Plant

Array = NDArray[np.float64]
Finer = Callable[[Array, Array], Array]

_FINEST_MM = 0.063
_AREA_M2 = 10.0  # of a screen that states none, as the balance has it


@dataclass(frozen=True, slots=True)
class Broken:
    """A crusher by class: p = mu x + nu s, where s is what arrives broken from coarser classes,
    s = B h with h = kappa (x + s), or kappa x where broken rock is not struck again."""

    mu: Array
    nu: Array
    kappa: Array
    again: bool
    coarser: Array  # B without its diagonal


@dataclass
class Solved:
    """Machine feeds (M, n) and outlet flows by (tag, outlet) at given cut sizes."""

    feeds: dict[str, Array]
    outlets: dict[tuple[str, str], Array]
    loaded: Array  # the cut sizes that these loads give

    @property
    def totals(self) -> dict[tuple[str, str], float]:
        return {key: float(flow.sum()) for key, flow in self.outlets.items()}


@dataclass
class Fine:
    """A plant of one bulk density on fine classes."""

    plant: Plant
    octave: int = 64
    more: Iterable[float] = ()
    edges: Array = field(init=False)

    def __post_init__(self) -> None:
        plant = self.plant
        self.machines = list(plant.machines)
        self.place = {m.tag: k for k, m in enumerate(self.machines)}
        self.edges = self._edges()
        upper, lower = self.edges[:-1], self.edges[1:]
        self.middle = np.sqrt(upper * np.where(lower > 0.0, lower, upper / 4.0))
        self.n = len(self.middle)
        crushing = [m for m in self.machines if m.kind == "crusher"]
        self.crushers = {m.tag: self._crusher(m, _coefficients(m)) for m in crushing}
        self.starved = {
            m.tag: self._crusher(m, _starved(_coefficients(m)))
            for m in crushing
            if _starved(_coefficients(m)) != _coefficients(m)
        }
        (self.density,) = {m.bulk_density_t_m3 for m in plant.materials.values()}
        self.decks = [(m, d, k) for m in self.machines for k, d in enumerate(m.decks, 1)]
        self.loaded_decks = [
            k for k, (m, _, _) in enumerate(self.decks) if m.models["partition"].model == "karra"
        ]
        self.water = np.zeros(len(self.machines))
        moistures = {f.tag: self._of_load(f, "moisture") for f in plant.feeds}
        (self.clay,) = {self._of_load(f, "clay") for f in plant.feeds}
        self.uneven = len({*moistures.values()}) > 1
        self.supply = np.zeros((self.n, len(self.machines)))
        grown = {f.tag: f.rate_t_h * self._grading(f.grading) for f in plant.feeds}
        for stream in plant.streams:
            if stream.source in grown and stream.target in self.place:
                self.supply[:, self.place[stream.target]] += grown[stream.source]
                brought = grown[stream.source].sum() * moistures[stream.source]
                self.water[self.place[stream.target]] += brought
        self.moisture = float(self.water.sum() / self.supply.sum())

    def _of_load(self, feed: Feed, name: str) -> float:
        own = getattr(feed, name)
        found: float = getattr(self.plant.materials[feed.material], name) if own is None else own
        return found

    def _edges(self) -> Array:
        special = {_FINEST_MM, *self.more}
        for f in self.plant.feeds:
            special.update(size for size, _ in f.grading)
        for m in self.machines:
            for deck in m.decks:
                square = _square(deck)
                special.add(square)
                if m.models["partition"].model == "karra":
                    through = _through(deck, m)
                    special.update(through * r for r in (0.5, 0.75, 1.0, 1.25))
            if m.kind == "crusher":
                special.update(_kinks(m, _coefficients(m), self.plant))
                special.update(_kinks(m, _starved(_coefficients(m)), self.plant))
        top = max(size for f in self.plant.feeds for size, _ in f.grading)
        count = int(np.ceil(self.octave * np.log2(top / _FINEST_MM)))
        even = np.geomspace(top, _FINEST_MM, count + 1)
        every = np.unique([*even, *(s for s in special if _FINEST_MM <= s <= top)])[::-1]
        kept = np.append(True, every[1:] < every[:-1] * (1.0 - 1e-9))
        return np.append(every[kept], 0.0)

    def _grading(self, points: tuple[tuple[float, float], ...]) -> Array:
        """Class fractions of scipy's monotone cubic in log size, Gaudin-Schuhmann below it."""
        sizes, passing = np.array(points)[::-1].T
        curve = interpolate.PchipInterpolator(np.log(sizes), passing)
        at = np.clip(self.edges[:-1], sizes[0], sizes[-1])
        finer = curve(np.log(at))
        slope = np.log(passing[1] / passing[0]) / np.log(sizes[1] / sizes[0]) if passing[0] else 1.0
        below = self.edges[:-1] < sizes[0]
        finer = np.where(below, passing[0] * (self.edges[:-1] / sizes[0]) ** slope, finer)
        finer[0] = 1.0
        return -np.diff(np.append(finer, 0.0))

    # -- crushers -------------------------------------------------------------------------------

    def _crusher(self, machine: Machine, c: Mapping[str, float]) -> Broken:
        use = machine.models["breakage"]
        d = self.middle
        again = use.model != "setting_curve"
        if use.model in ("matrix", "matrix_t10"):
            finer = _t10_finer(c) if use.model == "matrix_t10" else _two_terms(c)
            k1, k2 = _chamber_sizes(c, self.plant)
            if c.get("size_exponent"):
                return self._by_pieces(c, k1, k2, finer)
            chance = 1.0 - np.clip((k2 - d) / (k2 - k1), 0.0, 1.0) ** c["k3"]
        elif use.model == "impact":
            shrink = (0.5 * c["reference_speed"] ** 2) / (c["energy_factor"] * c["tip_speed"] ** 2)
            shrink **= c["energy_exponent"]
            above = np.maximum(d - c["d_min"] * shrink, 0.0)
            chance = 1.0 - np.exp(-((above / (c["d50"] * shrink)) ** c["sharpness"]))
            finer = _two_terms(c)
        elif use.model == "setting_curve":
            chance = np.ones(self.n)
            finer = _setting_curve(c)
        else:
            raise ValueError(use.model)
        chance[-1] = 0.0
        own, coarser = self._progeny(finer)
        if again:
            mu = (1.0 - chance) / (1.0 - own * chance)
            return Broken(mu, mu, chance / (1.0 - own * chance), True, coarser)
        mu = 1.0 - chance + own * chance
        return Broken(mu, np.ones(self.n), chance, False, coarser)

    def _progeny(self, finer: Finer) -> tuple[Array, Array]:
        """What of a class's progeny stays in it, (n,), and the rest by class and parent, (n, n)."""
        below = finer(self.edges[:, None], self.middle[None, :])  # (n + 1, n)
        below[np.arange(self.n + 1)[:, None] <= np.arange(self.n)] = 1.0
        shares = below[:-1] - below[1:]
        own = np.diagonal(shares).copy()
        own[-1] = 0.0
        return own, np.tril(shares, -1)

    def _by_pieces(self, c: Mapping[str, float], k1: float, k2: float, finer: Finer) -> Broken:
        """A chamber in which what comes of a coarser piece of feed is broken at coarser sizes: the
        product of each piece by itself, from coarse to fine, as if broken at once."""
        d = self.middle
        scale = np.clip(d / c["usual_f80"], 0.25, 4.0) ** c["size_exponent"]
        own, coarser = self._progeny(finer)
        broken, product = np.zeros((self.n, self.n)), np.zeros((self.n, self.n))
        for i in range(self.n):
            inside = np.clip((k2 * scale - d[i]) / ((k2 - k1) * scale), 0.0, 1.0)
            chance = 1.0 - inside ** c["k3"] if i < self.n - 1 else np.zeros(self.n)
            arriving = coarser[i, :i] @ broken[:i]
            arriving[i] += 1.0
            arriving /= 1.0 - own[i] * chance
            broken[i], product[i] = chance * arriving, (1.0 - chance) * arriving
        mu, one = np.diagonal(product).copy(), np.ones(self.n)
        return Broken(mu, one, one, False, np.tril(product, -1))

    # -- screens --------------------------------------------------------------------------------

    def kept(self, deck: Deck, machine: Machine, cut: float, moisture: float) -> Array:
        s = machine.models["partition"].coefficients.get("sharpness", 5.846)
        c = 1.0 - np.exp(-np.log(2.0) * np.minimum(self.middle / cut, 1e3) ** s)
        use = machine.models["partition"].coefficients
        damp = 0.0 if use.get("wet") else min(moisture / 0.05, 1.0)
        clinging = use.get("clinging", 0.0) * (1.0 + (use.get("damp_clinging", 2.0) - 1.0) * damp)
        c = c + (1.0 - c) * clinging * np.exp(-self.middle / 0.5)
        return np.where(self.middle > _square(deck), 1.0, c)

    def cut(self, deck: Deck, machine: Machine, number: int, load: Array, moisture: float) -> float:
        """The cut size under a load: Karra (1979) as `docs/models.md` and King (2001) have it."""
        use = machine.models["partition"]
        if use.model == "fixed":
            return use.coefficients.get("ratio", 0.9) * _square(deck)
        h = _through(deck, machine)
        total = load.sum()
        if total <= 0.0:
            return float(h * (np.hypot(0.844, 0.01) / 0.02) ** 0.148)
        finer = np.append(np.cumsum(load[::-1])[::-1], 0.0)

        def below(size: float) -> float:
            at = np.log(np.append(self.edges[:-1], self.edges[-2] / 1e6))[::-1]
            return float(np.interp(np.log(size), at, finer[::-1]))

        under = below(h)
        q, half = 1.0 - under / total, below(0.5 * h) / total
        a = 12.13 * h**0.32 - 10.3 if h < 50.8 else 0.3388 * h + 14.41
        b = min(1.6 - 1.2 * q, 4.275 - 4.25 * q)
        c = max(1.2 * half + 0.7, 2.053 * half**0.564, 3.35 * half**1.37, 5.0 * half - 1.5)
        wet = use.coefficients.get("wet", 0.0)
        steps = [1.0, 2.0, 4.0, 6.0, 10.0, 12.0, 16.0, 24.0, 32.0]
        e_table = [1.0, 2.0, 2.5, 2.5, 2.0, 1.5, 1.3, 1.2, 1.15]
        e = 1.0 + wet * (np.interp(1.26 * h, steps, e_table) - 1.0)
        capacity = max(a, 0.5) * b * c * (1.1 - 0.1 * number) * e * self.density / 1.602
        near = (below(1.25 * h) - below(0.75 * h)) / total
        g = np.hypot(0.844 * max(1.0 - near, 0.0) ** 3.453, 0.01)
        k = np.hypot(
            self._crowding(deck, machine, total - under)
            * under
            / (_area(machine) * self._open(deck, machine, moisture))
            / capacity,
            0.02,
        )
        return float(h * (g / k) ** 0.148 * (1.0 + (k / 2.5) ** 8) ** (-0.852 / 8))

    def _open(self, deck: Deck, machine: Machine, moisture: float) -> float:
        """What damp fines leave open of a deck: `docs/methods.md`."""
        c = machine.models["partition"].coefficients
        damp = 0.0 if c.get("wet") else np.clip((moisture - 0.03) / 0.03, 0.0, 1.0)
        none = 20.0 if self.clay > 0.02 else 12.0
        fine = np.clip((none - _square(deck)) / (none / 2.0), 0.0, 1.0)
        return float(1.0 - c.get("blinding", 0.6) * damp * fine)

    def _crowding(self, deck: Deck, machine: Machine, over_t_h: float) -> float:
        """How much more load a deep bed counts as: `docs/methods.md`."""
        c = machine.models["partition"].coefficients
        if not c.get("width"):
            return 1.0
        flow_m3_s = over_t_h / self.density / 3600.0
        bed_mm = 1000.0 * flow_m3_s / (c["width"] / 1000.0 * c["travel_speed"])
        limit_mm = c["max_bed_factor"] * _square(deck)
        return float((1.0 + (bed_mm / limit_mm) ** 4) ** 0.25)

    # -- flows ----------------------------------------------------------------------------------

    def _shares(
        self, cuts: list[float], moistures: Array
    ) -> tuple[dict[tuple[str, str], Array], list[Array]]:
        """What each outlet of screens and splitters takes of its machine's feed, and what of it
        reaches each deck."""
        shares: dict[tuple[str, str], Array] = {}
        reaching: list[Array] = []
        for m in self.machines:
            shares |= {(m.tag, o): np.full(self.n, share) for o, share in m.shares.items()}
            if m.kind == "screen":
                through = np.ones(self.n)
                for deck in m.decks:
                    moisture = moistures[self.place[m.tag]]
                    over = self.kept(deck, m, cuts[len(reaching)], moisture)
                    reaching.append(through)
                    shares[m.tag, f"{deck.name}.over"] = through * over
                    through = through * (1.0 - over)
                shares[m.tag, "under"] = through
        return shares, reaching

    def at(self, cuts: Iterable[float], scale: float = 1.0) -> Solved:
        """Flows at cut sizes of all decks, in order, with feeds scaled."""
        every, tags = list(cuts), list(self.starved)

        def flows(moistures: Array, filled: Array) -> Solved:
            return self._flows(every, moistures, scale, dict(zip(tags, filled, strict=True)))

        def settled(moistures: Array) -> Solved:
            """With the fillings that these moistures lead to."""

            def error(filled: Array) -> Array:
                feeds = flows(moistures, np.clip(filled, 1e-9, 1.0)).feeds
                return np.array([self.filling(tag, feeds[tag].sum()) for tag in tags]) - filled

            full = np.ones(len(tags))
            if not tags or not error(full).any():
                return flows(moistures, full)
            if len(tags) == 1:
                one = optimize.brentq(lambda w: error(np.array([w]))[0], 1e-9, 1.0)
                return flows(moistures, np.array([one]))
            found = optimize.root(error, full, method="hybr", tol=1e-13)
            assert np.abs(error(found.x)).max() < 1e-9
            return flows(moistures, np.clip(found.x, 0.0, 1.0))

        moistures = np.full(len(self.machines), self.moisture)
        solved = settled(moistures)
        while self.uneven:
            found = self._moistures(solved, scale)
            if np.abs(found - moistures).max() < 1e-14:
                break
            moistures = found
            solved = settled(moistures)
        return solved

    def _moistures(self, solved: Solved, scale: float) -> Array:
        """Of the feeds of all machines, where water goes pro rata and none is added or drained."""
        assert all(not deck.spray_m3_h for _, deck, _ in self.decks)
        solids = np.array([solved.feeds[m.tag].sum() for m in self.machines])
        ways = np.zeros((len(solids), len(solids)))
        for stream in self.plant.streams:
            if stream.source in self.place and stream.target in self.place:
                u, v = self.place[stream.source], self.place[stream.target]
                ways[v, u] += solved.outlets[stream.source, stream.outlet].sum() / solids[u]
        wet = np.linalg.solve(np.eye(len(solids)) - ways, scale * self.water)
        return np.asarray(wet / solids)

    def filling(self, tag: str, fed_t_h: float) -> float:
        """4 u^3 - 3 u^4 of the feed over that which keeps the chamber full: `docs/methods.md`."""
        machine = self.machines[self.place[tag]]
        c = machine.models["capacity"].coefficients
        capacity = c["rated"] * self.density / c["rated_density"]
        u = min(fed_t_h / (machine.count * machine.facts["min_load"] * capacity), 1.0)
        return float(4.0 * u**3 - 3.0 * u**4)

    def _flows(
        self, cuts: list[float], moistures: Array, scale: float, filled: Mapping[str, float]
    ) -> Solved:
        """Flows at cut sizes, moistures and fillings of the chambers."""
        tags = [m.tag for m in self.machines]
        shares, reaching = self._shares(cuts, moistures)
        count = len(tags)
        ways = np.zeros((self.n, count, count))
        for stream in self.plant.streams:
            if stream.source in self.place and stream.target in self.place:
                share = shares.get((stream.source, stream.outlet), 1.0)
                ways[:, self.place[stream.target], self.place[stream.source]] += share
        passed = ways.copy()
        modes = [(self.place[t], filled.get(t, 1.0), model) for t, model in self.crushers.items()]
        modes += [(self.place[t], 1.0 - filled[t], model) for t, model in self.starved.items()]
        crushing, models = [u for u, _, _ in modes], [model for _, _, model in modes]
        for u in set(crushing):
            unbroken = np.sum([share * one.mu for v, share, one in modes if v == u], axis=0)
            passed[:, :, u] *= unbroken[:, None]
        inverse = np.linalg.inv(np.eye(count) - passed)
        x = np.einsum("iuv,iv->iu", inverse, scale * self.supply)
        answer = inverse @ ways[:, :, crushing]  # (n, M, c)
        # By crusher, then by class: what is summed lies together.
        broken = np.zeros((len(models), self.n))
        history = np.zeros((len(models), self.n))
        given_off = np.array([model.nu for model in models])
        for i in range(self.n):
            for k, model in enumerate(models):
                broken[k, i] = model.coarser[i, :i] @ history[k, :i]
            x[i] += answer[i] @ (given_off[:, i] * broken[:, i])
            for k, (u, share, model) in enumerate(modes):
                struck = share * x[i, u] + (broken[k, i] if model.again else 0.0)
                history[k, i] = model.kappa[i] * struck
        outlets: dict[tuple[str, str], Array] = {}
        for u, m in enumerate(self.machines):
            outlets |= {(m.tag, o): x[:, u] * shares.get((m.tag, o), 1.0) for o in m.outlets}
            if m.kind == "crusher":
                outlets[m.tag, "product"] = np.zeros(self.n)
        for k, (u, share, model) in enumerate(modes):
            outlets[tags[u], "product"] += share * model.mu * x[:, u] + model.nu * broken[k]
        loaded = [
            self.cut(
                *(d, m, number),
                x[:, self.place[m.tag]] * reaching[k],
                moistures[self.place[m.tag]],
            )
            for k, (m, d, number) in enumerate(self.decks)
        ]
        return Solved({t: x[:, u] for u, t in enumerate(tags)}, outlets, np.array(loaded))

    # -- roots ----------------------------------------------------------------------------------

    def residual(self, log_cuts: Array, scale: float = 1.0) -> Array:
        try:
            with np.errstate(all="ignore"):
                loaded = self.at(np.exp(log_cuts), scale).loaded
        except np.linalg.LinAlgError:  # rock of some size can never leave
            return np.full(len(log_cuts), np.nan)
        return np.asarray(np.log(loaded) - log_cuts)

    def light(self) -> Array:
        """Cut sizes of empty decks, in log."""
        empty, damp = np.zeros(self.n), self.moisture
        return np.log([self.cut(d, m, k, empty, damp) for m, d, k in self.decks])

    def root(self, start: Array, scale: float = 1.0) -> Array | None:
        """Log cut sizes that MINPACK reaches from a start, or None."""
        found = optimize.root(self.residual, start, args=(scale,), method="hybr", tol=1e-13)
        error = np.abs(self.residual(found.x, scale)).max()
        reached: Array = np.asarray(found.x, dtype=np.float64)
        return reached if np.isfinite(error) and error < 1e-9 else None

    def roots(self, *, steps: int = 120, span: float = 1.2, scale: float = 1.0) -> list[float]:
        """All log cut sizes of a plant of one deck, from a scan and brentq, lightest load first."""
        top = float(self.light()[0])
        grid = np.linspace(top, top - span, steps)

        def error(z: float) -> float:
            return float(self.residual(np.array([z]), scale)[0])

        values = [error(z) for z in grid]
        found = []
        for a, b, fa, fb in zip(grid, grid[1:], values, values[1:], strict=False):
            if np.isfinite(fa) and np.isfinite(fb) and fa * fb < 0.0:
                found.append(float(optimize.brentq(error, a, b, xtol=1e-13)))
        return found


def converged(coarse: Array | float, fine: Array | float) -> Array:
    """Of results on classes h and h / 2 wide, with errors of order h^2 (Richardson 1911)."""
    return np.asarray((4.0 * np.asarray(fine) - np.asarray(coarse)) / 3.0)


def _square(deck: Deck) -> float:
    assert deck.shape == "square"
    return deck.aperture_mm


def _area(machine: Machine) -> float:
    facts = machine.facts
    if "area_m2" in facts:
        return facts["area_m2"]
    if "width_mm" in facts and "length_mm" in facts:
        return facts["width_mm"] * facts["length_mm"] / 1e6
    return _AREA_M2


# Open area by opening, inches: the association's table A, as in public wire-cloth references;
# looked up.
_OPENINGS_IN, _OPEN_AREAS = zip(
    *((1 / 32, 0.41), (1 / 16, 0.37), (3 / 32, 0.45), (0.125, 0.40), (0.1875, 0.45), (0.25, 0.46)),
    *((0.375, 0.51), (0.5, 0.54), (0.625, 0.59), (0.75, 0.61), (0.875, 0.63), (1.0, 0.64)),
    *((1.25, 0.66), (1.5, 0.69), (1.75, 0.68), (2.0, 0.71), (2.5, 0.72), (2.75, 0.74)),
    *((3.0, 0.74), (3.5, 0.77), (4.0, 0.75)),
    strict=True,
)


def _through(deck: Deck, machine: Machine) -> float:
    slope = machine.models["partition"].coefficients.get("inclination", 0.0)
    h = _square(deck)
    usual = np.interp(np.log(h / 25.4), np.log(_OPENINGS_IN), _OPEN_AREAS)
    wire = h * (1.0 / np.sqrt(usual if deck.open_area is None else deck.open_area) - 1.0)
    return float(max((h + wire) * np.cos(np.radians(slope)) - wire, 0.1 * h))


def _coefficients(machine: Machine) -> Mapping[str, float]:
    return machine.models["breakage"].coefficients


def _starved(c: Mapping[str, float]) -> Mapping[str, float]:
    """The coefficients of a chamber in which no rock breaks rock; the same where it makes none."""
    if rise := c.get("starved_rise", 0.0):
        return {**c, "k1": c["k1"] * (1.0 + rise), "k2": c["k2"] * (1.0 + rise)}
    if loss := c.get("starved_loss", 0.0):
        return {**c, "passing_css": c["passing_css"] - loss}
    return c


def _kinks(machine: Machine, c: Mapping[str, float], plant: Plant) -> list[float]:
    use = machine.models["breakage"]
    if use.model == "setting_curve":
        return [0.6 * c["css"], c["css"], c["css"] * c["top_ratio"]]
    if use.model == "impact":
        shrink = (0.5 * c["reference_speed"] ** 2) / (c["energy_factor"] * c["tip_speed"] ** 2)
        return [c["d_min"] * shrink ** c["energy_exponent"]]
    sizes = _chamber_sizes(c, plant)
    if not c.get("size_exponent"):
        return list(sizes)
    usual = c["usual_f80"]

    def beyond(d: float, k: float) -> float:
        scale: float = min(max(d / usual, 0.25), 4.0) ** c["size_exponent"]
        return d - k * scale

    own = [float(optimize.brentq(beyond, 1e-3 * k, 1e3 * k, args=(k,))) for k in sizes]
    return [*own, 0.25 * usual, 4.0 * usual]


def _chamber_sizes(c: Mapping[str, float], plant: Plant) -> tuple[float, float]:
    """k1 and k2 on the rock of the plant, whose hardness moves them."""
    (rock,) = plant.materials.values()
    hardness = rock.work_index_kwh_t / c.get("usual_work_index", 15.0)
    harder = np.clip(hardness, 0.25, 4.0) ** c.get("rock_exponent", 0.0)
    return float(c["k1"] * harder), float(c["k2"] * harder)


def _two_terms(c: Mapping[str, float]) -> Finer:
    k, n1, n2 = c["fines_share"], c["fines_exponent"], c["coarse_exponent"]
    return lambda x, y: k * (x / y) ** n1 + (1.0 - k) * (x / y) ** n2


_T10 = (0.10, 0.20, 0.30)
_N = (2.0, 4.0, 10.0, 25.0, 50.0, 75.0)
_TN = (
    (0.496, 0.212, 0.10, 0.054, 0.033, 0.028),
    (0.749, 0.450, 0.20, 0.103, 0.072, 0.057),
    (0.852, 0.614, 0.30, 0.157, 0.108, 0.081),
)
"""Appearance function of crushers: Napier-Munn et al. (1996), ch. 6; from memory, as in
`docs/models.md`."""


def _t10_finer(c: Mapping[str, float]) -> Finer:
    """tn = 1 - (1 - t10)^r(n): ln r a monotone cubic in ln(n - 1), on straight lines to 30 either
    way beyond the table, and linear in t10 within it."""
    tougher = c["energy_scale"] / c["t10_limit"] / c.get("usual_toughness", 2.5)
    energy = c["specific_energy"] * np.clip(tougher, 0.1, 10.0) ** c.get("energy_response", 0.0)
    t10 = c["t10_limit"] * (1.0 - np.exp(-energy / c["energy_scale"]))
    at = np.log(np.array(_N) - 1.0)
    rows = [
        np.log(np.log(1.0 - np.array(tn)) / np.log(1.0 - t))
        for t, tn in zip(_T10, _TN, strict=True)
    ]
    first, last = ((np.diff(rows)[:, end] / np.diff(at)[end]).mean() for end in (0, -1))
    knots = np.concatenate([[-30.0], at, [30.0]])
    whole = [
        [row[0] - first * (at[0] + 30.0), *row, row[-1] + last * (30.0 - at[-1])] for row in rows
    ]
    weights = [np.interp(t10, _T10, unit) for unit in np.eye(len(_T10))]
    curves = [interpolate.PchipInterpolator(knots, row) for row in whole]

    def finer(x: Array, y: Array) -> Array:
        with np.errstate(divide="ignore"):
            below = np.log(np.maximum(y / x, 1.0) - 1.0)
        held = np.clip(below, -30.0, 30.0)
        ln_r = sum(w * curve(held) for w, curve in zip(weights, curves, strict=True))
        found: Array = np.where(below == -np.inf, 1.0, 1.0 - (1.0 - t10) ** np.exp(ln_r))
        return found

    return finer


def _setting_curve(c: Mapping[str, float]) -> Finer:
    """Of a piece over the setting a fixed share passes it and the rest lies between; of one under
    it a part is broken onto the curve, nothing at 0.6 of the setting."""
    css, passing, ratio, slope = (c[k] for k in ("css", "passing_css", "top_ratio", "slope"))
    steep = np.log(1.0 / passing) / np.log(ratio)

    def over(size: Array) -> Array:
        return np.asarray(np.clip(size / css, 1.0, ratio) ** steep - 1.0)

    def finer(x: Array, y: Array) -> Array:
        fines = passing * np.minimum(x / css, 1.0) ** slope
        part = np.clip((y / css - 0.6) / 0.4, 0.0, 1.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            rest = np.where(y > css, (1.0 - passing) * over(x) / over(y), 0.0)
        return np.asarray(fines * part + rest)

    return finer
