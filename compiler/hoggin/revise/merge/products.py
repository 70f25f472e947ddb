"""The word `product` in routes: it declares one, once."""

from __future__ import annotations

from hoggin.revise.merge.facts import Facts
from hoggin.revise.merge.page import Edit, Page, edited
from hoggin.revise.why.lines import Path
from hoggin.syntax import tree


def declared_once(page: Page, wanted: dict[Path, str], sides: tuple[Facts, Facts]) -> str:
    """The text with `product` before the first route to each product that some route declared, and
    before no other."""
    of_routes = {
        path
        for path in wanted
        if any(path in side and side[path].of_route for side in sides) and path not in page.items
    }
    edits = []
    seen: set[Path] = set()
    for block, body in page.bodies.items():
        routes = (item.node for item in body if isinstance(item.node, tree.Route))
        for end in (end for route in routes for end in route.endpoints[1:]):
            path = (*block, f"declared {end.path.dotted}")
            span = end.path.span
            if end.new_product and path in seen:
                edits.append(Edit(end.span.start, span.start, ""))
            elif not end.new_product and path in of_routes and path not in seen:
                edits.append(Edit(span.start, span.start, "product "))
            if end.new_product or path in of_routes:
                seen.add(path)
    return edited(page.text, edits)
