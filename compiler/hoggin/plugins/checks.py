"""Checks of plug-in packages: found by the name that a plant asks for, run on its results."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from hoggin.errors import PluginError
from hoggin.plugins.api import Check, Finding
from hoggin.plugins.offers import Offer, find

if TYPE_CHECKING:
    from hoggin.schema.plant import Place, Plant
    from hoggin.schema.results import Results, Warning


def known(name: str) -> bool:
    """Whether a package offers a check of that name. Raises PluginError for one that can't be
    used."""
    offer = find("checks", name)
    if offer is not None:
        checked(offer)
    return offer is not None


def checked(offer: Offer) -> Check:
    """The offered check. Raises PluginError."""
    found = offer.load()
    if not isinstance(found, Check):
        raise offer.fault(f"is a {type(found).__name__}, not a `hoggin.plugins.Check`")
    offer.check_call(found.run, "plant", "results")
    return found


def explained(code: str) -> str | None:
    """What a code of a check means, as `headroom.low`: how to mend it, and whose check it is. None
    for a code of no installed check. Raises PluginError."""
    name, _, kind = code.partition(".")
    offer = find("checks", name)
    kinds = {} if offer is None else checked(offer).kinds
    if offer is None or kind not in kinds:
        return None
    whose = f"{offer.what} of {offer.package} {offer.version}"
    return f"{code}: found by the {whose}\n\n{kinds[kind]}\n"


def with_checks(results: Results) -> Results:
    """The results with what the plant's checks found among their warnings. Raises PluginError."""
    plant = results.plant
    if plant is None or not plant.checks:
        return results
    found = [warning for name in plant.checks for warning in _run(name, plant, results)]
    return results.model_copy(update={"warnings": (*results.warnings, *found)})


def _run(name: str, plant: Plant, results: Results) -> Iterator[Warning]:
    from hoggin.schema.results import Warning

    offer = find("checks", name)
    if offer is None:  # a plant that was checked where the package was installed
        raise PluginError(f"no installed package has the check `{name}`")
    check, places = checked(offer), _places(plant)
    with offer.running("failed"):
        findings = tuple(check.run(plant, results))
    for one in findings:
        if not isinstance(one, Finding):
            raise offer.fault(f"gave a {type(one).__name__}, not a `hoggin.plugins.Finding`")
        if one.kind not in check.kinds:
            raise offer.fault(f"found `{one.kind}`, which is not one of its kinds")
        if one.subject not in places:
            raise offer.fault(f"found something at `{one.subject}`, which the plant does not have")
        place = places[one.subject]
        text = one.text if one.subject == "plant" else f"`{one.subject}`: {one.text}"
        with offer.running("gave a finding that is not words"):
            yield Warning(
                code=f"{name}.{one.kind}",
                subject=one.subject,
                text=text,
                help=check.kinds[one.kind],
                **place.model_dump(),
            )


def _places(plant: Plant) -> dict[str, Place]:
    places = {"plant": plant.place}
    places |= {feed.tag: feed.place for feed in plant.feeds}
    places |= {machine.tag: machine.place for machine in plant.machines}
    return places | {product.tag: product.place for product in plant.products}
