"""Every plug-in that is installed, and what is wrong with it, for `hoggin plugins`."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.errors import PluginError
from hoggin.plugins import backends, checks, models
from hoggin.plugins.offers import Offer, all_offers, clash, offers


def tried() -> Iterator[tuple[Offer, PluginError | None]]:
    """Each offer, and why it can't be used if it can't. All of them are imported."""
    for offer in all_offers():
        try:
            fault = clash(offers(offer.group)[offer.name])
            if fault is None:
                _check(offer)
        except PluginError as found:
            fault = found
        yield offer, fault


def _check(offer: Offer) -> None:
    match offer.group:
        case "models":
            models.checked(offer)
        case "libraries":
            offer.folder()
        case "backends":
            backends.checked(offer)
        case "checks":
            checks.checked(offer)
