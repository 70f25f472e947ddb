"""W05: warnings of rating. Their messages are written where a load meets its limit, their help is
here."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class W0501(Fault):
    """load over capacity

    The feed is more than the machine can pass at its setting. It would back up: a crusher
    then runs choked and trips, or bridges; clearing a blocked crusher is dangerous work, to be
    done only locked out and by the maker's and site's procedure. Open the setting, reduce the
    feed or choose a larger machine.
    """

    remedy = "open the setting, feed less or choose a larger machine"


class W0502(Fault):
    """reduction ratio over the class's limit

    The size reduction is too large for this class: power, wear and fines rise, shape suffers. Add
    a stage
    or open the setting.
    """

    remedy = "add a stage or open the setting"


class W0503(Fault):
    """feed coarser than the feed opening

    Slabs bridge over the opening. Freeing a bridged chamber is among the most dangerous jobs of
    the plant. Take a larger machine, a coarser chamber, or a finer feed.
    """

    remedy = "choose a larger machine or a coarser chamber, or scalp the feed"


class W0504(Fault):
    """power over the installed motor

    The power by Bond's law is more than the motor has.
    """

    remedy = "open the setting, feed less, or fit a larger motor within the class's limits"


class W0505(Fault):
    """tramp metal larger than the relief can pass

    The chamber opens by less than the piece: it stalls, and the parts that hold it store great
    energy. Remove tramp metal before the machine (magnet, detector).
    """

    remedy = "put a magnet or metal detector before the machine"


class W0506(Fault):
    """under-fed chamber

    A crusher that works by inter-particle breakage needs a full chamber: below this load shape
    and grading suffer and liners wear unevenly.
    """

    remedy = "feed the chamber full, close the setting, or choose a smaller machine"


class W0507(Fault):
    """deck too small

    The area by the association's factor method is more than the deck has: undersize is
    carried over.
    """

    remedy = "take a larger screen or share the feed between two"


class W0508(Fault):
    """bed too deep at the discharge

    Deeper than about four apertures (common practice, no source) the bed doesn't stratify and
    near-size pieces never meet the openings.
    """

    remedy = "take a wider screen, or relieve the deck"


class W0509(Fault):
    """much near-size

    Pieces near the aperture blind the deck and are not cleanly separated; treat the efficiency
    with caution.
    """

    remedy = "treat the separation with caution; another aperture may suit better"


class W0510(Fault):
    """high recirculating load

    Several times the fresh feed recirculates: conveyors and screen are sized by it and the
    circuit reacts strongly to small changes. Or the loop is near the feed at which it runs away:
    beyond it more returns to the screen than it can pass, and the loop fills up.
    """

    remedy = "open the screen or close the setting"


class W0511(Fault):
    """a requirement is not met

    The plant as described misses a `require` line. The documents are issued; the command's exit
    code says so.
    """


class W0512(Fault):
    """stated as trickle fed, but full

    At this rate the chamber fills: grading, shape and wear are not those of a part-filled
    chamber, which the balance assumed. Both ways of feeding meet at one rate, the class's
    `min_load` of its full capacity.

    Wrong: feeding trickle   # at 90 % of what the chamber passes
    Right: feeding choke
    """

    remedy = "write `feeding choke`, or feed less"


class W0513(Fault):
    """tramp metal passes at this setting, not at the closest

    The relief opens the chamber from its present setting. Closed further, within the
    class's range, this tramp metal stalls the machine, and the parts that hold it store great
    energy. Remove tramp metal before the machine, or see that the setting is not closed
    further.
    """

    remedy = "detect and remove tramp metal before the machine, or keep to that setting"


class W0514(Fault):
    """feed coarser than rolls can nip

    Friction draws a piece between rolls up to a size that follows from their diameter, the gap
    and the coefficient of friction. Larger pieces ride on the rolls, wear them and are thrown
    out; pushing them in has cost hands and arms. Choose larger rolls, a wider gap or a finer feed.
    """

    remedy = "take larger rolls, open the gap, or feed finer"


class W0515(Fault):
    """flakiness known only in part

    Some feeds state their flakiness, or their flat and elongated share, but into this product
    also runs rock of a feed that does not, or rock from a crusher whose class names no model
    for it. No figure is estimated for it: it is left blank.

    Wrong: feed b { rock granite; rate 100 t/h; passing { 32 mm: 100 %, 2 mm: 5 % } }
    Right: feed b { ...; flakiness 18 % }
    """


class W0516(Fault):
    """moist fines may pack the chamber

    The feed of a crusher that squeezes holds more than 4 % moisture, or than its class's
    `moisture_limit`, and more than 10 % of it is finer than a quarter of the setting (common
    practice, no source). Such fines fill the voids and move as a cake: power rises, the relief
    works, less comes through. Scalp the fines before it, dry or drain the feed, or open the
    setting. A packed chamber is cleared locked out and proved dead, by the maker's procedure:
    stored energy and hanging rock let go without warning.
    """

    remedy = "scalp the fines before it, dry or drain the feed, or open the setting"


class W0517(Fault):
    """more live storage than the pile or bin holds

    The `live` mass that is stated is more than the cone of the stated height, or the bin of the
    stated volume, holds at the rock's bulk density.

    Wrong: stockpile surge { live 6000 t; height 12 m }
    Right: stockpile surge { live 6000 t; height 24 m }
    """

    remedy = "make the pile higher or the bin larger, or state less live storage"


class W0518(Fault):
    """lumps too large for the belt

    Lumps over about a third of a belt's width (common practice, no source) roll off it, jam
    skirts and chutes, and fall on what is below. Take a wider belt, or break or scalp the rock
    before it.
    """

    remedy = "take a wider belt, or break or scalp the rock before it"


class W0519(Fault):
    """belt steeper than rock stays on it

    On a smooth belt rock rolls back above about 18 degrees (common practice, no source), and
    falls on what and who is below. Lengthen the conveyor, or fit a belt made for steep runs.
    """

    remedy = "lengthen the conveyor, or fit a belt made for steep runs"


class W0520(Fault):
    """a currency without a price

    The plant states a currency, but nothing in it has a price, so no cost is shown.

    Wrong: plant "Hill" { currency EUR; crusher c: ours { css 12 mm } }
    Right: plant "Hill" { currency EUR; ...; maximize 11 EUR/t * chips.rate }
    """

    nothing_priced = Message[str](
        "nothing is priced in `{currency}`",
        "add `operation {{ liner_price 4.2 {currency}/kg }}` to a crusher, or remove the currency",
    )


class W0523(Fault):
    """a fine deck is likely to blind

    Openings under 6 mm, screened dry, are fed with more than 3 % moisture: water holds the
    fines together and to the wire, and the deck closes up (common practice, no source). Spray
    it, dry or scalp the feed, or fit self-cleaning media. Clearing a blinded deck is done
    locked out, with the box blocked.
    """

    remedy = "spray the deck, dry the feed, or fit self-cleaning media"


class W0530(Fault):
    """less arrives than is asked for

    The outlets of a splitter are asked for more tonnes an hour than are fed to it. They get all
    that arrives, each its part of it, and nothing goes on by the outlet that takes the rest: what
    lies behind that outlet runs empty.
    """

    remedy = "ask for less, or send more to the splitter"


class W0525(Fault):
    """a pace over a machine's capacity

    `hoggin simulate` runs a section faster than the balance, by its `pace`, and one of its
    machines is then fed more than it can pass. It would back up, or trip; clearing a
    blocked machine is done locked out, by the maker's and the site's procedure.

    Wrong: feeder tunnel_feeder: feeders.belt(width: 1400 mm) { operation { pace 150 % } }
    Right: feeder tunnel_feeder: feeders.belt(width: 1400 mm) { operation { pace 110 % } }
    """


class W0526(Fault):
    """loaded while the plant is stopped

    The feed's hours of loading and the plant's shifts have no hour in common, so nothing is ever
    fed.

    Of a feed, where the shifts of the plant are `day: 6 h to 14 h`:

    Wrong: operation { loading { evening: 15 h to 18 h } }
    Right: operation { loading { day: 6 h to 13 h } }
    """

    never_loaded = Message[str](
        "feed `{feed}` is loaded only while the plant is stopped: nothing is fed",
        "let the hours of loading and the shifts overlap",
    )
