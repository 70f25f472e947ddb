"""Money: the plant's `currency`, and what liner metal costs."""

from __future__ import annotations

from hoggin.check.network import Network
from hoggin.check.plant_facts import plant_fact, plant_number
from hoggin.check.scope import Scope, Session
from hoggin.diagnostics.families.classes import E0401, E0402
from hoggin.diagnostics.families.rating import W0520
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.plant import Prices
from hoggin.schema.units import is_currency
from hoggin.syntax import tree

_PRICE = facts_of("crusher")["liner_price"].field


def currency(node: tree.PlantDefinition, session: Session) -> str:
    """What the plant's prices are in; "" where it does not say or after a reported fault. It is
    noted before any price is read."""
    fact = plant_fact(node, "currency")
    value = fact.value if fact is not None else None
    if isinstance(value, tree.Path) and is_currency(value.dotted):
        session.currency = value.dotted
        return value.dotted
    if fact is None:
        session.currency = ""
    else:
        session.report(E0401.currency(), fact.span)  # and no price is blamed for it
    return ""


def prices(node: tree.PlantDefinition, scope: Scope, session: Session) -> Prices:
    """What a plant's operation states of money and carbon."""
    return Prices(
        energy_money_kwh=plant_number(node, "energy_price", scope, session),
        labour_money_h=plant_number(node, "labour_cost", scope, session),
        carbon_g_kwh=plant_number(node, "grid_carbon", scope, session),
    )


def check_prices(node: tree.PlantDefinition, money: str, session: Session) -> None:
    """Report a currency that nothing is priced in."""
    fact = plant_fact(node, "currency")
    if fact is not None and money and not session.priced and not session.diagnostics.has_errors:
        session.report(W0520.nothing_priced(money), fact.span)


def require_price(network: Network, tag: str, asked: str, span: Span, session: Session) -> None:
    """Report it where a cost is asked of a crusher whose liners have no price."""
    machine = network.nodes[tag].machine
    if machine is not None and machine.models and _PRICE not in machine.facts:
        session.report(E0402.price_of_liners(asked, tag), span)
