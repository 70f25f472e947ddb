"""Errors of the plant the text describes: routes, gradings and decks, templates and limits, the
balance, measured data (E05 to E09)."""

from __future__ import annotations

from hoggin.diagnostics.code import Code

PLANTS = (
    Code(
        "E0501",
        "no such port, or which one?",
        "A screen has `DECK.over` for each deck and "
        "`under`; a splitter its own outlets; a section its template's ports. A route into a "
        "machine names the machine only.",
        "sizing -> secondary",
        "sizing.top.over -> secondary",
    ),
    Code(
        "E0502",
        "two routes from one port",
        "What leaves an outlet goes one way. To divide a stream, put a splitter into it.",
        "sizing.under -> fines_pile\nsizing.under -> blending",
        "splitter divide { out pile 60 %; out blend rest }\nsizing.under -> divide",
    ),
    Code(
        "E0503",
        "a port is never drained",
        "Material leaves here and nothing takes it away: in the plant it would pile up.",
        "",
        "sizing.under -> product fines",
    ),
    Code("E0504", "nothing feeds it", "A machine or product that no route reaches."),
    Code(
        "E0505",
        "no way out",
        "What enters here can never reach a product: the circuit only fills up.",
        "sizing.top.over -> tertiary\nsizing.under -> tertiary",
        "sizing.top.over -> tertiary\nsizing.under -> product fines",
    ),
    Code(
        "E0506",
        "a route the wrong way",
        "Nothing runs into a feed, and nothing leaves a product: the plant begins and ends there.",
    ),
    Code(
        "E0507",
        "a splitter's shares",
        "A splitter has at least two outlets, whose shares add "
        "up to 100 %; one of them may be `rest`.",
        "splitter d { out a 30 %; out b 60 % }",
        "splitter d { out a 30 %; out b rest }",
    ),
    Code("E0508", "no feed", "A plant needs at least one feed."),
    Code(
        "E0601",
        "a grading that can't be",
        "What passes a fine sieve passes every coarser one, so passing never rises towards finer "
        "sizes; and each size has one passing.",
        "grading { 63 mm: 80 %  31.5 mm: 90 % }",
        "grading { 63 mm: 100 %  31.5 mm: 90 % }",
    ),
    Code(
        "E0602",
        "a list of sieves that can't be",
        "A sieve series is a list of different sizes.",
        "sieves { 20 mm }",
        "sieves { 40 mm 20 mm 10 mm 5 mm }",
    ),
    Code(
        "E0603",
        "the top size is missing",
        "A grading says at which size everything passes: "
        "without it the size of the largest piece, and so the feed opening, can't be checked.",
        "grading { 300 mm: 61 %  100 mm: 30 % }",
        "grading { 900 mm: 100 %  300 mm: 61 %  100 mm: 30 % }",
    ),
    Code(
        "E0604",
        "decks in the wrong order",
        "Rock meets the top deck first: each deck below is "
        "finer than the one above, or nothing stays on it.",
        "deck top 5 mm; deck bottom 20 mm",
        "deck top 20 mm; deck bottom 5 mm",
    ),
    Code(
        "E0605",
        "decks",
        "A screen has one to four decks, named top, second (or middle), third "
        "and bottom, and no more than its class allows.",
    ),
    Code(
        "E0701",
        "a template contains itself",
        "Directly or by other templates: the plant would have no end.",
    ),
    Code(
        "E0702",
        "a template's port leads nowhere",
        "Each port is joined to something inside the template.",
    ),
    Code(
        "E0703",
        "too large",
        "Templates multiply: a plant has a limit of machines and of options to choose from, and a "
        "list a limit of sizes, so that a slip can't exhaust the computer.",
    ),
    Code(
        "E0704",
        "a campaign that changes what machines are fed",
        "A splitter with a `campaign` sends everything one way at a time. Machines behind it would "
        "get all of its rock, then none, and the balance, which holds for the shares on the "
        "average, would not hold for them. Between the splitter and the next crusher, screen, "
        "classifier or feeder there has to be a bin or a stockpile.",
        "splitter turns { out a 40 %; out b rest; campaign 30 h }\nturns.a -> crusher_a",
        "splitter turns { out a 40 %; out b rest; campaign 30 h }\nturns.a -> bin_a -> crusher_a",
    ),
    Code(
        "E0801",
        "a loop can't settle",
        "In steady state what enters a loop leaves it. Here some "
        "sizes never do: the screen returns them and the crusher never breaks them below the "
        "aperture. The message names the loop, the sizes and the reason.",
        "css 60 mm   # in closed circuit with a 10 mm deck",
        "css 14 mm   # product well below the deck's aperture",
    ),
    Code(
        "E0901",
        "measured gradings can't be read",
        "`hoggin fit` reads a table with a heading and a line for each sieve of each sample. Cells "
        "are parted by commas, semicolons or tabs. Sizes and settings are in mm, what passes in "
        "per cent; a cell without a measurement stays blank.",
        "sieve, feed, product",
        "sample, css mm, size mm, feed % passing, product % passing",
    ),
    Code(
        "E0902",
        "a measured grading can't be true",
        "Between 0 % and 100 % passes a sieve, never more than passes a coarser one. A feed's "
        "grading begins at its top size with 100 %, a sample is taken at one setting, and a "
        "crusher makes no rock coarser.",
        "20, 55, 60\n10, 58, 40",
        "20, 55, 60\n10, 38, 40",
    ),
    Code(
        "E0903",
        "too little was measured",
        "A sample needs its feed on two sieves or more and its product on three or more, or "
        "nothing can be fitted to it.",
    ),
)
