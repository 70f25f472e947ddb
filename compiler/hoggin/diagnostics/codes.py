"""Every diagnostic, declared once: its code, title, and the page `hoggin explain CODE` shows.

E01 reading the text, E02 names and files, E03 units and values, E04 classes and settings,
E05 routes, E06 gradings and decks, E07 templates and limits, E08 the balance, E09 measured data
for a fit; W01 and W05 are warnings of the checker and of rating: the documents are issued all the
same.
"""

from __future__ import annotations

from dataclasses import dataclass

_WIDTH = 92


@dataclass(frozen=True, slots=True)
class Code:
    code: str
    title: str
    why: str
    wrong: str = ""
    right: str = ""

    def page(self) -> str:
        """The page as plain text, also good as Markdown."""
        import textwrap  # not needed to check a plant

        lines = [f"{self.code}: {self.title}", "", *textwrap.wrap(self.why, _WIDTH)]
        if self.wrong:
            lines += ["", "Wrong:", "", *(f"    {line}" for line in self.wrong.splitlines())]
        if self.right:
            lines += ["", "Right:", "", *(f"    {line}" for line in self.right.splitlines())]
        return "\n".join(lines) + "\n"


_ALL = (
    Code(
        "E0101",
        "a line can't be read",
        "The words of this line don't make a statement of the language. The rest of the line (and "
        "a block that hangs on it) was skipped; reading went on at the next line, so further "
        "errors are real ones.",
        "crusher secondary cones.high_pivot(head: 1300 mm) { css 32 mm }",
        "crusher secondary: cones.high_pivot(head: 1300 mm) { css 32 mm }",
    ),
    Code(
        "E0102",
        "a character that means nothing here",
        "Names are made of the letters a to z, digits and `_`. Other letters may stand in comments "
        "and in texts in quotes.",
        "rate 450 t/h €",
        "rate 450 t/h   # price in €",
    ),
    Code(
        "E0103",
        "a block is not closed, or closed twice",
        "Every `{` has its `}`.",
        'plant "Hill" {\n  feed rock { rate 450 t/h',
        'plant "Hill" {\n  feed rock { rate 450 t/h }\n}',
    ),
    Code(
        "E0104",
        "a text is not closed",
        "A text in quotes ends on its own line.",
        'revision "C',
        'revision "C"',
    ),
    Code(
        "E0105",
        "a file is too long",
        "A source file is limited in length, so that a file that "
        "is no plant at all can't stop the compiler. Use library files for shared parts.",
    ),
    Code(
        "E0106",
        "nested too deeply",
        "Blocks, brackets, sums and chains of names have a limit "
        "far above what a plant needs. Take inner parts out into `let` lines.",
    ),
    Code(
        "E0107",
        "an edition this compiler does not read",
        "A file may state the edition of the language it was written for, so that a later "
        "compiler reads it as it was meant. An edition is a year; `hoggin --version` names those "
        "this compiler reads.",
        "edition 2035",
        "edition 2026",
    ),
    Code(
        "E0201",
        "an unknown name",
        "Nothing of this name is declared in the block, in the file or in the library it is looked "
        "for in. Names are told apart by capital letters too.",
        "shot_rock -> primry",
        "shot_rock -> primary",
    ),
    Code(
        "E0202",
        "declared twice",
        "A name, setting or size stands for one thing. Both places are shown.",
        "css 12 mm\ncss 14 mm",
        "css 12 mm",
    ),
    Code(
        "E0203",
        "a library can't be used",
        '`use std.NAME` reaches the compiler\'s own library, and `use "FILE.hog" as NAME` a file '
        "of your own, by its path from the file it stands in.",
        "use our_machines",
        'use "our_machines.hog" as ours',
    ),
    Code(
        "E0204",
        "files use each other in a circle",
        "A file that uses another can't be used by "
        "it, directly or by a third. Move what they share into a file of its own.",
    ),
    Code(
        "E0205",
        "a `use` leads out of the project",
        "A plant must be complete in its own folder "
        "and revision history, so a `use` reaches no file outside the project root: the nearest "
        "folder with a `.git`, or else the plant's own folder. Links are followed first.",
        'use "../../elsewhere/cones.hog" as cones',
        'use "lib/cones.hog" as cones',
    ),
    Code("E0206", "not one plant", "A file holds one plant, or none and is a library."),
    Code(
        "E0207",
        "a line stands where it means nothing",
        "Each kind of line has its block: a "
        "deck stands in a screen, a route in a plant or template, a rule in a class.",
        'plant "Hill" {\n  deck top 20 mm\n}',
        'plant "Hill" {\n  screen sizing: screens.inclined(...) { deck top 20 mm }\n}',
    ),
    Code(
        "E0208",
        "`let` lines in a circle",
        "Each name would have to be known before the other.",
        "let a = 2 * b\nlet b = a / 2",
        "let b = 5 mm\nlet a = 2 * b",
    ),
    Code(
        "E0209",
        "no such result",
        "A requirement asks for a result by the name of a product, "
        "feed, machine or deck and what is wanted of it.",
        "require chips <= 15 mm",
        "require chips.p80 <= 15 mm",
    ),
    Code(
        "E0301",
        "an unknown unit",
        "The unit is none that the language knows.",
        "css 32 mn",
        "css 32 mm",
    ),
    Code(
        "E0302",
        "the wrong kind of quantity",
        "Lengths, mass flows, powers and so on don't stand for one another, add up or compare.",
        "css 32 kW",
        "css 32 mm",
    ),
    Code(
        "E0303",
        "a unit is missing",
        "A quantity that has a dimension is always written with "
        "its unit: nobody has to guess between millimetres and inches.",
        "css 32",
        "css 32 mm",
    ),
    Code(
        "E0304",
        "not one of the choices",
        "The setting takes one of the words its class lists.",
        "chamber corse",
        "chamber coarse",
    ),
    Code(
        "E0305",
        "arithmetic that can't be done",
        "A division by zero, a root of a negative number, or a result out of all bounds.",
    ),
    Code(
        "E0306",
        "out of bounds",
        "The number is not possible in a plant: a negative rate, more "
        "than 100 %, a rock heavier than iron ore.",
        "moisture 150 %",
        "moisture 1.5 %",
    ),
    Code(
        "E0307",
        "a free or uncertain number that says too little or too much",
        "`free(low, high)` leaves a number open within a range, with a third value to start from "
        "if you like; `any(a, b, c)` leaves a choice; `normal(mean, deviation)`, "
        "`uniform(low, high)` and `triangle(low, likely, high)` say how uncertain a number is. "
        "All values are of one kind of unit; a deviation may be in per cent of the mean.",
        "css free(25 mm, 10 mm)",
        "css free(10 mm, 25 mm)",
    ),
    Code(
        "E0308",
        "an aim that can't be worked out",
        "`aim most EXPRESSION` and `aim least EXPRESSION` say what `hoggin design` chooses the free "
        "settings for. The expression is built of results, as in `require`, and of numbers: products "
        "are weighed by pure numbers (`12 * chips.rate`), or by prices, `12 per_t * chips.rate - "
        "0.15 / 1 kWh * plant.power`, money an hour. What is added is of one kind.",
        "aim most 12 * chips.rate - 0.15 * plant.power",
        "aim most 12 per_t * chips.rate - 0.15 / 1 kWh * plant.power",
    ),
    Code(
        "E0309",
        "a `choose` that leaves no choice",
        "`choose NAME { option a { ... } option b { ... } }` stands directly in a plant and holds two "
        "options or more, each with a name of its own. Whichever option stands, the plant has to "
        "be whole.",
        "choose type { option cone { ... } }",
        "choose type { option cone { ... }  option roll { ... } }",
    ),
    Code(
        "E0401",
        "the wrong kind of thing",
        "A crusher is made from a crusher class, a section "
        "from a template, a feed from a material.",
        "screen s: cones.high_pivot(head: 1300 mm)",
        "crusher s: cones.high_pivot(head: 1300 mm) { ... }",
    ),
    Code(
        "E0402",
        "something needed is missing",
        "The class or feed can't do without this.",
        "crusher secondary: cones.high_pivot(head: 1300 mm)",
        "crusher secondary: cones.high_pivot(head: 1300 mm) { duty secondary; css 32 mm }",
    ),
    Code(
        "E0403",
        "no such setting",
        "The class, feed, material or plant has nothing of this name.",
        "closed_setting 32 mm",
        "css 32 mm",
    ),
    Code(
        "E0404",
        "out of the class's range",
        "The class of machine can't be set so. A closed-side setting below the range means contact "
        "of the liners or overload; above it the crusher no longer crushes. A speed out of range "
        "is a hazard: rotating energy grows with its square.",
        "css 2 mm",
        "css 12 mm",
    ),
    Code(
        "E0405",
        "a rule of the class is broken",
        "The class says what may not be combined, for "
        "instance a coarse chamber in a tertiary machine. The rule's own place is shown.",
    ),
    Code(
        "E0406",
        "no such model",
        "A class names process models that the compiler has, by role "
        "and name, and gives the coefficients each one takes.",
    ),
    Code("E0407", "a model's coefficient is missing", "The model can't be worked out without it."),
    Code(
        "E0408",
        "a class without a needed model",
        "A crusher class needs models for breakage, "
        "capacity and power; a screen class for partition; a feeder class for capacity; "
        "a conveyor class for capacity and belt_power. Where the flakiness of a product is asked "
        "for, the crushers before it need a model for shape as well; for its flat and elongated "
        "share a model for elongation, of pieces of the ratio that the plant counts.",
    ),
    Code(
        "E0418",
        "a price without a currency",
        "A crusher or its class states what its liner metal costs, but the plant does not say in "
        "which money. A document that shows a sum has to name it; nothing is converted.",
        'plant "Hill" { ...; crusher c: ours { css 12 mm; liner_price 4.2 per_kg } }',
        'plant "Hill" { currency "EUR"; ...; crusher c: ours { css 12 mm; liner_price 4.2 per_kg }'
        " }",
    ),
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
        "Templates multiply: a plant has a limit of machines and a list a "
        "limit of sizes, so that a slip can't exhaust the computer.",
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
    Code("W0101", "never used", "Nothing refers to this name; often a slip of the pen elsewhere."),
    Code(
        "W0102",
        "a weight on an only aim",
        "A weight says how much one aim counts against another; a single aim has none to be weighed "
        "against.",
        "aim most chips.rate weight 2",
        "aim most chips.rate",
    ),
    Code(
        "W0501",
        "load over capacity",
        "The machine is asked for more than it can pass at its "
        "setting. It would back up: a crusher then runs choked and trips, or bridges; clearing a "
        "blocked crusher is dangerous work, to be done only locked out and by the maker's and "
        "site's procedure. Open the setting, reduce the feed or choose a larger machine.",
    ),
    Code(
        "W0502",
        "reduction ratio over the class's limit",
        "The step is too long for this class: "
        "power, wear and fines rise, shape suffers. Add a stage or open the setting.",
    ),
    Code(
        "W0503",
        "feed coarser than the feed opening",
        "Slabs bridge over the opening. Freeing "
        "a bridged chamber is among the most dangerous jobs of the plant. Take a larger machine, "
        "a coarser chamber, or a finer feed.",
    ),
    Code(
        "W0504",
        "power over the installed motor",
        "Bond's law asks for more power than the motor has.",
    ),
    Code(
        "W0505",
        "tramp metal larger than the relief can pass",
        "The chamber opens by less than "
        "the piece: it stalls, and the parts that hold it store great energy. Remove tramp metal "
        "before the machine (magnet, detector).",
    ),
    Code(
        "W0506",
        "under-fed chamber",
        "A crusher that works by inter-particle breakage needs a "
        "full chamber: below this load shape and grading suffer and liners wear unevenly.",
    ),
    Code(
        "W0507",
        "deck too small",
        "The area the association's factor method asks for is more "
        "than the deck has: undersize is carried over.",
    ),
    Code(
        "W0508",
        "bed too deep at the discharge",
        "Deeper than about four apertures (common "
        "practice, no source) the bed doesn't stratify and near-size pieces never meet the "
        "openings.",
    ),
    Code(
        "W0509",
        "much near-size",
        "Pieces near the aperture blind the deck and are not cleanly "
        "separated; take the efficiency with doubt.",
    ),
    Code(
        "W0510",
        "high recirculating load",
        "More goes round than comes in fresh, several times: "
        "conveyors and screen are sized by it and the circuit reacts strongly to small changes.",
    ),
    Code(
        "W0511",
        "a requirement is not met",
        "The plant as described misses a `require` line. "
        "The documents are issued; the command's exit code says so.",
    ),
    Code(
        "W0512",
        "said to be fed by trickle, yet full",
        "At this rate the chamber fills: grading, shape "
        "and wear are not those of a part-filled chamber, which the balance took. Both ways of "
        "feeding meet at one rate, the class's `min_load` of its full capacity.",
        "feeding trickle   # at 90 % of what the chamber passes",
        "feeding choke",
    ),
    Code(
        "W0513",
        "tramp metal passes at this setting, not at the closest",
        "The relief opens the "
        "chamber from the setting it stands at. Closed further, within the class's range, this "
        "tramp metal stalls the machine, and the parts that hold it store great energy. Remove "
        "tramp metal before the machine, or see that the setting is not closed further.",
    ),
    Code(
        "W0514",
        "feed coarser than rolls can nip",
        "Friction draws a piece between rolls up to a "
        "size that follows from their diameter, the gap and the coefficient of friction. Larger "
        "pieces ride on the rolls, wear them and spit; pushing them in has cost hands and arms. "
        "Larger rolls, a wider gap or a finer feed.",
    ),
    Code(
        "W0515",
        "flakiness known only in part",
        "Some feeds state their flakiness, or their flat and elongated share, but into this "
        "product also runs rock of a feed that does not, or rock from a crusher whose class names "
        "no model for it. No figure is made up for it: it is left open.",
        "feed b { material granite; rate 100 t/h; grading { 32 mm: 100 %  2 mm: 5 % } }",
        "feed b { ...; flakiness 18 % }",
    ),
    Code(
        "W0516",
        "moist fines may pack the chamber",
        "The feed of a crusher that squeezes holds more than 4 % moisture, or than its class's "
        "`moisture_limit`, and more than 10 % of it is finer than a quarter of the setting (common "
        "practice, no source). Such fines fill the voids and move as a cake: power rises, the "
        "relief works, less comes through. Scalp the fines before it, dry or drain the feed, or "
        "open the setting. A packed chamber is cleared locked out and proved dead, by the maker's "
        "procedure: stored energy and hanging rock let go without warning.",
    ),
    Code(
        "W0517",
        "more live storage than the pile or bin holds",
        "The `live` mass that is stated is more than the cone of the stated height, or the bin of "
        "the stated volume, holds at the rock's bulk density.",
        "stockpile surge { live 6000 t; height 12 m }",
        "stockpile surge { live 6000 t; height 24 m }",
    ),
    Code(
        "W0518",
        "lumps too large for the belt",
        "Lumps over about a third of a belt's width (common practice, no source) roll off it, jam "
        "skirts and chutes, and fall on what is below. Take a wider belt, or break or scalp the "
        "rock before it.",
    ),
    Code(
        "W0519",
        "belt steeper than rock stays on it",
        "On a smooth belt rock rolls back above about 18 degrees (common practice, no source), and "
        "falls on what and who is below. Lengthen the conveyor, or fit a belt made for steep runs.",
    ),
    Code(
        "W0520",
        "a currency nothing is priced in",
        "The plant names a currency, but no crusher states `liner_price`, so no cost is shown.",
        'plant "Hill" { currency "EUR"; crusher c: ours { css 12 mm } }',
        'plant "Hill" { currency "EUR"; crusher c: ours { css 12 mm; liner_price 4.2 per_kg } }',
    ),
    Code(
        "W0523",
        "a fine deck is likely to blind",
        "Openings under 6 mm, screened dry, are fed with more than 3 % moisture: water holds the "
        "fines together and to the wire, and the deck closes up (common practice, no source). "
        "Spray it, dry or scalp the feed, or fit media made to keep open. Clearing a blinded deck "
        "is done locked out, with the box blocked.",
    ),
)

CODES: dict[str, Code] = {code.code: code for code in _ALL}
