"""E01: reading the text."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Fix, Message


def _unexpected(help: str, fix: Fix = "") -> Message[str]:
    return Message[str]("unexpected {found}", help, fix)


class E0101(Fault):
    """a line can't be read

    The words of this line are not a statement of the language. The compiler skipped the rest of the
    line (and its block) and continued at the next line, so other errors do not follow from this
    one.

    Wrong: crusher secondary cones.high_speed(head: 1300 mm) { css 32 mm }
    Right: crusher secondary: cones.high_speed(head: 1300 mm) { css 32 mm }
    """

    expected_one_of = Message[str, str]("unexpected {found}", "expected {wanted}")
    expected_unit = _unexpected(
        "expected a unit or a range, such as `mm`, `t/h` or `8 mm to 40 mm`"
    )
    expected_statement = _unexpected("start the line with a name or a word of the language")
    expected_value = _unexpected("expected a quantity, a name or an expression")
    comment_sign = _unexpected("start a comment with `#`", "write a comment")
    hyphen_in_name = _unexpected("write `_`: a name can't contain `-`", "rewrite")
    route_backwards = _unexpected(
        "a route runs from left to right, as in `bars.over -> primary`", "turn the route"
    )
    base_with_arguments = _unexpected(
        "write the class without arguments, and fix them in the block, as in `let head = 1300 mm`"
    )
    kind_missing = Message[str, str](
        "unexpected {found}",
        "start a machine with its kind, as in `crusher {name}: ...`",
        "name the kind",
    )
    require_missing = Message[str](
        "unexpected {found}", "write `require` before a limit", "begin the line"
    )
    comparison_missing = _unexpected(
        "compare with `<=` or `>=`, or write `within 65 % to 90 %`", "compare"
    )
    name_in_quotes = _unexpected("write a name without quotes", "remove the quotes")
    letter_for_zero = Message[str, str](
        "unexpected {found}",
        "write a zero, not a letter, as in `{number}`",
        "rewrite with the word before",
    )
    name_of_two_words = Message[str, str](
        "unexpected {found}",
        "write a name as one word, as in `{name}`",
        "rewrite with the word before",
    )
    two_statements = _unexpected(
        "start a new line here, or separate the two statements with `;`", "separate"
    )
    comma_missing = Message[()](
        "there is no comma between two entries of a list",
        "write a comma (`,`) here, or start a new line",
        "separate",
    )
    sieve_number = Message[str, str](
        "unexpected {found}", "write a sieve by its size, as in `{size}`", "write the size"
    )
    name_begins_with_digit = _unexpected("start a name with a letter")
    deck_without_name = _unexpected("name the deck, as in `deck top 34 mm`", "name the deck")
    argument_without_name = _unexpected(
        "name the parameter, as in `width: 1000 mm`; `hoggin classes` lists what a class takes",
        "name the arguments",
    )
    misspelt = Message[str, str](
        "no line begins with `{word}`", "did you mean `{right}`?", "replace"
    )
    instead = Message[str, str]("unexpected `{found}`", "did you mean `{right}`?", "replace")
    left_over = Message[str]("unexpected `{found}`", "remove it", "remove the sign")
    comma_in_number = Message[str, str](
        "`{written}`: numbers have a decimal point and no commas",
        "did you mean `{right}`?",
        "replace",
    )
    dot_in_declared_name = Message[()](
        "a declared name can't contain a dot",
        "a dot separates a library's name from a name inside the library",
    )
    not_one_value = Message[str](
        "`{written}` is not a single value", "write one quantity, number or word"
    )


class E0102(Fault):
    """an unexpected character

    Names are made of the letters a to z, digits and `_`. Other letters are allowed in comments
    and in texts in quotes.

    Wrong: rate 450 t/h €
    Right: rate 450 t/h   # price in €
    """

    unknown = Message[str](
        "unexpected `{shown}`",
        "write names with letters, digits and `_`; other signs belong in comments or quotes",
    )
    other_sign = Message[str, str]("unexpected `{sign}`", "did you mean `{right}`?", "replace")
    wide_space = Message[()]("unexpected no-break space", "write a plain space", "write a space")
    micro_sign = Message[()](
        "unexpected micro sign", "write `u` in its place: micrometres are `um`", "rewrite"
    )
    other_quotes = Message[str](
        "unexpected `{quote}`", 'put texts in straight quotes: `"`', "straighten the quotes"
    )
    sieve_number = Message[str, str](
        "`{written}` starts a comment: what follows is not read",
        "write a sieve by its size, as in `{size}`; put a space after the `#` of a comment",
        "write the size",
    )


class E0103(Fault):
    """a block is not closed, or closed twice

    Every `{` has its `}`.

    Wrong: plant "Hill" {
             feed rock { rate 450 t/h
    Right: plant "Hill" {
             feed rock { rate 450 t/h }
           }
    """

    open_at_end = Message[()](
        "a block is still open at the end of the file", "add a `}}`", "close the block"
    )
    not_closed = Message[()](
        "this block is not closed",
        "add a `}}` where it ends",
        "close the block here",
        note="its last line, judging by the indentation",
    )
    not_opened = Message[()](
        "the block of this line is not opened",
        "add a `{{` at the end of the line",
        "open the block",
    )
    nothing_to_close = Message[()](
        "this `}}` does not close a block", "remove it, or open its block with `{{`"
    )


class E0104(Fault):
    """a text is not closed

    A text in quotes ends on its own line.

    Wrong: revision "C
    Right: revision "C"
    """

    not_closed = Message[()](
        "the text is not closed on its line", 'put a `"` at its end', "close the text"
    )


class E0105(Fault):
    """a file is too long

    A source file is limited in length, so that a file that is not a plant can't stop the
    compiler. Use library files for shared parts.
    """

    longer_than = Message[str](
        "the file is longer than {limit}", "split it into a plant and library files joined by `use`"
    )


class E0106(Fault):
    """nested too deeply

    Blocks, brackets, sums and chains of names have limits far above the needs of a plant. Move
    inner parts into `let` lines.
    """

    blocks = Message[int](
        "blocks and brackets are nested more than {most} deep",
        "move inner parts into `let` lines or templates",
    )
    operators = Message[int](
        "there are more than {most} operators in one line",
        "move parts of the expression into `let` lines",
    )
    chain = Message[()](
        "a chain of names, sums or files is too long",
        "shorten the chain of `let`, `use` or nested templates",
    )


class E0107(Fault):
    """an edition this compiler can't read

    A file may state the edition of the language it was written for, so that a later compiler
    reads it as intended. An edition is a year; `hoggin --version` lists those that this compiler
    reads.

    Wrong: edition 2035
    Right: edition 2026
    """

    not_a_year = Message[int]("an edition is a year", "write `edition {newest}`")

    newer = Message[str, int](
        "this compiler reads edition {known} of the language, not {year}", "use a newer compiler"
    )
    older = Message[str, int, int](
        "this compiler reads edition {known} of the language, not {year}",
        "write `edition {oldest}`",
    )


class E0108(Fault):
    """a conflict that a merge left

    Git could not merge two changes of the same lines and left both in the file, between lines
    of `<<<<<<<`, `=======` and `>>>>>>>`. Decide which side is right, or combine both, and remove
    the marker lines. The rest of the file is read as if it had only one side. With Hoggin as the
    merge driver (`hoggin docs revisions`) a conflict remains only if both sides changed the same
    fact.

    Wrong: <<<<<<< HEAD
           css 12 mm
           =======
           css 14 mm
           >>>>>>> finer-chips
    Right: css 14 mm
    """

    half = Message[()](
        "a merge left this marker without its other half",
        "check the lines around it, then remove this line",
    )
    conflict = Message[int](
        "a merge left a conflict here, up to line {last_line}",
        "keep the lines of one side or combine both, then remove the marker lines",
    )

    @staticmethod
    def side(name: str, more: int) -> str:
        """The note for a line of one side; `more` lines are not shown."""
        return f"{name} has" + (f" ({more} more lines not shown)" if more > 0 else "")

    @staticmethod
    def empty_side(name: str) -> str:
        return f"{name} has nothing, after"


class E0109(Fault):
    """a text without visible characters

    A text in quotes is printed on documents: as a title, a source, a caution. This one is
    empty, or has only spaces and invisible characters.

    Wrong: product stone { title " " }
    Right: product stone { title "11/22 stone" }
    """

    blank = Message[()](
        "this text has no visible characters",
        "write a text between the quotes, or remove the line",
    )
