"""A plant: loaded, checked, balanced, studied."""

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
from hoggin.errors import HogginError, SourceError
from hoggin.world import World, named

if TYPE_CHECKING:
    from hoggin.api.cases import Cases
    from hoggin.api.result import Result
    from hoggin.api.study import Study
    from hoggin.api.values import Stated, Value
    from hoggin.schema.plant import Plant as PlantDocument


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

    _world: World
    source: Source

    def check(self) -> Findings:
        """All errors and warnings of the text and of what it uses; none are raised."""
        return Findings(self._checked.diagnostics)

    @property
    def diagnostics(self) -> Findings:
        """What `check` gives."""
        return self.check()

    @property
    def title(self) -> str:
        """The plant's title. Raises PlantError, and HogginError for a library."""
        return self._without_errors.title

    def balance(self, settings: Mapping[str, Value] | None = None, /, **named: Value) -> Result:
        """The plant balanced and rated, with settings changed.

        settings: by the names that `hoggin sweep --over` takes: `secondary.css`, `pit_run.rate`, a
        deck as `sizing.top`; the name of a `let` may be a keyword. A value is text with its unit, a
        word as text, or a number in the unit that the plant's file states the setting in.

        Raises PlantError for errors in the plant or in a setting, and where the plant has no steady
        balance; HogginError for a setting that is not there.

        >>> plant = load("examples/gravel.hog")
        >>> plant.balance({"cone.css": "14 mm", "pit_run.rate": 110}).feed_t_h
        110.0
        """
        from hoggin.api import values
        from hoggin.api.result import Result
        from hoggin.balancing import balanced
        from hoggin.studies.runner.opening import opened_in

        stated = self._stated
        texts = {n: stated.text(n, v) for n, v in {**(settings or {}), **named}.items()}
        with plant_errors():
            changes = [values.setting(name, text) for name, text in texts.items()]
            checked = opened_in(self._world, changes).checked
            changed = {one.name: one for one in values.sources(texts)}
            document = balanced(replace(checked, sources={**checked.sources, **changed}))
        return Result(document, Findings(checked.diagnostics), self._world, tuple(changes))

    def study(self, cases: Cases, read: Sequence[str] = (), *, processes: int = 1) -> Study:
        """Many cases, one row each: the settings of a row are changed together.

        cases: a pandas or polars frame, a mapping of columns, a sequence of mappings, or the path
        of a CSV file. A column is headed by a setting's name as `balance` takes it, with its unit
        in brackets where the values are numbers of another unit than the plant's file states:
        `cone.css (in)`.
        read: results by their names in a `require` line; the rates of the products where none are
        named. processes: how many share the work.

        A case that the plant or its classes do not allow, or that has no steady balance, is a row
        with a reason and no numbers. Raises HogginError for a setting, result or value that can't
        be read, PlantError for errors in the plant.

        >>> plant = load("examples/gravel.hog")
        >>> study = plant.study({"pit_run.rate": [100, 110]}, read=["cone.load"])
        >>> len(study["cone.load"])
        2
        """
        from hoggin.api.study import studied

        with plant_errors():
            self._without_errors  # noqa: B018 - its errors are the plant's own, not a case's
            return studied(self._world, self._stated, cases, read, processes)

    def __repr__(self) -> str:
        plant = self._checked.plant
        return f"<Plant: {plant.title if plant else self.source.name}>"

    def _repr_html_(self) -> str:
        from html import escape

        return f"<b>{escape(repr(self)[1:-1])}</b>{self.check()._repr_html_()}"

    @cached_property
    def _checked(self) -> Checked:
        return check(self._world, self.source)

    @property
    def _without_errors(self) -> PlantDocument:
        with plant_errors():
            if self._checked.has_errors:
                raise SourceError(self._checked.diagnostics)
            if self._checked.plant is None:
                raise HogginError(f"`{self.source.name}` is a library: it holds no plant")
        return self._checked.plant

    @cached_property
    def _stated(self) -> Stated:
        from hoggin.api.values import Stated

        return Stated.of(self.source)
