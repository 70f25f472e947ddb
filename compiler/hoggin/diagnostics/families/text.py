"""E01: reading the text."""

from __future__ import annotations

from typing import Self

from hoggin.diagnostics.fault import Fault


class E0101(Fault):
    title = "a line can't be read"
    why = (
        "The words of this line don't make a statement of the language. The rest of the line (and "
        "the block that belongs to it) was skipped; reading went on at the next line, so further "
        "errors are real ones."
    )
    wrong = "crusher secondary cones.high_pivot(head: 1300 mm) { css 32 mm }"
    right = "crusher secondary: cones.high_pivot(head: 1300 mm) { css 32 mm }"

    @classmethod
    def _unexpected(cls, found: str, help: str) -> Self:
        return cls(f"unexpected {found}", help)

    @classmethod
    def expected_one_of(cls, found: str, wanted: str) -> Self:
        return cls._unexpected(found, f"expected {wanted}")

    @classmethod
    def expected_unit(cls, found: str) -> Self:
        return cls._unexpected(found, "expected a unit, such as `mm`, `t/h` or `%`")

    @classmethod
    def expected_statement(cls, found: str) -> Self:
        return cls._unexpected(found, "a line begins with a name or with a word of the language")

    @classmethod
    def expected_value(cls, found: str) -> Self:
        return cls._unexpected(found, "expected a quantity, a name or an expression")

    @classmethod
    def comment_sign(cls, found: str) -> Self:
        return cls._unexpected(found, "a comment begins with `#`")

    @classmethod
    def hyphen_in_name(cls, found: str) -> Self:
        return cls._unexpected(found, "a name can't contain `-`: write `_`")

    @classmethod
    def route_backwards(cls, found: str) -> Self:
        return cls._unexpected(
            found, "a route runs from left to right, as in `bars.over -> primary`"
        )

    @classmethod
    def kind_missing(cls, found: str, name: str) -> Self:
        return cls._unexpected(
            found, f"a machine begins with its kind, as in `crusher {name}: ...`"
        )

    @classmethod
    def comparison_missing(cls, found: str) -> Self:
        return cls._unexpected(found, "compare with `<=` or `>=`, or write `between 65 % and 90 %`")

    @classmethod
    def name_in_quotes(cls, found: str) -> Self:
        return cls._unexpected(found, "write a name without quotes")

    @classmethod
    def letter_for_zero(cls, found: str, number: str) -> Self:
        return cls._unexpected(found, f"write a zero, not a letter, as in `{number}`")

    @classmethod
    def name_of_two_words(cls, found: str, name: str) -> Self:
        return cls._unexpected(found, f"a name is one word, as in `{name}`")

    @classmethod
    def two_statements(cls, found: str) -> Self:
        return cls._unexpected(found, "start a new line here, or separate the two with `;`")

    @classmethod
    def sieve_number(cls, found: str) -> Self:
        return cls._unexpected(found, "write a sieve by its size, as in `4.75 mm`")

    @classmethod
    def name_begins_with_digit(cls, found: str) -> Self:
        return cls._unexpected(found, "a name begins with a letter")

    @classmethod
    def deck_without_name(cls, found: str) -> Self:
        return cls._unexpected(found, "name the deck, as in `deck top 34 mm`")

    @classmethod
    def argument_without_name(cls, found: str) -> Self:
        return cls._unexpected(
            found,
            "name the parameter, as in `width: 1000 mm`; `hoggin classes` lists what a class takes",
        )

    @classmethod
    def misspelt(cls, word: str, right: str) -> Self:
        return cls(f"no line begins with `{word}`", f"did you mean `{right}`?", "replace")

    @classmethod
    def instead(cls, found: str, right: str) -> Self:
        return cls(f"unexpected `{found}`", f"did you mean `{right}`?", "replace")

    @classmethod
    def left_over(cls, found: str) -> Self:
        return cls(f"unexpected `{found}`", "remove it")

    @classmethod
    def comma_in_number(cls, written: str, right: str) -> Self:
        return cls(
            f"`{written}`: numbers have a decimal point, and no commas",
            f"did you mean `{right}`?",
            "replace",
        )

    @classmethod
    def dot_in_declared_name(cls) -> Self:
        return cls(
            "a declared name can't contain a dot",
            "a dot separates a library's name from a name inside the library",
        )

    @classmethod
    def not_one_value(cls, written: str) -> Self:
        return cls(f"`{written}` is not a single value", "write one quantity, number or word")


class E0102(Fault):
    title = "an unexpected character"
    why = (
        "Names are made of the letters a to z, digits and `_`. Other letters may stand in comments "
        "and in texts in quotes."
    )
    wrong = "rate 450 t/h €"
    right = "rate 450 t/h   # price in €"

    @classmethod
    def unknown(cls, shown: str) -> Self:
        return cls(
            f"unexpected `{shown}`",
            "names are letters, digits and `_`; anything else goes in a comment or in quotes",
        )

    @classmethod
    def other_sign(cls, sign: str, right: str) -> Self:
        return cls(f"unexpected `{sign}`", f"did you mean `{right}`?", "replace")

    @classmethod
    def wide_space(cls) -> Self:
        return cls("unexpected no-break space", "write a plain space")

    @classmethod
    def micro_sign(cls) -> Self:
        return cls("unexpected micro sign", "write micrometres as `um`")

    @classmethod
    def other_quotes(cls, quote: str) -> Self:
        return cls(f"unexpected `{quote}`", 'put texts in straight quotes: `"`')

    @classmethod
    def sieve_number(cls, written: str) -> Self:
        return cls(
            f"`{written}` starts a comment: what follows is not read",
            "write a sieve by its size, as in `4.75 mm`; put a space after the `#` of a comment",
        )


