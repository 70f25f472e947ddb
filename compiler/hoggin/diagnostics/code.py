"""One diagnostic's code, title and page."""

from __future__ import annotations

from dataclasses import dataclass

_WIDTH = 92


@dataclass(frozen=True, slots=True)
class Code:
    code: str
    title: str
    why: str
    wrong: str = ""
    right: str = ""

    def page(self) -> str:
        """The page as plain text, also good as Markdown."""
        import textwrap  # not needed to check a plant

        lines = [f"{self.code}: {self.title}", "", *textwrap.wrap(self.why, _WIDTH)]
        if self.wrong:
            lines += ["", "Wrong:", "", *(f"    {line}" for line in self.wrong.splitlines())]
        if self.right:
            lines += ["", "Right:", "", *(f"    {line}" for line in self.right.splitlines())]
        return "\n".join(lines) + "\n"
