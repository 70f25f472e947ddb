"""The reference pages in `docs/`, generated from the declarations so that they can't drift."""

from __future__ import annotations

import argparse
import re
from textwrap import dedent

from hoggin.check.tables import TABLE_SAMPLES
from hoggin.commands.reference_commands import commands_page
from hoggin.commands.reference_language import language_page
from hoggin.commands.reference_library import library_page
from hoggin.commands.running import write_files
from hoggin.diagnostics.codes import CODES
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.samples import messages
from hoggin.errors import Exit
from hoggin.models import catalog

_NOTE = "<!-- Made by `hoggin reference docs`; change the declarations, not this page. -->\n"


def reference(options: argparse.Namespace) -> int:
    write_files(pages(), options.folder)
    return Exit.DONE


def pages() -> dict[str, str]:
    """Every page by its file name."""
    return {
        "classes.md": library_page(_NOTE),
        "commands.md": commands_page(_NOTE),
        "diagnostics.md": _diagnostics(),
        "models.md": _models(),
        "reference.md": language_page(_NOTE),
    }


def _diagnostics() -> str:
    parts = [
        f"{_NOTE}# Diagnostics\n",
        "E: an error, nothing is written. W: a warning. Words in capitals are placeholders.\n",
    ]
    parts.extend(f"## {_fenced(code.page())}{_messages(code)}" for code in CODES.values())
    return "\n".join(parts)


def _fenced(page: str) -> str:
    """A page with its examples as blocks of the language, so that they get its colours."""

    def fence(example: re.Match[str]) -> str:
        return f"```hog\n{dedent(example[0])}```\n"

    return re.sub(r"^    .*\n(?:    .*\n|\n(?=    ))*", fence, page, flags=re.MULTILINE)


def _messages(code: type[Fault]) -> str:
    """A list of a code's messages, each with its help."""
    found = [
        f"- {fault.message}; help: {fault.help}" if fault.help else f"- {fault.message}"
        for fault in messages(code)
    ]
    if code.remedy:
        found.append(f"- help: {code.remedy}")
    return "\n".join(["", "Messages:", "", *found, ""]) if found else ""


def _models() -> str:
    parts = [
        f"{_NOTE}# Process models\n",
        "What a machine class can name, and the coefficients it gives. Values marked "
        '"from memory" were not looked up. Every result is a prediction for design, not a '
        "guarantee.\n",
    ]
    for role in catalog.roles():
        for name in catalog.names(role):
            model = catalog.find(role, name)
            if model is not None:
                parts.append(_model(model))
    return "\n".join(parts)


def _model(model: catalog.Model) -> str:
    lines = [
        f"## {model.role}: {model.name}\n",
        f"{_sentence(model.meaning)} {_of_kinds(model)}Source: {model.source}.\n",
        "| coefficient | unit | range | default | meaning |",
        "|---|---|---|---|---|",
    ]
    for c in model.coefficients:
        span = f"{c.low:g} to {c.high:g}"
        default = "must be given" if c.default is None else f"{c.default:g}"
        lines.append(f"| `{c.name}` | {c.unit or '-'} | {span} | {default} | {c.meaning} |")
    if model.table:
        lines.append(f"\nIt also takes a table by setting, `{TABLE_SAMPLES[model.table]}`.")
    return "\n".join(lines) + "\n"


def _of_kinds(model: catalog.Model) -> str:
    kinds = " or ".join(model.kinds)
    return f"Of a {kinds}. " if kinds else ""


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."
