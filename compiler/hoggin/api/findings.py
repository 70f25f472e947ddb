"""Diagnostics for a reader in Python, and the exception that carries them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.render import render_all
from hoggin.errors import Exit, HogginError


class Findings(tuple[Diagnostic, ...]):
    """Errors and warnings by file and place. As text, and in a notebook, each shows its source line
    with the place underlined."""

    __slots__ = ()

    @property
    def errors(self) -> Findings:
        """Those that have to be mended before a balance."""
        return Findings(one for one in self if one.is_error)

    @property
    def warnings(self) -> Findings:
        """Those that a balance can do with."""
        return Findings(one for one in self if not one.is_error)

    def __str__(self) -> str:
        return render_all(self) or "no errors, no warnings\n"

    def _repr_html_(self) -> str:
        return preformatted(str(self))


class PlantError(HogginError):
    """A plant has errors or can't be balanced. `diagnostics` say why, each with its `code`,
    `message`, `help` and `span` (source, line, column)."""

    diagnostics: Findings

    def __init__(self, message: str, code: Exit, diagnostics: Iterable[Diagnostic]) -> None:
        super().__init__(message, code)
        self.diagnostics = Findings(diagnostics)

    def __str__(self) -> str:
        return f"{super().__str__()}\n\n{self.diagnostics}"


@contextmanager
def plant_errors() -> Iterator[None]:
    """What is raised with diagnostics while it lasts becomes a PlantError."""
    try:
        yield
    except HogginError as fault:
        if isinstance(fault, PlantError) or not fault.diagnostics:
            raise
        raise PlantError(str(fault), fault.exit_code, fault.diagnostics) from None


def preformatted(text: str) -> str:
    """Text as it stands, as HTML."""
    from html import escape  # a check on the command line does without

    return f"<pre>{escape(text)}</pre>"
