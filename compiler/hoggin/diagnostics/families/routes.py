"""E05: routes."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0501(Fault):
    """an unknown or ambiguous port

    A screen has `DECK.over` for each deck and `under`; a splitter its own outlets; a section
    its template's ports. A route into a machine names the machine only.

    Wrong: sizing -> secondary
    Right: sizing.top.over -> secondary
    """

    no_outlet = Unknown[str, str]("{machine} has no outlet `{port}`")

    which_outlet = Message[str, Iterable[str]](
        "{machine} has more than one outlet", "name one: {outlets:names}", "replace"
    )

    into_outlet = Message[str, str](
        "`{path}` is an outlet, but routes run into `{machine}`",
        "write `-> {machine}` here and start a new line with `{path} -> ...`",
    )
    no_port = Unknown[str, str, str]("section `{section}` has no `{direction}` port `{port}`")

    which_port = Message[str, str, Iterable[str]](
        "section `{section}` has more than one `{direction}` port",
        "name one: {ports:names}",
        "replace",
    )

    no_ports = Message[str, str](
        "section `{section}` has no `{direction}` port",
        "declare one in its template, as in `{direction} NAME`",
    )


class E0502(Fault):
    """two routes from one port

    An outlet has one route. To divide a stream, use a splitter.

    Wrong: sizing.under -> fines_pile
           sizing.under -> blending
    Right: splitter divide { out pile 60 %; out blend rest }
           sizing.under -> divide
    """

    second = Message[str](
        "a second route leaves `{outlet}`",
        "divide the stream with a splitter",
        note="the first route",
    )


class E0503(Fault):
    """an outlet without a route

    Rock leaves here but has nowhere to go: it would pile up.

    Right: sizing.under -> product fines
    """

    outlet = Message[str, str](
        "no route leaves {kind} outlet `{outlet}`", "add a route `{outlet} -> ...`"
    )
    node = Message[str, str, str](
        "no route leaves {kind} `{name}`", "add a route `{outlet} -> ...`"
    )


class E0504(Fault):
    """nothing feeds it

    No route leads to this machine or product.
    """

    never_fed = Message[str, str](
        "no route feeds {kind} `{name}`", "add a route `... -> {name}`, or remove it"
    )


class E0505(Fault):
    """no way out

    Rock that enters here can never reach a product: the circuit only fills up.

    Wrong: sizing.top.over -> tertiary
           sizing.under -> tertiary
    Right: sizing.top.over -> tertiary
           sizing.under -> product fines
    """

    of_feed = Message[str](
        "no route leads from feed `{feed}` to a product", "add a route to a product"
    )
    of_circuit = Message[str, str](
        "no route leads from feed `{feed}` to a product: nothing leaves {machines}",
        "add a route from an outlet of that circuit to a product",
    )
    of_loop = Message[str](
        "nothing leaves the loop {machines}, so its rock can never reach a product",
        "add a route from an outlet of the loop to a product",
    )


class E0506(Fault):
    """a route the wrong way

    No route can lead into a feed or leave a product: the plant starts and ends there.
    """

    from_product = Message[str](
        "no route can leave product `{name}`: the plant ends there",
        "to use it again, put a splitter or stockpile upstream of it",
    )
    into_feed = Message[str](
        "no route can lead into feed `{name}`: rock enters the plant there",
        "to mix streams, use a `blend`",
    )
    from_out_port = Message[str](
        "`{path}` leads out of the template", "inside the template, write routes into an `out` port"
    )
    into_in_port = Message[str](
        "`{path}` leads into the template", "inside the template, write routes from an `in` port"
    )


class E0507(Fault):
    """a splitter that can't divide its feed

    A splitter has at least two outlets. Each takes a share, and the shares add up to 100 %; or each
    takes a tonnage. One of them may take the `rest`; with tonnages, one has to. Or its `position`
    names the outlet that gets everything.

    Wrong: splitter d { out a 30 %; out b 60 % }
    Right: splitter d { out a 30 %; out b rest }
    Right: splitter d { out sell 90 t/h; out surplus rest }
    Right: splitter d { out pile; out mill; position mill }
    """

    too_few = Message[str](
        "splitter `{splitter}` needs at least two outlets",
        "write `out NAME 30 %` and `out NAME rest`",
    )
    second_rest = Message[()](
        "only one outlet can take the rest", "give one of them a share", note="the other"
    )

    total = Message[str, float](
        "the shares of `{splitter}` add up to {total:per cent}, not 100 %",
        "write `rest` for one of them",
    )

    missing = Message[str](
        "outlet `{outlet}` has no share",
        "write `out {outlet} 30 %`, `out {outlet} 90 t/h` or `out {outlet} rest`, or give the "
        "splitter a `position`",
    )
    mixed = Message[str](
        "`{splitter}` has both shares and tonnages",
        "take the tonnages with one splitter, and divide its rest with another",
        note="the tonnage",
    )
    no_rest = Message[str](
        "no outlet of `{splitter}` takes what is left after the tonnages",
        "write `out NAME rest` for one outlet",
    )
    share_and_position = Message[str](
        "outlet `{outlet}` has a share, but the splitter has a `position`",
        "write `out {outlet}` alone, or remove the `position`",
        note="the position",
    )


class E0508(Fault):
    """no feed

    A plant needs at least one feed.
    """

    missing = Message[()]("the plant has no feed", "add `feed NAME {{ ... }}`")
