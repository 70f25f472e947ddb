"""E01: reading the text."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class E0101(Fault):
    title = "a line can't be read"
    why = """The words of this line don't make a statement of the language. The rest of the line
    (and the block that belongs to it) was skipped; reading went on at the next line, so further
    errors are real ones."""
    wrong = "crusher secondary cones.high_speed(head: 1300 mm) { css 32 mm }"
    right = "crusher secondary: cones.high_speed(head: 1300 mm) { css 32 mm }"

    expected_one_of = Message[str, str]("unexpected {found}", "expected {wanted}")
    expected_unit = Message[str](
        "unexpected {found}", "expected a unit, such as `mm`, `t/h` or `%`"
    )
    expected_statement = Message[str](
        "unexpected {found}", "a line begins with a name or with a word of the language"
    )
    expected_value = Message[str](
        "unexpected {found}", "expected a quantity, a name or an expression"
    )
    comment_sign = Message[str]("unexpected {found}", "a comment begins with `#`")
    hyphen_in_name = Message[str]("unexpected {found}", "a name can't contain `-`: write `_`")
    route_backwards = Message[str](
        "unexpected {found}", "a route runs from left to right, as in `bars.over -> primary`"
    )
    kind_missing = Message[str, str](
        "unexpected {found}", "a machine begins with its kind, as in `crusher {name}: ...`"
    )
    comparison_missing = Message[str](
        "unexpected {found}", "compare with `<=` or `>=`, or write `between 65 % and 90 %`"
    )
    name_in_quotes = Message[str]("unexpected {found}", "write a name without quotes")
    letter_for_zero = Message[str, str](
        "unexpected {found}", "write a zero, not a letter, as in `{number}`"
    )
    name_of_two_words = Message[str, str](
        "unexpected {found}", "a name is one word, as in `{name}`"
    )
    two_statements = Message[str](
        "unexpected {found}", "start a new line here, or separate the two with `;`"
    )
    sieve_number = Message[str]("unexpected {found}", "write a sieve by its size, as in `4.75 mm`")
    name_begins_with_digit = Message[str]("unexpected {found}", "a name begins with a letter")
    deck_without_name = Message[str]("unexpected {found}", "name the deck, as in `deck top 34 mm`")
    argument_without_name = Message[str](
        "unexpected {found}",
        "name the parameter, as in `width: 1000 mm`; `hoggin classes` lists what a class takes",
    )
    misspelt = Message[str, str](
        "no line begins with `{word}`", "did you mean `{right}`?", "replace"
    )
    instead = Message[str, str]("unexpected `{found}`", "did you mean `{right}`?", "replace")
    left_over = Message[str]("unexpected `{found}`", "remove it")
    comma_in_number = Message[str, str](
        "`{written}`: numbers have a decimal point, and no commas",
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
    title = "an unexpected character"
    why = """Names are made of the letters a to z, digits and `_`. Other letters may stand in
    comments and in texts in quotes."""
    wrong = "rate 450 t/h €"
    right = "rate 450 t/h   # price in €"

    unknown = Message[str](
        "unexpected `{shown}`",
        "names are letters, digits and `_`; anything else goes in a comment or in quotes",
    )
    other_sign = Message[str, str]("unexpected `{sign}`", "did you mean `{right}`?", "replace")
    wide_space = Message[()]("unexpected no-break space", "write a plain space")
    micro_sign = Message[()]("unexpected micro sign", "write micrometres as `um`")
    other_quotes = Message[str]("unexpected `{quote}`", 'put texts in straight quotes: `"`')
    sieve_number = Message[str](
        "`{written}` starts a comment: what follows is not read",
        "write a sieve by its size, as in `4.75 mm`; put a space after the `#` of a comment",
    )


class E0103(Fault):
    title = "a block is not closed, or closed twice"
    why = "Every `{` has its `}`."
    wrong = 'plant "Hill" {\n  feed rock { rate 450 t/h'
    right = 'plant "Hill" {\n  feed rock { rate 450 t/h }\n}'

    open_at_end = Message[()](
        "a block is still open at the end of the file", "add a `}}`", "close the block"
    )
    not_closed = Message[()](
        "this block is not closed",
        "add a `}}` where it ends",
        note="its last line, judging by the indentation",
    )
    not_opened = Message[()]("this line's block is not opened", "add a `{{` at the end of the line")
    nothing_to_close = Message[()](
        "this `}}` does not close a block", "remove it, or open its block with `{{`"
    )


class E0104(Fault):
    title = "a text is not closed"
    why = "A text in quotes ends on its own line."
    wrong = 'revision "C'
    right = 'revision "C"'

    not_closed = Message[()](
        "the text is not closed on its line", 'put a `"` at its end', "close the text"
    )


class E0105(Fault):
    title = "a file is too long"
    why = """A source file is limited in length, so that a file that is not a plant can't stop the
    compiler. Use library files for shared parts."""

    longer_than = Message[str](
        "the file is longer than {limit}", "split it into a plant and library files joined by `use`"
    )


class E0106(Fault):
    title = "nested too deeply"
    why = """Blocks, brackets, sums and chains of names have a limit far above what a plant needs.
    Take inner parts out into `let` lines."""

    blocks = Message[int](
        "blocks and brackets are nested more than {most} deep",
        "move inner parts into `let` lines or templates",
    )
    operators = Message[int](
        "there are more than {most} operators in one line",
        "move parts of the expression into `let` lines",
    )
    chain = Message[()](
        "names, sums or files depend on each other in too long a chain",
        "shorten the chain of `let`, `use` or nested templates",
    )


class E0107(Fault):
    title = "an edition this compiler does not read"
    why = """A file may state the edition of the language it was written for, so that a later
    compiler reads it as it was meant. An edition is a year; `hoggin --version` names those this
    compiler reads."""
    wrong = "edition 2035"
    right = "edition 2026"

    not_a_year = Message[int]("an edition is a year", "write `edition {newest}`")

    newer = Message[str, int](
        "this compiler reads edition {known} of the language, not {year}", "use a newer compiler"
    )
    older = Message[str, int, int](
        "this compiler reads edition {known} of the language, not {year}",
        "write `edition {oldest}`",
    )


class E0108(Fault):
    title = "a conflict that a merge left"
    why = """Git could not merge two changes of the same lines and left both in the file, between
    lines of `<<<<<<<`, `=======` and `>>>>>>>`. Decide which holds, or put both together, and take
    the marker lines out. The rest of the file is read as if one side stood here. With Hoggin as the
    merge driver (see `docs/revisions.md`) such a conflict is only left where both changed the same
    fact."""
    wrong = "<<<<<<< HEAD\ncss 12 mm\n=======\ncss 14 mm\n>>>>>>> finer-chips"
    right = "css 14 mm"

    half = Message[()](
        "a merge left this marker here, without its other half",
        "take the line out once the lines around it are as you want them",
    )
    conflict = Message[int](
        "a merge left a conflict here, up to line {last_line}",
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
    why = """A text in quotes is printed on documents: as a title, a source, a caution. This one is
    empty, or holds only blanks and characters that cannot be seen."""
    wrong = 'product stone { title " " }'
    right = 'product stone { title "11/22 stone" }'

    blank = Message[()](
        "this text holds nothing that can be seen",
        "write some words between the quotes, or leave the line out",
    )
