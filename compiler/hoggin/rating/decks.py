"""Screen decks in all cases: what they carry, how they separate, and the area they need."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.wetting import Wetting, wetting
from hoggin.models import damp, grading, screens
from hoggin.models.arrays import Array, over
from hoggin.models.partition import karra_area_m2
from hoggin.rating.flow import Flow
from hoggin.rating.rated import Rated
from hoggin.rating.view import View
from hoggin.schema.plant import Deck, Machine
from hoggin.schema.results import DeckResult

_DEFAULT_TRAVEL_M_S = 0.4  # common practice, no source


class DeckView(View):
    """One deck of a screen, the `number`th from the top, or that of each of `count` equal screens:
    rates and areas are of all of them, the depth of bed of each. Numbers are (B,) or (1,)."""

    document = DeckResult

    def __init__(self, rated: Rated, machine: Machine, deck: Deck, number: int) -> None:
        self.rated, self.machine, self.deck, self.number = rated, machine, deck, number
        self.name, self.shape, self.slot_ratio = deck.name, deck.shape, deck.slot_ratio
        path = ("machines", machine.tag, "decks", deck.name, "aperture_mm")
        self.aperture_mm = rated.numbers.of(path, deck.aperture_mm)
        # The square aperture that separates alike.
        self.square_mm = self.aperture_mm * screens.SQUARE_EQUIVALENT[deck.shape]
        self.screen = rated.machine(machine.tag)
        by_sides = self.screen.stated("width_mm") * self.screen.stated("length_mm") / 1e6
        stated = self.screen.fact("area_m2")
        self.count = self.screen.count
        each = by_sides if stated is None else stated  # NaN where the class states none
        self._area = each * self.count
        self.area_m2 = np.nan_to_num(self._area)

    @cached_property
    def feed(self) -> Flow:
        return self.rated.deck(self.machine.tag, self.name)

    @cached_property
    def over(self) -> Flow:
        return self.rated.deck_oversize(self.machine.tag, self.name)

    @property
    def _mass_on_each_t_h(self) -> Array:
        return self.feed.mass_t_h / self.count[:, None]

    @property
    def density_t_m3(self) -> Array:
        return self.rated.mixture(self.machine.tag).bulk_density_t_m3

    @property
    def feed_t_h(self) -> Array:
        return self.feed.rate_t_h

    @property
    def oversize_t_h(self) -> Array:
        return self.over.rate_t_h

    @property
    def undersize_t_h(self) -> Array:
        return self.feed_t_h - self.oversize_t_h

    @property
    def cut_size_mm(self) -> Array:
        return self.rated.balance.cut_sizes_mm[self.machine.tag, self.name]

    @property
    def moisture(self) -> Array:
        """Surface water over dry solids on the deck, as its separation reads it."""
        return self.rated.balance.deck_moistures[self.machine.tag, self.name]

    @property
    def clay(self) -> Array:
        return self.rated.balance.deck_clays[self.machine.tag, self.name]

    @cached_property
    def _wetting(self) -> Wetting:
        return wetting(self.rated.plant, self.machine, self.rated.numbers)

    @property
    def washed(self) -> NDArray[np.bool_]:
        return self._wetting.washed[:, self.number - 1]

    @property
    def blinding(self) -> Array:
        """The largest share of its openings that damp fines close."""
        stated = self.rated.numbers.coefficients(self.machine, "partition")
        return stated.get("blinding", np.array([damp.BLINDING]))

    @cached_property
    def blinded_share(self) -> Array:
        return damp.blinded_share(
            self.square_mm, moisture=self.moisture, clay=self.clay, blinding=self.blinding
        )

    @property
    def undersize_efficiency(self) -> Array:
        fed = self.feed_t_h * self.feed.passing(self.square_mm)
        lost = self.oversize_t_h * self.over.passing(self.square_mm)
        return 1 - over(lost, fed)

    @cached_property
    def near_size(self) -> Array:
        near = grading.near_size(self.feed.edges_mm, self.feed.mass_t_h, self.square_mm)
        return np.where(self.feed.empty, np.nan, near)

    @property
    def _open_area(self) -> dict[str, Array]:
        """Nothing where it is that usual for the aperture, which the models know."""
        stated = self.deck.open_area
        return {} if stated is None else {"open_area": np.array([stated])}

    @property
    def reached(self) -> NDArray[np.bool_]:
        """Whether spray reaches it, or the water of a slurry."""
        return self._wetting.reached[:, self.number - 1]

    @property
    def flooded(self) -> bool:
        return self._wetting.flooded

    @property
    def _washed(self) -> dict[str, Array]:
        """The area's wet factor in proportion to the water; nothing where it is not used."""
        rinse = self.screen.rinse
        if rinse is None:
            return {}
        wet = self.rated.numbers.coefficients(self.machine, "area")["wet"]
        return {"wet": wet * np.where(self.reached, np.minimum(rinse.water_share, 1.0), 0.0)}

    @cached_property
    def area_by_tables_m2(self) -> Array:
        each = self.rated.computed(
            self.machine,
            "area",
            self.feed.edges_mm,
            self._mass_on_each_t_h,
            part="needed_area",
            aperture_mm=self.aperture_mm,
            deck_number=np.array([self.number]),
            bulk_density_t_m3=self.density_t_m3,
            shape_factor=np.array([screens.opening_factor(self.shape, self.slot_ratio)]),
            **self._open_area,
            **self._washed,
        )
        return each * self.count / (1 - self.blinded_share)

    @cached_property
    def area_by_partition_m2(self) -> Array:
        """None where the cut does not depend on the area, or the class wants no efficiency."""
        use, wanted = self.machine.models.get("partition"), self.screen.fact("min_efficiency")
        if use is None or use.model != "karra" or wanted is None:
            return self.none
        coefficients = self.rated.numbers.coefficients(self.machine, "partition")
        if "wet" in coefficients:  # as in the balance
            coefficients["wet"] = np.where(self.reached, coefficients["wet"], 0.0)
        each = karra_area_m2(
            self.feed.edges_mm,
            self._mass_on_each_t_h,
            efficiency=wanted,
            aperture_mm=self.square_mm,
            deck_number=self.number,
            bulk_density_t_m3=self.density_t_m3,
            moisture=self.moisture,
            clay=self.clay,
            **self._open_area,
            **coefficients,
        )
        return each * self.count

    @property
    def area_needed_m2(self) -> Array:
        """The larger of the two; None where neither is known."""
        return np.fmax(self.area_by_tables_m2, self.area_by_partition_m2)

    @property
    def area_use(self) -> Array:
        return over(self.area_needed_m2, self._area)

    @cached_property
    def bed_depth_mm(self) -> Array:
        return screens.bed_depth_mm(
            self.oversize_t_h / self.count,
            bulk_density_t_m3=self.density_t_m3,
            width_m=self.screen.stated("width_mm") / 1000,
            travel_speed_m_s=self.screen.stated("travel_speed_m_s", _DEFAULT_TRAVEL_M_S),
        )
