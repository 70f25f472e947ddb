"""E06: gradings, sieves and decks."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0601(Fault):
    """a grading that is not possible

    What passes a fine sieve also passes every coarser one, so passing never rises towards finer
    sizes. Each size has one passing.

    Wrong: passing { 63 mm: 80 %, 31.5 mm: 90 % }
    Right: passing { 63 mm: 100 %, 31.5 mm: 90 % }
    """

    not_a_list = Message[()](
        "a grading is a list of sizes and passing",
        "write it as `passing {{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }}`",
    )
    one_size = Message[()]("a grading needs at least two sizes", "add the passing of another sieve")
    no_passing = Message[()](
        "this size has no passing", "write `SIZE: PASSING`, as in `20 mm: 45 %`"
    )
    range_of_feed = Message[()](
        "expected one passing, not a range", "write one value; only a band has ranges"
    )
    limits_reversed = Message[()](
        "the lower limit is above the upper limit", "write the lower limit first"
    )

    # Sizes in mm, passing as fractions.
    rises = Message[float, float, float, float](
        "passing rises from {passing_coarse:per cent} at {coarse:g} mm to {passing_fine:per cent} "
        "at the finer {fine:g} mm",
        "check both figures: passing can't rise towards finer sizes",
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
    """a list of sieves that is not possible

    A sieve series is a list of different sizes.

    Wrong: sieves { 20 mm }
    Right: sieves { 40 mm, 20 mm, 10 mm, 5 mm }
    """

    one_size = Message[()]("a sieve series needs at least two sizes", "add another size")
    value_of_size = Message[()]("a list of sieves has sizes only", "remove what follows `:`")
    not_sieves = Message[()](
        "`sieves` takes a series or a list of sizes",
        "write `sieves sieves.iso_r20_3` or `sieves {{ 63 mm, 40 mm, 20 mm }}`",
    )


class E0603(Fault):
    """the top size is missing

    A grading needs the size that everything passes. Without it, the largest piece is not known and
    the feed opening can't be checked.

    Wrong: passing { 300 mm: 61 %, 100 mm: 30 % }
    Right: passing { 900 mm: 100 %, 300 mm: 61 %, 100 mm: 30 % }
    """

    missing = Message[float, float](
        "the coarsest size, {size_mm:g} mm, passes {passing:per cent}: the top size is missing",
        "add the size that everything passes, at 100 %",
    )


class E0604(Fault):
    """decks in the wrong order

    Rock falls on the top deck first. Each deck must be finer than the one above, or nothing stays
    on it.

    Wrong: deck top 5 mm; deck bottom 20 mm
    Right: deck top 20 mm; deck bottom 5 mm
    """

    coarser_below = Message[str, float, str, float](
        "deck `{lower}` ({lower_mm:g} mm) is not finer than `{upper}` above it ({upper_mm:g} mm): "
        "nothing would stay on it",
        "give the coarsest aperture to the top deck",
        note="the deck above",
    )


class E0605(Fault):
    """decks

    A screen has one to four decks, named top, second, third and bottom, and no more
    than its class allows.
    """

    none = Message[str](
        "screen `{screen}` has no deck", "add one, as in `deck top 20 mm square`", "add a line"
    )
    unknown = Unknown[str]("`{name}` is not the name of a deck")
    too_many = Message[float](
        "this class of screen has at most {most:g} decks", "remove a deck, or choose another class"
    )


class E0606(Fault):
    """a table that is not possible

    A table of a machine has a row for each setting. A wider setting neither makes a finer product
    nor passes less. Between two settings the compiler interpolates; outside them it reports an
    error, because a table has no values there.

    Wrong: passing { 40 mm: { 63 mm: 100 %, 40 mm: 85 % }, 60 mm: { 80 mm: 100 %, 40 mm: 90 % } }
    Right: passing { 40 mm: { 63 mm: 100 %, 40 mm: 85 % }, 60 mm: { 80 mm: 100 %, 40 mm: 60 % } }
    """

    not_a_table = Message[str, str](
        "`{name}` is a table with a row for each setting", "write it as `{sample}`"
    )
    not_a_row = Message[()](
        "this setting has no list of sizes",
        "write `SETTING: {{ SIZE: PASSING, ... }}`, as in `40 mm: {{ 63 mm: 100 %, 40 mm: 85 % }}`",
    )
    no_rate = Message[()](
        "this setting has no rate above 0", "write it as `40 mm: 60 t/h to 80 t/h`"
    )
    twice = Message[float](
        "the table has two rows for the setting {setting_mm:g} mm",
        "remove one of them",
        note="the first",
    )
    left_open = Message[()](
        "a figure of a table can't be left open or uncertain", "write a plain number with its unit"
    )
    finer_when_wider = Message[float, float, float, float, float](
        "{wide:per cent} passes {size_mm:g} mm at the setting {wide_mm:g} mm, more than the "
        "{narrow:per cent} at {narrow_mm:g} mm",
        "check both figures: a wider setting does not make a finer product",
        note="the narrower setting",
    )
    less_when_wider = Message[float, float, float, float](
        "{wide:g} t/h at the setting {wide_mm:g} mm is less than {narrow:g} t/h at "
        "{narrow_mm:g} mm",
        "check both figures: a wider setting does not pass less",
        note="the narrower setting",
    )
    outside = Message[str, float, float, float](
        "the table of the {role} model has settings from {low:g} mm to {high:g} mm, this is "
        "{setting:g} mm",
        "set it within the table, or add a row: a table is not extrapolated",
        note="the table's setting",
    )
