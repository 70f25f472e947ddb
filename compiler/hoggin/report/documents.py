"""All documents of a plant as bytes."""

from __future__ import annotations

import re
from collections.abc import Iterable

from hoggin.report import (
    conveyors,
    dust,
    energy,
    equipment,
    grading_plot,
    graph,
    mass_balance,
    setting,
    slurry,
    storage,
    text,
    tramp,
    workbook,
)
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.formats import files
from hoggin.report.results_json import results_json
from hoggin.schema.results import Results

LONGEST_STEM = 80
# names that some operating systems keep for devices
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


def documents(results: Results) -> dict[str, bytes]:
    """Every document by its path under the output folder; the same results give the same bytes.

    `results.json` is the whole of the results, so neither table has a JSON of its own.
    Raises: HogginError when the flowsheet cannot be drawn.
    """
    balance, schedule = mass_balance.document(results), equipment.document(results)
    texts = {
        "results.json": results_json(results),
        "mass_balance.md": text.markdown(balance),
        "mass_balance.csv": text.comma_separated(mass_balance.stream_ledger(results)),
        "equipment.md": text.markdown(schedule),
        "equipment.csv": text.comma_separated(equipment.machines(results)),
        "equipment_decks.csv": text.comma_separated(equipment.decks(results)),
        "equipment_settings.csv": text.comma_separated(setting.settings(results)),
        "equipment_power.csv": text.comma_separated(energy.power(results)),
        "equipment_wear.csv": text.comma_separated(energy.wear(results)),
        "equipment_liner_cost.csv": text.comma_separated(energy.liner_costs(results)),
        "equipment_storage.csv": text.comma_separated(storage.storage(results)),
        "equipment_conveyors.csv": text.comma_separated(conveyors.belts(results)),
        "equipment_slurry.csv": text.comma_separated(slurry.slurries(results)),
        "equipment_classifiers.csv": text.comma_separated(slurry.classifiers(results)),
        "equipment_thickeners.csv": text.comma_separated(slurry.thickeners(results)),
        "equipment_tramp.csv": text.comma_separated(tramp.tramp(results)),
        "equipment_dust.csv": text.comma_separated(dust.by_source(results)),
        "graph.dot": graph.dot(results),
        "gradings/all-products.svg": grading_plot.together(results),
    }
    stems = file_stems(product.tag for product in results.products)
    for stem, product in zip(stems, results.products, strict=True):
        texts[f"gradings/{stem}.svg"] = grading_plot.one(results, product)
    return {
        **files(flowsheet(results), "flowsheet"),
        "mass_balance.xlsx": workbook.workbook(balance),
        "equipment.xlsx": workbook.workbook(schedule),
        **{name: content.encode() for name, content in texts.items()},
    }


def file_stems(tags: Iterable[str]) -> list[str]:
    """A safe file name for each tag: no separators, no device names, no two alike in any case.

    A tag never holds a hyphen, so a name with one (`all-products`) cannot be a product's.
    """
    stems: list[str] = []
    for tag in tags:
        stem = re.sub(r"[^A-Za-z0-9_.]", "_", tag).strip(".")[:LONGEST_STEM] or "product"
        if RESERVED.fullmatch(stem):
            stem = f"{stem}_"
        taken = {other.lower() for other in stems}
        number, plain = 2, stem
        while stem.lower() in taken:
            stem, number = f"{plain}-{number}", number + 1
        stems.append(stem)
    return stems
