"""No command says that all is well downstream of a machine that can't take its feed."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.errors import Exit
from tests.check.reading import small_plant

pytestmark = pytest.mark.slow

LINES = (
    "  crusher cone: cones.high_speed(head: 900 mm) { duty tertiary; chamber medium; css 18 mm }\n"
    "  rock -> cone -> product fine\n"
)


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:
    """A plant whose cone takes its feed, and the same with four times the feed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 140)
    for name, rate in (("fits", "100 t/h"), ("over", "400 t/h")):
        text = small_plant(
            LINES,
            'band wide { about "Wide"; source "this test"\n'
            "            passing { 200 mm: 100 %, 4 mm: 0 % to 100 % } }",
        )
        fine = text.replace("passing { 200 mm: 100 %, 50", "passing { 80 mm: 100 %, 50")
        assert fine != text
        Path(f"{name}.hog").write_text(fine.replace("200 t/h", rate))
    return "fits.hog", "over.hog"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (["balance", "FILE"], "OVER LIMIT"),
        (["issue", "FILE"], ""),
        (["simulate", "FILE", "--for", "8 h"], "VOID: OVERLOADED at the balance's rates: cone"),
        (["mix", "FILE", "wide"], "NOT JUDGED, downstream of cone"),
        (["regress", "FILE"], "every machine takes its feed: overloaded: cone"),
    ],
)
def test_an_overloaded_plant_without_requirements_is_not_clear(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str], line: list[str], said: str
) -> None:
    fits, over = files
    if line[0] != "regress":  # which wants a record first
        assert main([part.replace("FILE", fits) for part in line]) == Exit.DONE
    capsys.readouterr()
    assert main([part.replace("FILE", over) for part in line]) == Exit.UNMET
    assert said in capsys.readouterr().out


def test_why_says_on_which_side_its_result_is_void(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["why", *files, "fine.rate"]) == Exit.DONE
    out = " ".join(capsys.readouterr().out.split())
    assert "before" not in out.split("VOID")[0].split("after:")[-1].lower()
    assert "after: 400 t/h (over.hog), VOID: downstream of cone, overloaded." in out
    assert "(fits.hog);" in out
    main(["why", *files, "rock.rate"])
    assert "VOID" not in capsys.readouterr().out
