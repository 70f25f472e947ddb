"""No number that a plant can state gives a traceback, or a result that no plant can have."""

from __future__ import annotations

import random

import pytest

from tests.bounds.sites import Site, sites
from tests.bounds.sweep import pairs, singles, tried

pytestmark = pytest.mark.slow

_SITES = list(sites())
_SINGLES, _PAIRS, _SEED = 8, 3, 20


@pytest.mark.parametrize("site", _SITES, ids=[site.name for site in _SITES])
def test_a_number_is_refused_or_gives_a_plant_that_can_be(site: Site) -> None:
    """A sample; `python -m tests.bounds PAIRS SEED` tries all."""
    base = tried(site.with_({}))
    assert not base.refused and not base.fault, base
    random_ = random.Random(_SEED)
    cases = list(singles(site))
    some = random_.sample(cases, min(len(cases), _SINGLES))
    some += [(values, False) for values in pairs(site, _PAIRS, random_)]
    for values, outside in some:
        found = tried(site.with_(values))
        assert not found.fault, (values, found.fault)
        assert found.refused or not outside, f"{values} is out of range, but not refused"
