"""The site is built only where it is asked for: `pytest -m site`, which takes half a minute."""

from __future__ import annotations

import pytest


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if "site" not in config.getoption("markexpr"):
        for item in items:
            if item.get_closest_marker("site"):
                item.add_marker(pytest.mark.skip(reason="the site is built with `-m site`"))
