"""Money: the plant's `currency` and what liner metal costs. Money has no unit; prices are numbers
per mass, and the currency is the word they are shown with."""

from __future__ import annotations

from hoggin.check.evaluate import evaluate
from hoggin.check.network import Network
from hoggin.check.plant_facts import plant_fact
from hoggin.check.scope import Scope, Session
from hoggin.check.values import String, Unknown
from hoggin.diagnostics.families.classes import E0401, E0402, E0418
from hoggin.diagnostics.families.rating import W0520
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.syntax import tree

_LONGEST = 12  # letters of a currency, to fit a table's heading
_PRICE = facts_of("crusher")["liner_price"].field


def currency(node: tree.PlantDefinition, scope: Scope, session: Session) -> str:
    """What the plant's prices are in; empty where it does not say or after a reported fault."""
    fact = plant_fact(node, "currency")
    if fact is None:
        return ""
    value = evaluate(fact.value, scope, session) if fact.value is not None else None
    if isinstance(value, String) and 0 < len(value.text.strip()) <= _LONGEST:
        return value.text.strip()
    if not isinstance(value, Unknown):
        session.report(E0401.currency(_LONGEST), fact.span)
    return ""


def check_prices(
    node: tree.PlantDefinition, network: Network, money: str, session: Session
) -> None:
    """Report prices without a currency, and a currency without prices."""
    fact = plant_fact(node, "currency")
    priced = [n for n in network.nodes.values() if n.machine and _PRICE in n.machine.facts]
    if fact is None:
        for priced_node in priced:
            session.report(E0418.missing(priced_node.tag), priced_node.span)
    elif any(isinstance(line, tree.Aim) for line in node.body):
        pass  # an aim may hold prices of its own
    elif money and not priced and not session.diagnostics.has_errors:
        session.report(W0520.nothing_priced(money), fact.span)


def require_price(network: Network, tag: str, asked: str, span: Span, session: Session) -> None:
    """Report it where a cost is asked of a crusher whose liners have no price."""
    machine = network.nodes[tag].machine
    if machine is not None and machine.models and _PRICE not in machine.facts:
        session.report(E0402.price_of_liners(asked, tag), span)
