"""Long studies: in batches, kept as they go, the same after an interruption."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from tests.check.reading import check_text, plant_of, small_plant

from hoggin.errors import HogginError
from hoggin.schema.plant import Reading
from hoggin.studies.runner.keeping import NAME, study_file
from hoggin.studies.runner.progress import Progress, time_left
from hoggin.studies.runner.running import BATCH_BYTES, batch_cases, batches, run
from hoggin.studies.runner.spread import Batch, Finished, Here, Part, Work

CASES, EACH = 23, 5
QUESTION = {"plant": "abc", "samples": 23}


def work() -> Work:
    checked = check_text(
        small_plant(
            "  splitter s { out cut cut; out rest rest }\n  rock -> s\n"
            "  s.cut -> product a\n  s.rest -> product b\n  require a.rate >= 50 t/h",
            "let cut = uniform(0 % to 90 %)",
        )
    )
    assert checked.plant is not None
    readings = (Reading(subject="a", quantity="rate"), Reading(subject="a", quantity="p80"))
    return Work(checked.plant, checked.freedom, readings, checked.plant.requirements)


def shares() -> np.ndarray:
    return np.linspace(0.0, 0.9, CASES)


def wanted() -> list[Batch]:
    return batches({"cut": shares()}, CASES, EACH)


def quiet() -> Progress:
    return Progress(CASES, io.StringIO(), terminal=False)


@dataclass
class Interrupted:
    """Works as told, and is interrupted after so many batches, the last one first."""

    after: int
    done: int = 0
    has_ended: bool = False

    def parts(self, work: Work, batches: Sequence[Batch]) -> Finished:
        try:
            for number in reversed(range(len(batches))):
                if self.done == self.after:
                    raise KeyboardInterrupt
                self.done += 1
                yield number, work.done(batches[number])
        finally:
            self.has_ended = True


def same(found: Part, expected: Part) -> bool:
    return (
        found.values.tobytes() == expected.values.tobytes()
        and found.margins.tobytes() == expected.margins.tobytes()
        and np.array_equal(found.settled, expected.settled)
        and dict(found.refused) == dict(expected.refused)
    )


def test_batches_hold_every_case_once_and_in_order() -> None:
    made = wanted()
    assert [len(batch["cut"]) for batch in made] == [5, 5, 5, 5, 3]
    assert np.array_equal(np.concatenate([batch["cut"] for batch in made]), shares())
    part = run(work(), made, Here(1), quiet())
    assert part.values[0] == pytest.approx(200 * shares())  # 200 t/h, by hand
    assert part.margins[0] == pytest.approx(200 * shares() - 50)
    assert np.isnan(part.values[1, 0]), "nothing has no P80"


@pytest.mark.parametrize("after", [0, 1, 3, 4])
def test_an_interrupted_study_goes_on_to_the_same_bytes(tmp_path: Path, after: int) -> None:
    whole = run(work(), wanted(), Here(1), quiet())
    kept = study_file(tmp_path, QUESTION, resume=False)
    with pytest.raises(KeyboardInterrupt):
        run(work(), wanted(), Interrupted(after), quiet(), kept)
    kept.close()
    again = study_file(tmp_path, QUESTION, resume=True)
    assert sorted(again.parts) == [str(n) for n in range(5 - after, 5)]
    spread = Interrupted(after=99)
    found = run(work(), wanted(), spread, quiet(), again)
    assert spread.done == 5 - after, "what was kept is not worked out again"
    assert same(found, whole)
    again.close(done=True)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("torn", [b"x", b"", b'0123456789abcdef {"batch":3,"val'])
def test_a_line_that_was_being_written_is_left_out(tmp_path: Path, torn: bytes) -> None:
    kept = study_file(tmp_path, QUESTION, resume=False)
    with pytest.raises(KeyboardInterrupt):
        run(work(), wanted(), Interrupted(3), quiet(), kept)
    kept.close()
    path = tmp_path / NAME
    path.write_bytes(path.read_bytes()[:-7] + torn)
    again = study_file(tmp_path, QUESTION, resume=True)
    assert sorted(again.parts) == ["3", "4"]
    found = run(work(), wanted(), Here(1), quiet(), again)
    again.close()
    assert same(found, run(work(), wanted(), Here(1), quiet()))
    once_more = study_file(tmp_path, QUESTION, resume=True)
    assert sorted(once_more.parts) == [*"01234"]
    once_more.close()


def test_the_work_has_ended_when_an_interruption_while_a_batch_is_kept_is_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its processes have the study file open too, and would lock it against the next reader."""

    def interrupted(_handle: int) -> None:
        raise KeyboardInterrupt

    kept = study_file(tmp_path, QUESTION, resume=False)
    monkeypatch.setattr("hoggin.studies.runner.keeping.os.fsync", interrupted)
    spread = Interrupted(after=99)
    with pytest.raises(KeyboardInterrupt):
        run(work(), wanted(), spread, quiet(), kept)
    assert spread.done == 1 and spread.has_ended
    kept.close()


