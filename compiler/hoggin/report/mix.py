"""A mix of products against its band, as a table to weigh out from."""

from __future__ import annotations

from hoggin.rating.mix import Mix
from hoggin.report.fields import number, table, words
from hoggin.report.tables import Document, Section, Table
from hoggin.report.wording import DEFERENCE, PREDICTION, fixed, percent, rate, sieve


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
    "Shares are by mass of dry solids. To proportion by volume, or with damp products, measure "
    "densities and moistures.",
    "The band covers only the grading. Test shape, fines quality, strength and everything else "
    "that the standard requires.",
)


def proportions(mix: Mix) -> Table:
    fields = (
        words("product", lambda part: part.tag, 20),
        words("title", lambda part: part.title, 30),
        number("share of mix", "%", "percent", lambda part: part.share),
        number("made by the plant", "t/h", "rate", lambda part: part.rate_t_h),
        number("used at most", "t/h", "rate", lambda part: part.share * mix.most_t_h),
    )
    return table("Proportions", fields, mix.components)


def gradings(mix: Mix) -> Table:
    """One row a sieve of the band; passing by mass."""
    band = mix.band
    fields = (
        words("sieve", lambda i: sieve(band.sizes_mm[i]), 10, "mm"),
        words("wanted", lambda i: _wanted(band.low[i], band.high[i]), 14, "% passing"),
        number("mix", "%", "percent", band.passing.__getitem__),
        words("worst", lambda i: "worst" if band.sizes_mm[i] == band.worst_size_mm else "", 6),
        *(number(p.tag, "%", "percent", p.passing.__getitem__) for p in mix.components),
    )
    return table("Grading of the mix", fields, range(len(band.sizes_mm)))


def _wanted(low: float, high: float) -> str:
    return f"{100 * low:g}" if low == high else f"{100 * low:g} to {100 * high:g}"


def _amounts(mix: Mix) -> tuple[str, ...]:
    return (
        f"At most {rate(mix.most_t_h)} t/h from what the plant makes; {mix.limited_by} is used up "
        "first.",
    )


def _verdict(mix: Mix) -> tuple[str, ...]:
    band = mix.band
    where = f" at {sieve(band.worst_size_mm)} mm" if band.worst_size_mm is not None else ""
    if mix.void_by:
        said = f"NOT JUDGED, downstream of {', '.join(mix.void_by)}, overloaded; as balanced"
    else:
        said = "Inside the band" if band.met else "OUTSIDE the band with any proportions"
    return (
        f"{said}; least margin {percent(band.worst_margin)} points{where}. Fineness modulus "
        f"{fixed(mix.fineness_modulus, 2)}.",
    )
