"""E09: measured gradings for a fit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from hoggin.diagnostics.fault import Fault, Message
from hoggin.diagnostics.suggest import did_you_mean


class E0901(Fault):
    """measured gradings can't be read

    `hoggin fit` reads a table with a heading and a line for each sieve of each sample. Cells
    are separated by commas, semicolons or tabs. Sizes and settings are in mm, passing is in
    per cent. Leave a cell blank if there is no measurement.

    Wrong: sieve, feed, product
    Right: sample, css mm, size mm, feed % passing, product % passing
    """

    empty = Message[Iterable[str]](
        "the file has no measurements", "the columns are {columns:names}"
    )

    too_many_lines = Message[int](
        "there are more than {most} lines of measurements", "fit them in parts"
    )
    too_much = Message[int, int](
        "there are more than {samples} samples or {sieves} different sieves", "fit them in parts"
    )

    @classmethod
    def unknown_column(cls, name: str, known: Iterable[str]) -> Self:
        return cls(f"unknown column `{name}`", did_you_mean(name.lower(), known))

    column_twice = Message[str]("there are two columns `{name}`", "keep one of them")

    column_missing = Message[str, Iterable[str]](
        "there is no column `{name}`", "the columns are {columns:names}"
    )

    more_cells = Message[()](
        "this line has more cells than the heading", "give each column a heading"
    )
    no_heading = Message[()](
        "the column of this cell has no heading", "name the column, or empty the cell"
    )
    no_size = Message[()]("this line has no size", "fill in `size mm`")
    not_a_number = Message[str, str]("`{written}` is not a number", "write {what}")
    no_css = Message[str]("sample `{sample}` has no css", "fill in `css mm`")


class E0902(Fault):
    """a measured grading that is not possible

    Passing is between 0 % and 100 %, and never more than on a coarser sieve. A feed's grading
    starts with 100 % at its top size, a sample is taken at one setting, and a crusher makes no rock
    coarser.

    Wrong: 20, 55, 60
           10, 58, 40
    Right: 20, 55, 60
           10, 38, 40
    """

    outside = Message[str, str, float, float](
        "{written} is out of bounds", "{what} must be between {low:g} and {high:g}"
    )
    css_changes = Message[float, float](
        "the css changes within a sample, from {first:g} mm to {second:g} mm",
        "give each test its own name in the column `sample`",
    )

    top_size_missing = Message[float](
        "the coarsest sieve passes {passing:per cent} of the feed, not all of it",
        "add the feed's top size at 100 %",
    )

    product_coarser = Message[()](
        "the product is coarser than the feed", "check if the two columns are swapped"
    )
    size_twice = Message[float]("{size:g} mm is listed twice in a sample", "keep one of them")

    # Sizes in mm, passing as fractions.
    rises = Message[str, float, float, float, float](
        "more of the {what} passes {fine:g} mm ({passing_fine:per cent}) than {coarse:g} mm "
        "({passing_coarse:per cent})",
        "check both figures: passing can't rise towards finer sieves",
    )


class E0903(Fault):
    """too few measurements

    A fit needs each sample's feed on at least two sieves and its product on at least three.
    """

    no_samples = Message[()](
        "the file has a heading, but no measurements", "add a line for each sieve"
    )
    feed = Message[str]("{sample} has fewer than two sieves of feed", "fill in `feed % passing`")
    product = Message[str](
        "{sample} has fewer than three sieves of product", "fill in `product % passing`"
    )
