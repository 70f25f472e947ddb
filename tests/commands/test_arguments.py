"""A wrong number behind an option is named, with what it should have been."""

from __future__ import annotations

import pytest

from hoggin.commands.main import main


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ("why a.hog b.hog chips.rate --samples many", "`many` is not a whole number of 4 or more"),
        ("why a.hog b.hog chips.rate --samples 3", "`3` is not a whole number of 4 or more"),
        ("regress plants --jobs 0", "`0` is not a whole number of 1 or more"),
        ("uncertainty a.hog --samples 9", "`9` is not a whole number of 20 or more"),
        ("uncertainty a.hog --samples 1000000000", "the number must be 10,000,000 or less"),
        ("regress plants --jobs " + "9" * 5000, "the number must be 1,000,000 or less"),
        ("design a.hog --seed -1", "`-1` is not a whole number of 0 or more"),
        ("simulate a.hog --seed 1.5", "`1.5` is not a whole number of 0 or more"),
    ],
)
def test_a_wrong_number_is_told_with_what_it_may_be(
    arguments: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as end:
        main(arguments.split())
    assert end.value.code == 2
    assert told in capsys.readouterr().err
