"""Warnings of the checker and of rating: the documents are issued all the same (W01, W05)."""

from __future__ import annotations

from hoggin.diagnostics.code import Code

WARNINGS = (
    Code("W0101", "never used", "Nothing refers to this name; often a slip of the pen elsewhere."),
    Code(
        "W0102",
        "a weight on an only aim",
        "A weight says how much one aim counts against another; a single aim has none to be "
        "weighed against.",
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
    Code(
        "W0525",
        "a pace over a machine's capacity",
        "`hoggin operate` runs a section faster than the balance, by its `pace`, and one of its "
        "machines is then asked for more than it can pass. It would back up, or trip; clearing a "
        "blocked machine is done locked out, by the maker's and the site's procedure.",
        "feeder tunnel_feeder: feeders.belt(width: 1400 mm) { pace 150 % }",
        "feeder tunnel_feeder: feeders.belt(width: 1400 mm) { pace 110 % }",
    ),
    Code(
        "W0526",
        "loaded while the plant stands",
        "The feed's hours of loading and the plant's shifts have no hour in common, so nothing "
        "ever comes in.",
        "shifts { day: 6 h to 14 h }   # and a feed with: loading { evening: 15 h to 18 h }",
        "shifts { day: 6 h to 14 h }   # and a feed with: loading { day: 6 h to 13 h }",
    ),
)
