"""Suggestions: what is near is found, and the work stays in proportion to the faults."""

from __future__ import annotations

import difflib
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.diagnostics.nearest import MOST_COMPARED, nearest
from tests.check.reading import check_text

_MANY = frozenset(f"crusher_{number:04d}" for number in range(3000)) | {"sizing", "oversize"}
_NAMES = st.text(alphabet="abcdefgh_", min_size=4, max_size=12)


@pytest.fixture
def compared(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Counts the names that are compared with another, in the library that compares them."""
    count = [0]
    of = difflib.SequenceMatcher.set_seq1

    def counted(self: difflib.SequenceMatcher[str], name: str) -> None:
        count[0] += 1
        of(self, name)

    monkeypatch.setattr(difflib.SequenceMatcher, "set_seq1", counted)
    return count


@pytest.mark.parametrize(
    ("wrong", "meant"),
    [
        ("sizng", "sizing"),
        ("sizinng", "sizing"),
        ("siznig", "sizing"),
        ("Sizing", "sizing"),
        ("oversized", "oversize"),
        ("over_sizes", "oversize"),
        ("crusher_00017", "crusher_0017"),
    ],
)
def test_a_slip_is_found_among_thousands(wrong: str, meant: str) -> None:
    assert nearest(wrong, _MANY) == meant


def test_what_is_far_is_not_suggested() -> None:
    assert nearest("qqqqqq", _MANY) is None


@pytest.mark.slow
@given(st.sets(_NAMES, min_size=2, max_size=30), st.randoms(use_true_random=False))
def test_a_letter_left_out_finds_a_name_as_near_as_the_one_meant(
    names: set[str], random: Random
) -> None:
    meant = random.choice(sorted(names))
    place = random.randrange(len(meant))
    wrong = meant[:place] + meant[place + 1 :]
    many = frozenset(names) | {f"ZZZ{number:05d}" for number in range(500)}
    found = nearest(wrong, many)

    def alike(name: str) -> float:  # of the standard library, by Ratcliff and Obershelp
        return difflib.SequenceMatcher(None, name, wrong).ratio()

    if alike(meant) >= 0.6:
        assert found is not None
        assert alike(found) >= alike(meant) or found.lower() == wrong.lower()


@pytest.mark.slow
def test_three_thousand_unknown_names_beside_near_ones_are_little_work(
    compared: list[int],
) -> None:
    lets = "\n".join(f"let size_{number:04d} = {number} mm" for number in range(3000))
    uses = "\n".join(f"let used_{number:04d} = sizes_{number:04d}x" for number in range(3000))
    found = check_text(f"{lets}\n{uses}\n").diagnostics
    unknown = [one for one in found if one.code == "E0201"]
    assert len(unknown) == 3000
    assert compared[0] <= (MOST_COMPARED + 1) * len(unknown)
    assert all(one.help.startswith("did you mean `size") for one in unknown[:10])
