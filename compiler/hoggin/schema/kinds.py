"""Each kind of machine, declared once: what it is, its outlets, the models its class names, and
what it does to the rock.

The grammar's word, the checker, the balance, the rating, the editor, the tables and the reference
page read these declarations. A kind that breaks no rock and parts none hands it on as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of machine.

    outlets: () where its decks or shares give them. needs: roles of the models that its class must
    name before its machines can be balanced and rated. may: roles of those it can name besides.
    classed: whether its machines are made from a class, though that names no model. stores: holds
    rock over time. passes: hands rock on as it is, at any grading. drains: parts water too, of
    which its first outlet keeps no more than the class says. slurry: works on rock in water, which
    raises no dust. point: where streams meet or part, with no fall of its own. loaded_by: the
    outlet whose rock its capacity is of; its feed where empty. beside: stands over or beside a
    belt, so that rock does not fall into it. relief: what helps where more arrives than it can
    take.
    """

    name: str
    meaning: str
    outlets: tuple[str, ...] = ("product",)
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    classed: bool = False
    stores: bool = False
    passes: bool = False
    drains: bool = False
    slurry: bool = False
    point: bool = False
    loaded_by: str = ""
    beside: bool = False
    relief: str = ""

    @property
    def has_class(self) -> bool:
        """Whether its machines are made from a class."""
        return self.classed or bool(self.needs)

    @property
    def models(self) -> tuple[str, ...]:
        """Roles of all models that its class can name."""
        return (*self.needs, *self.may)

    @property
    def breaks(self) -> bool:
        """Whether it breaks rock."""
        return "breakage" in self.needs

    @property
    def separates(self) -> bool:
        """Whether it parts rock by size."""
        return "partition" in self.needs

    @property
    def decked(self) -> bool:
        """Whether it parts rock on decks, which give it its outlets."""
        return self.separates and not self.outlets

    @property
    def carries(self) -> bool:
        """Whether it neither breaks rock nor parts it by size."""
        return not (self.breaks or self.separates)


_LARGER = "feed less, or choose a larger machine or one more with `count`"
_FASTER_LAYER = "raise its speed or the depth of its layer, feed less, or choose a wider one"
_THINNER_LAYER = (
    "spread the rock in a thinner layer, feed less, or choose one for a thicker or wider layer"
)

DECK_ORDER = {"top": 0, "second": 1, "third": 2, "bottom": 3}  # decks by name, from the top down

KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            "crusher",
            "a crusher of a class",
            needs=("breakage", "capacity", "power"),
            # Not every class has a law of wear; the two measures of shape are needed only where a
            # plant asks for them.
            may=("wear", "flakiness", "flat_elongated"),
            relief=f"open the setting, {_LARGER}",
        ),
        Kind(
            "screen",
            "a screen of a class, with its decks",
            outlets=(),
            needs=("partition",),
            # No area where the association's method does not apply: bars, for instance.
            may=("area", "drive"),
        ),
        Kind(
            "feeder",
            "a feeder of a class",
            needs=("capacity",),
            may=("drive",),
            relief=_FASTER_LAYER,
        ),
        Kind(
            "grizzly_feeder",
            "a feeder of a class with scalping bars as its deck",
            outlets=(),
            needs=("partition", "capacity"),
            may=("drive",),
            relief=_FASTER_LAYER,
        ),
        Kind(
            "classifier",
            "a wet classifier, with the outlets `coarse` and `fine`",
            outlets=("coarse", "fine"),
            needs=("partition",),
            # What it rakes, its drive, and what it cuts at under its flow: not known of all.
            may=("capacity", "cut", "drive"),
            drains=True,
            slurry=True,
            loaded_by="coarse",
            relief=f"discharge faster, {_LARGER}",
        ),
        Kind(
            "thickener",
            "a thickener of a class, with the outlets `underflow` and `overflow`",
            outlets=("underflow", "overflow"),
            needs=("partition", "capacity"),
            may=("drive",),
            drains=True,
            slurry=True,
            relief=f"raise the settling speed with flocculant, by a settling test, {_LARGER}",
        ),
        Kind("sump", "collects slurry for a pump", passes=True, slurry=True),
        Kind("pump", "a slurry pump of a class", needs=("pump_power",), passes=True, slurry=True),
        Kind(
            "splitter",
            "divides a stream by shares or tonnages",
            outlets=(),
            passes=True,
            point=True,
        ),
        Kind("blend", "a point where streams meet", passes=True, point=True),
        Kind("bin", "storage in a bin", stores=True),
        Kind("stockpile", "storage on the ground", stores=True),
        Kind(
            "conveyor",
            "a belt conveyor of a class",
            needs=("capacity", "belt_power"),
            passes=True,
            relief="run the belt faster, feed less, or choose a wider belt",
        ),
        Kind(
            "magnet",
            "a magnet of a class, which removes tramp iron",
            needs=("capacity",),
            may=("drive",),
            passes=True,
            beside=True,
            relief=_THINNER_LAYER,
        ),
        Kind(
            "metal_detector",
            "a metal detector of a class, which stops the belt",
            needs=("capacity",),
            passes=True,
            beside=True,
            relief=_THINNER_LAYER,
        ),
        Kind(
            "instrument",
            "a belt scale or sampler of a class, without effect on results",
            classed=True,
            passes=True,
            beside=True,
        ),
    )
}
CLASS_KINDS = tuple(kind.name for kind in KINDS.values() if kind.has_class)
DRAW, OVERFLOW = "draw", "overflow"  # outlets of a store that is drawn at a rate
STORES = tuple(kind.name for kind in KINDS.values() if kind.stores)


def kinds_with(*roles: str) -> tuple[str, ...]:
    """Kinds whose classes must name a model of one of these roles."""
    return tuple(kind.name for kind in KINDS.values() if set(roles) & set(kind.needs))


DRIVES = ("power", "belt_power", "pump_power", "drive")  # roles that give the power drawn
DRIVEN = tuple(kind.name for kind in KINDS.values() if set(DRIVES) & set(kind.models))


def models_of(kind: str) -> tuple[str, ...]:
    """Roles that a class of a kind can name; none for a kind without classes."""
    return KINDS[kind].models if kind in KINDS else ()
