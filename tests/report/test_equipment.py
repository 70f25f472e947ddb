"""The equipment schedule: what an engineer must be able to find in it."""

from __future__ import annotations

from hoggin.report import equipment, text
from hoggin.schema.results import Results
from tests.report.shown import schedule_text


def section(shown: str, heading: str) -> str:
    return shown.split(f"\n{heading}\n")[1].split("\n\n")[0]


def test_every_limit_beyond_is_listed_before_any_that_is_only_near(large: Results) -> None:
    verdicts = [str(row[2]) for row in equipment.limits(large, only_attention=True).rows]
    beyond = [c for m in large.machines for c in m.checks if c.verdict == "over"]
    beyond += [c for m in large.machines for d in m.decks for c in d.checks if c.verdict == "over"]
    assert verdicts.count("OVER LIMIT") == len(beyond)
    assert verdicts == sorted(verdicts)  # "OVER LIMIT" comes before "WATCH" in the alphabet too
    assert "WATCH" in verdicts


def test_a_machine_answers_for_its_decks(quarry: Results) -> None:
    verdict = {row[0]: row[1] for row in equipment.machines(quarry).rows}
    assert verdict["finishing"] == "OVER LIMIT"  # its bottom deck's bed is too deep
    assert verdict["sizing"] == "ok"
    assert verdict["blend"] == "-"


def test_a_plant_within_its_limits_says_none(small: Results) -> None:
    calm = small.model_copy(update={
        "machines": tuple(m.model_copy(update={"checks": (), "decks": ()})
                          for m in small.machines)
    })  # fmt: skip
    assert section(schedule_text(calm), "LIMITS NEAR OR EXCEEDED") == "None."


def test_the_duty_has_its_own_column_and_other_settings_theirs(quarry: Results) -> None:
    table = equipment.machines(quarry)
    headings = [column.heading for column in table.columns]
    row = next(row for row in table.rows if row[0] == "secondary")
    assert row[headings.index("duty")] == "secondary"
    assert row[headings.index("settings")] == "chamber coarse, css 32 mm, speed 1050 rpm"


def test_cautions_of_the_plant_and_of_each_machine_are_printed(quarry: Results) -> None:
    for shown in (schedule_text(quarry, 160), text.markdown(equipment.document(quarry))):
        assert "Guard every nip point" in shown
        assert "primary, secondary, tertiary, shaper: Lock out and block" in shown
        assert "Local codes and licensed practice govern" in shown
        assert "predictions for design, not guarantees" in shown


def test_warnings_come_with_what_helps_and_where(quarry: Results) -> None:
    line = section(schedule_text(quarry, 160), "WARNINGS").splitlines()[-1]
    assert "W0503" in line and "open the setting or add a machine" in line
    assert "plant.hog:20" in line


def test_a_source_is_named_once(quarry: Results) -> None:
    assert equipment.sources(quarry.machines) == ("Bond (1952)",)


def test_the_whole_schedule_lists_limits_that_are_fine_too(quarry: Results) -> None:
    whole = text.markdown(equipment.document(quarry))
    assert "load 64 % of 520 t/h capacity" in whole
    assert "load 64 % of 520 t/h capacity" not in schedule_text(quarry)
