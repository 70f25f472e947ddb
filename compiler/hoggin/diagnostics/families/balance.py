"""E08: the balance."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class E0801(Fault):
    """a loop can't settle

    In steady state what enters a loop leaves it, rock and water. Here some sizes never do: the
    screen returns them and the crusher never breaks them below the aperture. Or more water enters
    than leaves. The message names the loop, the
    sizes and the reason.

    Wrong: css 60 mm   # in closed circuit with a 10 mm deck
    Right: css 14 mm   # product well below the deck's aperture
    """

    # Sizes in mm that never leave the loop.
    sizes = Message[str, str, float, float](
        "the loop of {machines} can't settle: {reason} (sizes {finest:.3g} mm to {coarsest:.3g} "
        "mm)",
        "close the crusher's setting, open the screen's aperture, or route these sizes out",
    )
    load = Message[str, str](
        "the loop of {machines} can't settle: {reason}",
        "give the screens more area, close the crushers' settings, or feed less",
    )
    setting = Message[str, str](
        "the loop of {machines} can't settle: {reason}",
        "close the crusher's setting or open the deck first; more screen area or less feed helps "
        "only then",
    )
    asked = Message[str, str](
        "the loop of {machines} can't settle: {reason}",
        "increase the tonnages, feed less, or route the rest out of the loop",
    )
    water = Message[str, str](
        "the loop of {machines} can't settle: {reason}",
        "route water out of the loop, or add less; a thickener's overflow may leave the plant, for "
        "its `water_reused` counts what the sprays take from it",
    )


class E0802(Fault):
    """a process model refuses its arguments

    The machine's numbers are each within their range, but the model can't be computed with all
    of them together. The message names the machine, the model and the reason.
    """

    # `reason` names the model and what it refuses.
    model = Message[str, str](
        "`{machine}`: {reason}", "change the machine's settings, or the coefficients of its class"
    )