class E0103(Fault):
    title = "a block is not closed, or closed twice"
    why = "Every `{` has its `}`."
    wrong = 'plant "Hill" {\n  feed rock { rate 450 t/h'
    right = 'plant "Hill" {\n  feed rock { rate 450 t/h }\n}'

    @classmethod
    def open_at_end(cls) -> Self:
        return cls("a block is still open at the end of the file", "add a `}`", "close the block")

    @classmethod
    def not_closed(cls) -> Self:
        return cls(
            "this block is not closed",
            "add a `}` where it ends",
            note="its last line, judging by the indentation",
        )

    @classmethod
    def not_opened(cls) -> Self:
        return cls("this line's block is not opened", "add a `{` at the end of the line")

    @classmethod
    def nothing_to_close(cls) -> Self:
        return cls("this `}` does not close a block", "remove it, or open its block with `{`")


class E0104(Fault):
    title = "a text is not closed"
    why = "A text in quotes ends on its own line."
    wrong = 'revision "C'
    right = 'revision "C"'

    @classmethod
    def not_closed(cls) -> Self:
        return cls("the text is not closed on its line", 'put a `"` at its end', "close the text")


class E0105(Fault):
    title = "a file is too long"
    why = (
        "A source file is limited in length, so that a file that is not a plant can't stop the "
        "compiler. Use library files for shared parts."
    )

    @classmethod
    def longer_than(cls, limit: str) -> Self:
        return cls(
            f"the file is longer than {limit}",
            "split it into a plant and library files joined by `use`",
        )


class E0106(Fault):
    title = "nested too deeply"
    why = (
        "Blocks, brackets, sums and chains of names have a limit far above what a plant needs. "
        "Take inner parts out into `let` lines."
    )

    @classmethod
    def blocks(cls, most: int) -> Self:
        return cls(
            f"blocks and brackets are nested more than {most} deep",
            "move inner parts into `let` lines or templates",
        )

    @classmethod
    def operators(cls, most: int) -> Self:
        return cls(
            f"there are more than {most} operators in one line",
            "move parts of the expression into `let` lines",
        )

    @classmethod
    def chain(cls) -> Self:
        return cls(
            "names, sums or files depend on each other in too long a chain",
            "shorten the chain of `let`, `use` or nested templates",
        )


class E0107(Fault):
    title = "an edition this compiler does not read"
    why = (
        "A file may state the edition of the language it was written for, so that a later compiler "
        "reads it as it was meant. An edition is a year; `hoggin --version` names those this "
        "compiler reads."
    )
    wrong = "edition 2035"
    right = "edition 2026"

    @classmethod
    def not_a_year(cls, newest: int) -> Self:
        return cls("an edition is a year", f"write `edition {newest}`")

    @classmethod
    def newer(cls, year: int, known: str) -> Self:
        return cls(
            f"this compiler reads edition {known} of the language, not {year}",
            "use a newer compiler",
        )

    @classmethod
    def older(cls, year: int, known: str, oldest: int) -> Self:
        return cls(
            f"this compiler reads edition {known} of the language, not {year}",
            f"write `edition {oldest}`",
        )


class E0108(Fault):
    title = "a conflict that a merge left"
    why = (
        "Git could not merge two changes of the same lines and left both in the file, between "
        "lines of `<<<<<<<`, `=======` and `>>>>>>>`. Decide which holds, or put both together, "
        "and take the marker lines out. The rest of the file is read as if one side stood here. "
        "With Hoggin as the merge driver (see `docs/revisions.md`) such a conflict is only left "
        "where both changed the same fact."
    )
    wrong = "<<<<<<< HEAD\ncss 12 mm\n=======\ncss 14 mm\n>>>>>>> finer-chips"
    right = "css 14 mm"

    @classmethod
    def half(cls) -> Self:
        return cls(
            "a merge left this marker here, without its other half",
            "take the line out once the lines around it are as you want them",
        )

    @classmethod
    def conflict(cls, last_line: int) -> Self:
        return cls(
            f"a merge left a conflict here, up to line {last_line}",
            "keep the lines of one side, or put both together; then take the marker lines out",
        )

    @staticmethod
    def side(name: str, more: int) -> str:
        """What a note says of a line of one side; `more` lines are not shown."""
        return f"{name} has" + (f" and {more} lines more," if more > 0 else "")

    @staticmethod
    def empty_side(name: str) -> str:
        return f"{name} has nothing, after"


class E0109(Fault):
    title = "a text that says nothing"
    why = (
        "A text in quotes is printed on documents: as a title, a source, a caution. This one is "
        "empty, or holds only blanks and characters that cannot be seen."
    )
    wrong = 'product stone { title " " }'
    right = 'product stone { title "11/22 stone" }'

    @classmethod
    def blank(cls) -> Self:
        return cls(
            "this text holds nothing that can be seen",
            "write some words between the quotes, or leave the line out",
        )