def test_a_file_that_keeps_nothing_is_not_left_behind(tmp_path: Path) -> None:
    kept = study_file(tmp_path, QUESTION, resume=False)
    with pytest.raises(KeyboardInterrupt):
        run(work(), wanted(), Interrupted(0), quiet(), kept)
    kept.close()
    assert list(tmp_path.iterdir()) == []


def test_another_plant_or_question_is_not_gone_on_with(tmp_path: Path) -> None:
    kept = study_file(tmp_path, QUESTION, resume=False)
    kept.keep("0", work().done(wanted()[0]))
    kept.close()
    for other in ({**QUESTION, "plant": "abd"}, {**QUESTION, "samples": 24}):
        with pytest.raises(HogginError, match="belongs to another study"):
            study_file(tmp_path, other, resume=True)
    with pytest.raises(HogginError, match="`--resume` continues it"):
        study_file(tmp_path, QUESTION, resume=False)
    assert sorted(study_file(tmp_path, QUESTION, resume=True).parts) == ["0"]


def test_a_folder_that_can_not_be_written_is_a_plain_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(HogginError, match="is not available"):
        study_file(tmp_path / "file" / "deeper", QUESTION, resume=False)


@pytest.mark.slow
def test_a_batch_is_bounded_by_its_streams_and_sizes() -> None:
    small = plant_of(small_plant("rock -> product all"))
    assert batch_cases(small) == 500
    big = plant_of(
        small_plant(
            "".join(
                f"  splitter s{i} {{ out a 50 %; out b rest }}\n"
                f"  s{i}.a -> product p{i}\n  s{i}.b -> {f's{i + 1}' if i < 299 else 'product q'}\n"
                for i in range(300)
            )
            + "  rock -> s0\n"
        )
    )
    streams = len(big.streams)
    assert streams == 601
    assert batch_cases(big) < 500
    assert batch_cases(big) * streams * 8 < BATCH_BYTES


def test_progress_tells_the_time_left_to_a_terminal_and_nothing_to_a_file() -> None:
    now = iter([0.0, 100.0, 132.0, 160.0])
    shown = io.StringIO()
    with Progress(1000, shown, terminal=True, clock=lambda: next(now)) as progress:
        progress.start(400)  # known from before: they say nothing of the pace
        progress.step(100)
        progress.step(100)
    drawn = shown.getvalue().split("\r\x1b[K")
    assert "400 of 1,000 cases" in drawn[1] and "left" not in drawn[1]
    assert drawn[2].endswith("500 of 1,000 cases, 3 min left"), "500 at 100 in 32 s: 160 s"
    assert drawn[3].endswith("600 of 1,000 cases, 2 min left")
    assert drawn[-1] == ""
    silent = io.StringIO()
    with Progress(1000, silent, terminal=False) as progress:
        progress.start(0)
        progress.step(1000)
    assert silent.getvalue() == ""


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(0.2, "1 s"), (7, "7 s"), (42, "40 s"), (59, "1 min"), (170, "3 min"), (7800, "2 h 10 min")],
)
def test_time_left_in_words(seconds: float, said: str) -> None:
    assert time_left(seconds) == said
