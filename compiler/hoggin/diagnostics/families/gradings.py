"""E06: gradings, sieves and decks."""

from __future__ import annotations

from typing import Self

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0601(Fault):
    title = "a grading that is not possible"
    why = """What passes a fine sieve passes every coarser one, so passing never rises towards finer
    sizes; and each size has one passing."""
    wrong = "passing { 63 mm: 80 %, 31.5 mm: 90 % }"
    right = "passing { 63 mm: 100 %, 31.5 mm: 90 % }"

    not_a_list = Message[()](
        "a grading is a list of sizes and passing",
        "write it as `passing {{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }}`",
    )
    one_size = Message[()]("a grading needs at least two sizes", "add the passing of another sieve")
    no_passing = Message[()](
        "this size has no passing", "write `SIZE: PASSING`, as in `20 mm: 45 %`"
    )
    range_of_feed = Message[()](
        "expected one passing, not a range", "only a band has a range for each size"
    )
    limits_reversed = Message[()](
        "the lower limit is above the upper limit", "write the lower limit first"
    )

    @classmethod
    def rises(cls, coarse: float, fine: float, passing_coarse: float, passing_fine: float) -> Self:
        """Sizes in mm, passing as fractions."""
        return cls(
            f"passing rises from {100 * passing_coarse:g} % at {coarse:g} mm to "
            f"{100 * passing_fine:g} % at the finer {fine:g} mm",
            "what passes a fine sieve passes the coarser one as well: check both figures",
            note="the coarser size",
        )

    band_without_limits = Message[str](
        "band `{name}` has no limits",
        "add `passing {{ 25 mm: 100 %, 12.5 mm: 25 % to 60 % }}`",
        "add a line",
    )
    grading_without_passing = Message[str](
        "grading `{name}` has no passing",
        "add `passing {{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }}`",
        "add a line",
    )
    one_share = Message[str, str](
        "expected one {measure} for this size",
        "write `{name} 20 %`, or by size `{name} {{ 31.5 mm: 25 %, 8 mm: 18 % }}`",
    )


class E0602(Fault):
    title = "a list of sieves that is not possible"
    why = "A sieve series is a list of different sizes."
    wrong = "sieves { 20 mm }"
    right = "sieves { 40 mm, 20 mm, 10 mm, 5 mm }"

    one_size = Message[()]("a sieve series needs at least two sizes", "add another size")
    value_of_size = Message[()]("a list of sieves holds sizes only", "remove what follows `:`")
    not_sieves = Message[()](
        "`sieves` takes a series or a list of sizes",
        "write `sieves sieves.iso_r20_3` or `sieves {{ 63 mm, 40 mm, 20 mm }}`",
    )


class E0603(Fault):
    title = "the top size is missing"
    why = """A grading says at which size everything passes: without it the size of the largest
    piece, and so the feed opening, can't be checked."""
    wrong = "passing { 300 mm: 61 %, 100 mm: 30 % }"
    right = "passing { 900 mm: 100 %, 300 mm: 61 %, 100 mm: 30 % }"

    @classmethod
    def missing(cls, size_mm: float, passing: float) -> Self:
        return cls(
            f"the coarsest size, {size_mm:g} mm, passes {100 * passing:g} %: the top size is "
            "missing",
            "add the size that everything passes, at 100 %",
        )


class E0604(Fault):
    title = "decks in the wrong order"
    why = """Rock meets the top deck first: each deck below is finer than the one above, or nothing
    stays on it."""
    wrong = "deck top 5 mm; deck bottom 20 mm"
    right = "deck top 20 mm; deck bottom 5 mm"

    coarser_below = Message[str, float, str, float](
        "deck `{lower}` ({lower_mm:g} mm) is not finer than `{upper}` above it ({upper_mm:g} mm): "
        "nothing would stay on it",
        "give the coarsest aperture to the top deck",
        note="the deck above",
    )


class E0605(Fault):
    title = "decks"
    why = """A screen has one to four decks, named top, second (or middle), third and bottom, and no
    more than its class allows."""

    none = Message[str](
        "screen `{screen}` has no deck", "add one, as in `deck top 20 mm square`", "add a line"
    )
    unknown = Unknown[str]("`{name}` is not the name of a deck")
    too_many = Message[float](
        "this class of screen has at most {most:g} decks", "remove a deck, or choose another class"
    )
