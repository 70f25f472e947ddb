"""Errors of the text itself: reading it, names and files, units and values, classes and
settings (E01 to E04)."""

from __future__ import annotations

from hoggin.diagnostics.code import Code

READING = (
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
        "E0108",
        "a conflict that a merge left",
        "Git could not merge two changes of the same lines and left both in the file, between "
        "lines of `<<<<<<<`, `=======` and `>>>>>>>`. Decide which holds, or put both together, "
        "and take the marker lines out. The rest of the file is read as if one side stood here. "
        "With Hoggin as the merge driver (see `docs/revisions.md`) such a conflict is only left "
        "where both changed the same fact.",
        "<<<<<<< HEAD\ncss 12 mm\n=======\ncss 14 mm\n>>>>>>> finer-chips",
        "css 14 mm",
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
        "`aim most EXPRESSION` and `aim least EXPRESSION` say what `hoggin design` chooses the "
        "free settings for. The expression is built of results, as in `require`, and of numbers: "
        "products are weighed by pure numbers (`12 * chips.rate`), or by prices, `12 per_t * "
        "chips.rate - 0.15 / 1 kWh * plant.power`, money an hour. What is added is of one kind.",
        "aim most 12 * chips.rate - 0.15 * plant.power",
        "aim most 12 per_t * chips.rate - 0.15 / 1 kWh * plant.power",
    ),
    Code(
        "E0309",
        "a `choose` that leaves no choice",
        "`choose NAME { option a { ... } option b { ... } }` stands directly in a plant and holds "
        "two options or more, each with a name of its own. Whichever option stands, the plant has "
        "to be whole.",
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
)
