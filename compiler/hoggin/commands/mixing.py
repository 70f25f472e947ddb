"""`hoggin mix`: finds the proportions of a plant's products that fit a grading band best."""

from __future__ import annotations

import argparse

from hoggin.check.bands import find_band, library_bands
from hoggin.commands.running import sound
from hoggin.commands.showing import shown
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.rating import mix as mixes
from hoggin.report import mix as mix_table


def mix(options: argparse.Namespace) -> int:
    """Print the tables. Without named products it mixes all of them.

    Raises HogginError for an unknown band or product, or if there are no products to mix.
    """
    plant = sound(options.file, options.case)
    with working("balancing"):
        results = plant.balance(case=options.case).document
    band = find_band(options.band, options.file)
    if band is None:
        near = did_you_mean(options.band, library_bands())
        raise HogginError(f"unknown grading band `{options.band}`. {near}")
    products = [product.tag for product in results.products]
    for tag in options.products:
        if tag not in products:
            raise HogginError(f"the plant has no product `{tag}`. {did_you_mean(tag, products)}")
    found = mixes.mix(results, band, tuple(dict.fromkeys(options.products)) or products)
    print(shown(mix_table.document(found)), end="")
    return Exit.DONE if found.band.met else Exit.UNMET
