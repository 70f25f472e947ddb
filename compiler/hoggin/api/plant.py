"""A plant: loaded, checked, balanced, studied. The command line goes the same way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from hoggin.api.findings import Findings, plant_errors
from hoggin.api.text_world import TextWorld
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.world import World, named

if TYPE_CHECKING:
    from hoggin.api.result import Result
    from hoggin.api.states import States
    from hoggin.api.study import Study
    from hoggin.schema.plant import Plant as PlantDocument
    from hoggin.studies.paired.columns import Cases
    from hoggin.studies.runner.values import Stated, Value


def load(path: str | Path) -> Plant:
    """A plant from its file. The text is read now, and checked when something is asked of it.

    Raises HogginError where the file can't be read.

    >>> load("examples/gravel.hog")
    <Plant: Fenwick Flat gravel, 120 t/h>
    """
    with named(path):
        world = World(Path(path))
        return Plant(world, world.open_main())


def loads(text: str, root: str | Path = ".", name: str = "plant.hog") -> Plant:
    """A plant from its text, as in a cell of a notebook.

    root: the folder that its `use` lines start from. name: what diagnostics call the text.

    >>> loads('plant "Hill" {').check().errors[-1].code
    'E0103'
    """
    with named(name):
        world = TextWorld(text, Path(root) / name)
        return Plant(world, world.open_main())


@dataclass(frozen=True, eq=False, repr=False)
class Plant:
    """A plant as its text states it. It does not change: a setting is changed for one `balance`, or
    for the cases of one `study`."""

    world: World
    source: Source

    def check(self) -> Findings:
        """All errors and warnings of the text and of what it uses; none are raised."""
        return Findings(self.checked.diagnostics)

    @property
    def diagnostics(self) -> Findings:
        """What `check` gives."""
        return self.check()

    @cached_property
    def checked(self) -> Checked:
        """What the checker gives: what the compiler's own commands work on."""
        return check(self.world, self.source)

    def in_case(self, case: str = "") -> Checked:
        """The same of a plant without errors, in one of its cases where one is named. Raises
        PlantError, and HogginError for a library and for a case that is not there."""
        with plant_errors():
            return self.checked.in_case(case)

    def document(self, case: str = "") -> PlantDocument:
        """The checked plant as data, as it is in `results.json`. Raises as `in_case` does."""
        plant = self.in_case(case).plant
        assert plant is not None, "it has no errors"
        return plant

    @property
    def title(self) -> str:
        """The plant's title. Raises PlantError, and HogginError for a library."""
        return self.document().title

    @property
    def cases(self) -> tuple[str, ...]:
        """The names of the cases that the file states, in order. Raises as `title` does."""
        return tuple(sorted(self.in_case().cases))

    def balance(
        self, settings: Mapping[str, Value] | None = None, /, *, case: str = "", **named: Value
    ) -> Result:
        """The plant balanced and rated, with settings changed.

        settings: by the names that a sweep takes: `secondary.css`, `pit_run.rate`, a deck as
        `sizing.top`; the name of a `let` may be a keyword. A value is text with its unit, a word as
        text, or a number in the unit that the plant's file states the setting in.
        case: one of the cases that the plant's file states; as it is written where none is named.
        What a case states of a setting, a changed setting replaces.

        Raises PlantError for errors in the plant or in a setting, and where the plant has no steady
        balance; HogginError for a setting or a case that is not there.

        >>> plant = load("examples/gravel.hog")
        >>> plant.balance({"cone.css": "14 mm", "pit_run.rate": 110}).feed_t_h
        110.0
        """
        from hoggin.api.result import Result
        from hoggin.balancing import balanced
        from hoggin.studies.runner.opening import opened_with
        from hoggin.studies.runner.values import sources
        from hoggin.syntax import given

        stated = self._stated
        texts = {n: stated.text(n, v) for n, v in {**(settings or {}), **named}.items()}
        with plant_errors():
            changes = tuple(given.setting(name, text) for name, text in texts.items())
            if changes:
                self._require_case(case)
                checked = opened_with(self.world, changes, case=case).checked
                changed = {one.name: one for one in sources(texts)}
                checked = replace(checked, sources={**checked.sources, **changed})
            else:
                checked = self.in_case(case)
            document = balanced(checked)
        return Result(document, Findings(checked.diagnostics), self.world, changes, case)

    def balance_all(self, settings: Mapping[str, Value] | None = None, /, **named: Value) -> States:
        """The plant balanced as it is written and in each of its cases. Arguments and errors are
        those of `balance`.

        >>> load("examples/seasons.hog").balance_all().names
        ('as written', 'campaign', 'second_pit', 'second_pit_wet', 'wet')
        """
        from hoggin.api.result import Result
        from hoggin.api.states import States
        from hoggin.balancing import balanced_in_all

        cases = ("", *self.cases)
        if settings or named:
            return States(tuple(self.balance(settings, case=case, **named) for case in cases))
        with plant_errors():
            found = balanced_in_all(self.in_case())
        warned = Findings(self.checked.diagnostics)
        return States(
            tuple(
                Result(one, warned, self.world, (), case)
                for case, one in zip(cases, found, strict=True)
            )
        )

    def study(
        self, cases: Cases, read: Sequence[str] = (), *, case: str = "", processes: int = 1
    ) -> Study:
        """Many cases, one row each: the settings of a row are changed together.

        cases: a pandas or polars frame, a mapping of columns, a sequence of mappings, or the path
        of a CSV or XLSX file. A column is headed by a setting's name as `balance` takes it, with
        its unit in brackets where the values are numbers of another unit than the plant's file
        states: `cone.css (in)`. Columns headed `name` and `note` set nothing; `case` is the plant's
        case of each row.
        read: results by their names in a `require` line; the rates of the products where none are
        named. case: as in `balance`. processes: how many share the work.

        A row that the plant or its classes do not allow, or that has no steady balance, has a
        reason and no numbers. Raises HogginError for settings, results and values that can't be
        read, PlantError for errors in the plant.

        >>> plant = load("examples/gravel.hog")
        >>> study = plant.study({"pit_run.rate": [100, 110]}, read=["cone.load"])
        >>> len(study["cone.load"])
        2
        """
        from hoggin.api.study import Study
        from hoggin.studies.paired.paired import PairedQuestion, prepared, studied
        from hoggin.studies.runner.progress import Progress
        from hoggin.studies.runner.spread import Here

        if isinstance(read, str):
            raise HogginError(f"`read` is a list of results: write read=[{read!r}]")
        with plant_errors():
            question = PairedQuestion(self.world, self.checked, tuple(read), case)
            study = prepared(question, cases)
            progress = Progress.unseen(study.rows)
            return Study(studied(question, study, Here(processes), progress))

    def __repr__(self) -> str:
        plant = self.checked.plant
        return f"<Plant: {plant.title if plant else self.source.name}>"

    def _repr_html_(self) -> str:
        from html import escape

        return f"<b>{escape(repr(self)[1:-1])}</b>{self.check()._repr_html_()}"

    def _require_case(self, case: str) -> None:
        """Raises HogginError for a case that the plant's file does not state."""
        if case:
            self.in_case(case)

    @cached_property
    def _stated(self) -> Stated:
        from hoggin.studies.runner.values import Stated

        return Stated.of(self.source)
