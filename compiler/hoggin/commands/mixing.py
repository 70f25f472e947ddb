"""`hoggin mix`: proportions of a plant's products that suit a grading band best."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.commands.showing import terminal_width
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.rating.mix import mix
from hoggin.report import mix as mix_table
from hoggin.schema.plant import Band
from hoggin.schema.results import Results


def mixed(results: Results, band: Band, tags: Sequence[str]) -> tuple[str, bool]:
    """The tables, and whether the mix lies inside the band. No tags stand for all products.

    Raises HogginError for a tag that is no product, or where nothing is left to mix.
    """
    products = [product.tag for product in results.products]
    for tag in tags:
        if tag not in products:
            raise HogginError(f"the plant has no product `{tag}`. {did_you_mean(tag, products)}")
    found = mix(results, band, tuple(dict.fromkeys(tags)) or products)
    return mix_table.terminal(found, terminal_width()), found.band.met
