"""The checks that a plant asks for of other packages: `checks { headroom }`."""

from __future__ import annotations

from hoggin.check.plant_facts import plant_fact
from hoggin.check.scope import Session, once
from hoggin.diagnostics.families.plugins import E0210, E0211
from hoggin.diagnostics.source import Span
from hoggin.errors import PluginError
from hoggin.syntax import tree


def plugin_checks(node: tree.PlantDefinition, session: Session) -> tuple[str, ...]:
    """Their names, in order of name: the order in which they are listed makes no difference."""
    fact = plant_fact(node, "checks")
    if fact is None:
        return ()
    if not fact.entries:
        return session.report(E0210.not_names(), fact.span) or ()
    from hoggin.plugins.checks import known  # few plants ask for any

    names: list[str] = []
    first: dict[str, Span] = {}
    for entry in fact.entries:
        key = entry.key
        if entry.value is not None or not isinstance(key, tree.Path) or len(key.parts) > 1:
            session.report(E0210.not_names(), entry.span)
            continue
        once(first, key.parts[0], session)
        if key.dotted in names:
            continue
        try:
            if not known(key.dotted):
                session.report(E0210.unknown(key.dotted), entry.span)
        except PluginError as fault:
            session.report(E0211.broken(str(fault)), entry.span)
        names.append(key.dotted)
    return tuple(sorted(names))
