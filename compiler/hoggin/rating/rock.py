"""The rock of what runs into a crusher or product, where the plant has several feeds; and what is
said of figures that are not the deposit's own."""

from __future__ import annotations

from hoggin.balance.result import Array
from hoggin.rating.rated import Rated
from hoggin.rating.view import View
from hoggin.schema.plant import Plant
from hoggin.schema.results import RockResult, RockShare


def rock_of(rated: Rated, tag: str) -> RockView | None:
    """None in a plant of one feed, where all rock is that of the feed."""
    return RockView(rated, tag) if len(rated.plant.feeds) > 1 else None


class RockView(View):
    document = RockResult

    def __init__(self, rated: Rated, tag: str) -> None:
        mixture = rated.mixture(tag)
        shares = zip(rated.plant.feeds, rated.feed_shares(tag).T, strict=True)
        self.shares = tuple(ShareView(feed.tag, share) for feed, share in shares)
        self.solid_density_t_m3 = mixture.solid_density_t_m3
        self.bulk_density_t_m3 = mixture.bulk_density_t_m3
        self.work_index_kwh_t = mixture.work_index_kwh_t
        self.abrasion_index = rated.abrasion_index(tag)


class ShareView(View):
    document = RockShare

    def __init__(self, feed: str, share: Array) -> None:
        self.feed, self.share = feed, share


def assumptions(plant: Plant) -> tuple[str, ...]:
    """What is assumed of the rock: how blends are counted, and which figures are typical alone."""
    found = []
    if len(plant.feeds) > 1:
        found.append(
            "A blend of feeds has the mean work index, abrasion index and clay of its feeds by "
            "mass, their densities by volume, and the moisture of the water balance."
        )
    if any(feed.clay or plant.materials[feed.material].clay for feed in plant.feeds):
        found.append(
            "Clay follows the rock of its feed, even through washing: after washing it is an upper "
            "limit."
        )
    typical = [
        f"{name} ({', '.join(fact.replace('_', ' ') for fact in rock.typical)})"
        for name, rock in sorted(plant.materials.items())
        if rock.typical
    ]
    if typical:
        found.append(
            f"Rock properties from the library are typical, not those of the deposit: "
            f"{'; '.join(typical)}. Rocks of the same name differ widely: measure samples of the "
            "deposit before you buy anything."
        )
    return tuple(found)
