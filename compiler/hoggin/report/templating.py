"""The templates of a package's folder, read so that every text put into one is escaped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


def render(
    template: str,
    filters: dict[str, Callable[..., Any]],
    *,
    package: str,
    **facts: object,
) -> str:
    """Fill a template; a name it uses that is not given is an error, not an empty text."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader(package),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update(filters)
    return environment.get_template(template).render(**facts)
