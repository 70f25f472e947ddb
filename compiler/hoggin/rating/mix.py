"""Which mix of a plant's products suits a grading band best, and how much of it there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.errors import HogginError
from hoggin.models.arrays import over
from hoggin.models.blending import best_shares
from hoggin.rating.flow import Flow
from hoggin.rating.requirements import band_verdict
from hoggin.schema.plant import Band
from hoggin.schema.results import BandVerdict, ProductResult, Results

_LEAST_SHARE = 0.005  # a smaller one is not weighed out


@dataclass(frozen=True)
class Component:
    """A product in the mix."""

    tag: str
    title: str
    share: float  # of the mix, by mass of dry solids
    rate_t_h: float  # what the plant makes of it
    passing: tuple[float, ...]  # on the band's sieves


@dataclass(frozen=True)
class Mix:
    band: BandVerdict
    components: tuple[Component, ...]
    fineness_modulus: float
    most_t_h: float  # of the mix, from what the plant makes
    limited_by: str  # tag of the product that runs out first
    void_by: tuple[str, ...]  # the overloaded machines that a product in the mix is downstream of


def mix(results: Results, band: Band, tags: Sequence[str]) -> Mix:
    """The best mix of some products, each named once.

    Raises HogginError where none of them carries anything, KeyError for a tag that is no
    product. A product without material is left out.
    """
    by_tag = {product.tag: product for product in results.products}
    chosen = [by_tag[tag] for tag in tags]
    carrying = [product for product in chosen if product.curve]
    if not carrying:
        raise HogginError("no rock flows into these products")
    made = _unit_flows(carrying)
    passing = made.passing_sieves([point.size_mm for point in band.points])
    low = np.array([point.low for point in band.points])
    high = np.array([point.high for point in band.points])
    shares = best_shares(passing, low, high)
    shares = np.where(shares >= _LEAST_SHARE, shares, 0.0)
    shares = shares / shares.sum()
    mixed = Flow(made.edges_mm, shares[None] @ made.mass_t_h)
    rates = np.array([product.rate_t_h for product in carrying])
    allowed = over(rates, shares, empty=np.inf)
    scarce = int(np.argmin(allowed))
    used = [product for product, share in zip(carrying, shares, strict=True) if share > 0.0]
    void_by = tuple(dict.fromkeys(tag for product in used for tag in product.void_by))
    return Mix(
        band=band_verdict(band, mixed, void=bool(void_by)),
        components=tuple(
            Component(p.tag, p.title, float(share), p.rate_t_h, tuple(map(float, row)))
            for p, share, row in zip(carrying, shares, passing, strict=True)
        ),
        fineness_modulus=float(mixed.fineness_modulus[0]),
        most_t_h=float(allowed[scarce]),
        limited_by=carrying[scarce].tag,
        void_by=void_by,
    )


def _unit_flows(products: Sequence[ProductResult]) -> Flow:
    """A tonne an hour of each product, on the solver's own size classes."""
    sizes = np.array([size for size, _ in products[0].curve])
    finer = np.array([[share for _, share in product.curve] for product in products])
    mass = -np.diff(np.append(finer, np.zeros((len(finer), 1)), axis=1), axis=1)
    return Flow(np.append(sizes, 0.0), mass)
