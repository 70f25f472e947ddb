"""A mix of products against its band, as a table to weigh out from."""

from __future__ import annotations

from hoggin.rating.mix import Mix
from hoggin.report import text
from hoggin.report.tables import Column, Document, Section, Table
from hoggin.report.wording import DEFERENCE, PREDICTION, fixed, percent, rate, sieve


def terminal(mix: Mix, width: int = 140) -> str:
    return text.terminal(document(mix), width)


def document(mix: Mix) -> Document:
    return Document(
        f"Mix for {mix.band.about or mix.band.name}",
        f"Limits: {mix.band.source or 'the source is not stated'}",
        (
            Section("Proportions", _amounts(mix), proportions(mix)),
            Section("Grading of the mix", _verdict(mix), gradings(mix)),
            Section("Before you mix", (f"{PREDICTION} {DEFERENCE}",), points=_LIMITS),
        ),
    )


_LIMITS = (
    "Shares are by mass of dry solids. Proportioning by volume, or damp, needs densities and "
    "moistures as measured.",
    "The band holds gradings only: shape, fines quality, strength and whatever else the standard "
    "asks for are to be tested.",
)


def proportions(mix: Mix) -> Table:
    columns = (
        Column("product", width=20),
        Column("title", width=30),
        Column("share of mix", "%", "percent"),
        Column("made by the plant", "t/h", "rate"),
        Column("used at most", "t/h", "rate"),
    )
    rows = tuple(
        (part.tag, part.title, part.share, part.rate_t_h, part.share * mix.most_t_h)
        for part in mix.components
    )
    return Table("Proportions", columns, rows)


def gradings(mix: Mix) -> Table:
    """One row a sieve of the band; passing by mass."""
    columns = (
        Column("sieve", "mm", width=10),
        Column("wanted", "% passing", width=14),
        Column("mix", "%", "percent"),
        Column("worst", width=6),
        *(Column(part.tag, "%", "percent") for part in mix.components),
    )
    band = mix.band
    rows = tuple(
        (
            sieve(size),
            f"{100 * band.low[i]:g}"
            if band.low[i] == band.high[i]
            else f"{100 * band.low[i]:g} to {100 * band.high[i]:g}",
            band.passing[i],
            "worst" if size == band.worst_size_mm else "",
            *(part.passing[i] for part in mix.components),
        )
        for i, size in enumerate(band.sizes_mm)
    )
    return Table("Grading of the mix", columns, rows)


def _amounts(mix: Mix) -> tuple[str, ...]:
    return (
        f"At most {rate(mix.most_t_h)} t/h from what the plant makes; {mix.limited_by} is used up "
        "first.",
    )


def _verdict(mix: Mix) -> tuple[str, ...]:
    band = mix.band
    where = f" at {sieve(band.worst_size_mm)} mm" if band.worst_size_mm is not None else ""
    said = "Inside the band" if band.met else "NOT INSIDE the band with any proportions"
    return (
        f"{said}; least margin {percent(band.worst_margin)} % passing{where}. Fineness modulus "
        f"{fixed(mix.fineness_modulus, 2)}.",
    )
