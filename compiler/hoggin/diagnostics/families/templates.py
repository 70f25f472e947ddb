"""E07: templates, limits of size, and campaigns."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message


class E0701(Fault):
    """a template contains itself

    Directly or through other templates: the plant would be infinite.
    """

    circle = Message[Iterable[str]](
        "a template contains itself: {names:chain}",
        "remove one of these sections from its template",
    )


class E0702(Fault):
    """a template's port leads nowhere

    Each port needs a route inside the template.
    """

    inlet = Message[str](
        "inside the template no route leaves its inlet `{name}`", "add a route `{name} -> ...`"
    )
    outlet = Message[str](
        "inside the template no route feeds its outlet `{name}`", "add a route `... -> {name}`"
    )


class E0703(Fault):
    """too large

    Templates multiply. A plant has a limit of machines, cases and options, and a list has a limit
    of sizes, so that a typing error can't exhaust the computer.
    """

    machines = Message[int](
        "the plant has more than {most:,} machines", "check which template multiplies itself"
    )
    options = Message[int](
        "the plant has more than {most} options in its `choose` blocks",
        "move some of them to another plant",
    )
    cases = Message[int](
        "the plant has more than {most} cases", "move some of them to another file"
    )
    sizes = Message[int]("the list has more than {most} sizes", "keep only the sizes to report on")


class E0704(Fault):
    """a campaign that changes what machines are fed

    A splitter with a `campaign` sends everything one way at a time. Machines downstream would get
    all of its rock, then none, but the balance is that of the average shares. So put a bin or a
    stockpile between the splitter and the next crusher, screen, classifier or feeder.

    Wrong: splitter turns { out a 40 %; out b rest; operation { campaign 30 h } }
           turns.a -> crusher_a
    Right: splitter turns { out a 40 %; out b rest; operation { campaign 30 h } }
           turns.a -> bin_a -> crusher_a
    """

    changes_feed = Message[str, str, str](
        "campaigns of `{splitter}` change what {kind} `{machine}` is fed",
        "put a bin or stockpile between them, or place the splitter where only products follow",
        note="here",
    )
    no_shares = Message[str](
        "campaigns of `{splitter}` need shares, but it has none",
        "give its outlets shares, or remove the `campaign`",
    )
