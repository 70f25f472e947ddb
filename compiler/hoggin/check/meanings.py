"""One line on each word of the language, for its reference page and for editors."""

from __future__ import annotations

from hoggin.schema.kinds import KINDS

# What a keyword begins or joins. A keyword without a line here is still listed.
KEYWORDS = {
    "use": 'imports a library: `use std.cones`, `use "ours.hog" as ours`',
    "as": "gives a used library another name",
    "let": "names a value: `let setting = 15 mm`",
    "require": "a limit that the plant must meet: `require chips.rate >= 50 t/h`",
    "maximize": "a result that `hoggin design` makes as large as it can",
    "minimize": "a result that `hoggin design` makes as small as it can",
    "weight": "how much an aim counts against the others",
    "choose": "alternatives of a plant; one `option` applies at a time",
    "option": "one alternative of a `choose`",
    "case": "another state of the plant, whose lines replace those of the plant: "
    "`case wet { granite.moisture 6 % }`",
    "rule": "a condition that settings of a class must meet",
    "else": "the message shown if a `rule` is broken",
    "class": "defines a machine class",
    "template": "defines a part of a plant, for use by `section`",
    "setting": "a setting of a class, with its range and default",
    "to": "joins both ends of a range: `6 mm to 60 mm`",
    "source": "where a number comes from",
    "plant": "the plant itself; in `require`, its own results",
    "series": "a named series of sieves",
    "model": "the process model of a class in one role; in a machine, the one it uses",
    "operation": "how a machine, feed or plant is run",
    "project": "what the title blocks of documents say: client, document number, status ...",
    "note": 'a remark for documents: `note "belt scale before the bin"`',
    "deck": "a deck of a screen",
    "and": "both: joins limits of a `require` or conditions of a `rule`",
    "or": "either: joins conditions of a `rule`",
    "within": "in a range: `require cone.load within 60 % to 90 %`",
    "meets": "a product within a grading band: `require chips meets astm.c33_8`",
    "by": "a value by a setting: `by chamber { coarse: 3, fine: 2 }`",
    "feed": "rock fed to the plant",
    **{name: kind.meaning for name, kind in KINDS.items()},
    "section": "a use of a template",
    "material": "defines a rock by name",
    "band": "defines a grading band",
    "grading": "defines a grading by name",
    "product": "material that leaves the plant for sale",
    "in": "where a stream enters a template; the cases that a `require` applies to",
    "out": "where a stream leaves a template or splitter",
}
# Numbers that are left open, and those that are uncertain.
OPEN = {
    "free": "any value of a range, for `hoggin design` and `hoggin sweep` to choose",
    "any": "one of a list, for `hoggin design` to choose",
}
