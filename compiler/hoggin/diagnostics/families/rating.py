"""W05: warnings of rating. Their messages are made in `rating`, their help is here."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class W0501(Fault):
    """load over capacity

    The feed is more than the machine can pass at its setting. It would back up: a crusher
    then runs choked and trips, or bridges; clearing a blocked crusher is dangerous work, to be
    done only locked out and by the maker's and site's procedure. A magnet or a detector over too
    thick a layer misses metal, and a thickener loses fines to its overflow. Reduce the feed, change
    the setting or choose a larger machine.
    """

    remedy = "feed less, or choose a larger machine or one more with `count`"


class W0502(Fault):
    """reduction ratio over the class's limit

    The size reduction is too large for this class: power, wear and fines rise, and shape gets
    worse. Add a stage or open the setting.
    """

    remedy = "add a stage or open the setting"


class W0503(Fault):
    """feed coarser than the feed opening

    Slabs bridge over the opening. Freeing a bridged chamber is among the most dangerous jobs of
    the plant. Choose a larger machine, a coarser chamber, or a finer feed.
    """

    remedy = "choose a wider opening or a coarser chamber, or break the largest rock upstream"


class W0504(Fault):
    """power over the installed motor

    The power by Bond's law exceeds the power of the motor.
    """

    remedy = "open the setting, feed less, or fit a larger motor within the class's limits"


class W0505(Fault):
    """tramp metal larger than the chamber can pass

    The chamber opens less than the size of the piece: the crusher stalls, and its parts store great
    energy. A jaw has no relief: its toggle plate breaks, or a larger part. A magnet takes most of
    the iron, but not all of it, and no manganese steel: a piece that it misses, or can't hold,
    needs a metal detector that stops the belt. State what the feed may hold as `tramp` and
    `nonmagnetic_tramp`. Metal is taken out by hand only where the belt is locked out and proved
    dead.
    """

    remedy = (
        "keep metal out of the feed, or put a magnet, then a metal detector that stops the belt, "
        "upstream of the machine"
    )


class W0506(Fault):
    """under-fed chamber

    A crusher that works by inter-particle breakage needs a full chamber. Below this load its
    product gets coarser and flakier, as the balance computes, and liners wear unevenly. The filling
    is 0 % where single pieces are broken one by one, and 100 % where rock also breaks rock.
    """

    remedy = (
        "feed more or steadily from a surge bin, close the setting, or choose a smaller machine"
    )


class W0507(Fault):
    """deck too small

    The deck needs more area than it has: by the association's tables, or to pass the share of its
    undersize that its class asks for (`min_efficiency`). Undersize is carried over.
    """

    remedy = "choose a larger screen, or divide the feed among several with `count`"


class W0508(Fault):
    """bed too deep at the discharge

    Deeper than about four apertures (common practice, no source) the bed doesn't stratify and
    near-size pieces never meet the openings. On a dewatering screen, whose bed filters, a bed
    deeper than its class allows does not drain.
    """

    remedy = (
        "choose a wider screen, relieve the deck, or divide the feed among several with `count`"
    )


class W0509(Fault):
    """much near-size rock

    Pieces near the size of the aperture blind the deck and do not separate cleanly. Treat the
    efficiency with caution.
    """

    remedy = (
        "choose an aperture with less rock near its size, or allow for more of it in the oversize"
    )


class W0510(Fault):
    """high recirculating load

    A multiple of the fresh feed recirculates. Conveyors and screen must be sized for it, and the
    circuit reacts strongly to small changes. Or the loop is near the feed at which it runs away:
    above that feed, more rock returns to the screen than it can pass, and the loop fills up.
    """

    remedy = "close the setting, open the deck that returns rock, or feed less"


class W0511(Fault):
    """a requirement is not met

    The plant does not meet a `require` line, or the result in that line has no value: nothing flows
    there, or the plant states too little to compute it. The documents are issued, and the command's
    exit code shows it.

    A requirement is not judged if it depends on what is downstream of an overloaded machine. The
    balance passes the whole feed through that machine. In the plant less arrives.
    """

    remedy = "nothing flows there, or the plant states too little to compute it"


class W0513(Fault):
    """tramp metal passes at this setting, not at the closest

    The relief opens the chamber from its present setting. Closed further, within the class's range,
    this tramp metal stalls the machine, and its parts store great energy. Remove tramp metal
    upstream of the machine, or make sure that the setting is not closed further.
    """

    remedy = "detect and remove tramp metal upstream, or do not close the setting further"


class W0514(Fault):
    """feed coarser than rolls can nip

    Friction draws a piece between rolls up to a size that follows from their diameter, the gap
    and the coefficient of friction. Larger pieces ride on the rolls, wear them and are thrown
    out; pushing them in has cost hands and arms. Moving rolls have less friction than rolls at
    rest: up to the size that friction at rest holds, pieces may slip before they are drawn in,
    which wears the shells. Choose larger or slower rolls, a wider gap or a finer feed.
    """

    remedy = "choose larger or slower rolls, open the gap, or feed finer rock"


class W0515(Fault):
    """flakiness known only in part

    Some feeds state their flakiness, or their flat and elongated share. But rock of another feed,
    or from a crusher whose class has no model for it, also enters this product. The compiler does
    not guess: the value stays blank.

    Wrong: feed b { rock granite; rate 100 t/h; passing { 32 mm: 100 %, 2 mm: 5 % } }
    Right: feed b { ...; flakiness 18 % }
    """


class W0516(Fault):
    """moist fines may pack the chamber

    The feed of a crusher that squeezes holds more than 4 % moisture, or than its class's
    `moisture_limit`, and more than 10 % of it is finer than a quarter of the setting (common
    practice, no source). Such fines fill the voids and move as a cake: power rises, the relief
    acts, throughput falls. Scalp the fines upstream, dry or drain the feed, or open the setting.
    Lock out and prove dead before clearing a packed chamber, by the maker's procedure: stored
    energy and hanging rock release without warning.
    """

    remedy = "scalp the fines upstream, dry or drain the feed, or open the setting"


class W0517(Fault):
    """more live storage than the pile or bin holds

    The stated `live` mass exceeds what a cone of the stated height, or a bin of the stated volume,
    holds at the rock's bulk density.

    Wrong: stockpile surge { live 6000 t; height 12 m }
    Right: stockpile surge { live 6000 t; height 24 m }
    """

    remedy = "make the pile higher or the bin larger, or state less live storage"


class W0518(Fault):
    """lumps too large for the belt

    Lumps over about a third of a belt's width (common practice, no source) roll off it, jam skirts
    and chutes, and fall on people and equipment below. Choose a wider belt, or break or scalp the
    rock upstream.
    """

    remedy = "choose a wider belt, or break or scalp the rock upstream"


class W0519(Fault):
    """belt too steep for rock

    On a smooth belt, rock rolls back above about 18 degrees (common practice, no source), and falls
    on people and equipment below. Lengthen the conveyor, or fit a belt made for steep runs.
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

    Openings under 12 mm, screened dry, get a feed with more than 3 % moisture: fines stick together
    and to the wire, and the deck closes up (common practice, no source). Spray it, dry or scalp the
    feed, or fit self-cleaning media. Lock out and block the box before clearing a blinded deck.
    """

    remedy = "spray the deck, dry the feed, or fit self-cleaning media"


class W0530(Fault):
    """less arrives than the tonnages of a splitter

    The tonnages of a splitter's outlets add up to more than its feed. These outlets divide the
    whole feed in proportion, and the outlet that takes the rest gets nothing: machines downstream
    of it run empty.
    """

    remedy = "reduce the tonnages, or feed more to the splitter"


class W0531(Fault):
    """pile higher than its stacker can build

    The stated pile is higher than the head of the conveyor that builds it. The head would be
    buried, and rock would run back on the belt. Lengthen or raise the stacker, or state a lower
    pile. Keep everybody off and away from a pile that is being built or drawn: its faces slide and
    bury people.
    """

    remedy = "choose a longer or steeper stacker, or state a lower pile"


class W0532(Fault):
    """more slurry than the pump can take

    The sump upstream of the pump fills and overflows onto the walkways. Choose a larger pump, or
    add less water.
    """

    remedy = "choose a larger pump, or add less water"


class W0533(Fault):
    """sump too small for its flow

    A sump that holds less than about a minute of its flow (common practice, no source) runs empty
    or overflows before its level control and pump can react: the pump then draws air, or the floor
    floods. Choose a larger sump.
    """

    remedy = "choose a larger sump"


class W0534(Fault):
    """thickener too small

    By the settling test, the surface is too small for the solids to settle at the density of the
    underflow, or the water rises faster than fine solids settle: they then leave with the overflow.
    Choose a larger thickener, accept a thinner underflow, or feed less water.
    """

    remedy = "choose a larger thickener, or feed less water and solids"


class W0535(Fault):
    """feed other than the table's

    A table of gradings holds for the feed it was made with: its `feed_top` and, if the class states
    it, its `feed_f80`. A coarser feed gives a coarser product. A feed that is much finer (three
    quarters of it; common practice, no source) gives a finer one.
    """

    remedy = "use a table for this feed, or a model that follows its feed, such as `matrix`"


class W0536(Fault):
    """rock of another density than the table's

    A table of capacity holds for a bulk density. Capacity is scaled in proportion. If the densities
    differ by more than a tenth (common practice, no source), the rock is probably of another kind,
    which may also break differently.
    """

    remedy = "check the table's `bulk_density` and the rock's, or use a table for this rock"


class W0540(Fault):
    """pool too small for the cut

    The overflow of a screw washer or upflow classifier rises faster than grains of the stated cut
    size sink, so they leave with the water. Grains sink by the law of Ferguson & Church (2004).
    Choose a larger pool or more machines, add less water, or state a coarser cut.
    """

    remedy = "choose a larger pool or more machines with `count`, add less water, or cut coarser"


class W0541(Fault):
    """pressure over what a cyclone is fed at

    So few cyclones pass the flow only at a pressure (Plitt, 1976) above the limit of their class:
    the pump can't provide it, or the linings wear fast. Fit more or larger cyclones, or add less
    water. Slurry under pressure cuts: lock out the pump and drain before opening.
    """

    remedy = "fit more or larger cyclones, or add less water"


class W0542(Fault):
    """a classifier cuts at another size than stated

    The balance takes the cut size that is stated. Under its flow the machine cuts at another one:
    so the gradings of its products are not those of the balance. State the size at which it cuts,
    or change its size, its number or its water until it cuts at the stated one.
    """

    remedy = "state the cut at which it works, or change its size, number or water"


class W0543(Fault):
    """too little water for wet screening

    A screen washes its rock with 5 US gal/min of water for each short ton an hour of its feed
    (1.25 m3/h for each t/h: screen makers' association). With less, fines stay on the oversize, and
    the area method's factor for wet screening is taken in proportion to the water. A deck that no
    spray reaches, from its own bars or from those of a deck above, is taken as dry. The water of a
    slurry counts as spray: of what a sump, a pump or a classifier's overflow feeds.
    """

    remedy = "spray more water on the upper decks, or set the screen to work dry"


class W0544(Fault):
    """a pump's head is less than its cyclone takes

    The pressure drop of the cyclone that a pump feeds is part of the pump's head, beside the height
    and the friction of the pipes. With less head the flow does not arrive, and the cyclone cuts
    coarser.
    """

    remedy = "state a larger head, with height and pipes, or fit more cyclones"


class W0545(Fault):
    """spiral too fast for fine sand

    A fast spiral stirs up fine sand, which then leaves with the overflow. With 15 % finer than
    0.3 mm its rim may move at 1 m/s, with 20 % at 0.75, with 30 % at 0.5, with 50 % at 0.25 m/s
    (common practice, no source). A slower spiral rakes less: choose a larger one.
    """

    remedy = "run the spiral more slowly, and choose a larger one if it then rakes too little"


class W0550(Fault):
    """lumps too large for a feeder or an outlet

    Lumps of more than about 60 % of the width of an apron or pan, a third of a belt feeder's, or a
    third of the narrower side of an opening (common practice, no source) wedge and arch: nothing
    flows until they let go. Choose a wider feeder or opening, or scalp or break the lumps upstream.
    Freeing an arch kills people: nobody enters below or on top of it. Lock out, work from outside,
    by the site's procedure.
    """

    remedy = "choose a wider feeder or opening, or scalp or break the lumps upstream"


class W0551(Fault):
    """lumps too large for the media of a deck

    Pieces of more than about eight openings (common practice, no source; a class may state its
    `max_lump_factor`) dent and break woven wire, and bounce before they are screened. A relief deck
    with larger openings above it, bars or a punched plate take them. Lock out and block the box
    before changing media.
    """

    remedy = "put a relief deck with larger openings above it, or choose bars or a punched plate"


class W0552(Fault):
    """a crusher that breaks next to nothing

    The rock is finer than the chamber's setting and falls through: its F80 is less than 1.05 times
    its P80 (common practice, no source). The machine only wears and draws idle power. Close the
    setting, feed it coarser rock, or leave it out.
    """

    remedy = "close the setting, feed it coarser rock, or leave it out"


class W0525(Fault):
    """a pace over a machine's capacity

    At its `pace`, `hoggin simulate` runs a section faster than the balance, and feeds one of its
    machines more than it can pass. The machine would back up or trip. Lock out before clearing a
    blocked machine, and follow the maker's and the site's procedure.

    Wrong: feeder tunnel_feeder: feeders.belt(width: 1400 mm) { operation { pace 150 % } }
    Right: feeder tunnel_feeder: feeders.belt(width: 1400 mm) { operation { pace 110 % } }
    """


class W0526(Fault):
    """loaded while the plant is stopped

    The feed's hours of loading and the plant's shifts have no hour in common, so nothing is ever
    fed.

    For a feed, if the shifts of the plant are `day: 6 h to 14 h`:

    Wrong: operation { loading { evening: 15 h to 18 h } }
    Right: operation { loading { day: 6 h to 13 h } }
    """

    never_loaded = Message[str](
        "feed `{feed}` is loaded only while the plant is stopped: nothing is fed",
        "change `loading` or `shifts` so that they overlap",
    )
