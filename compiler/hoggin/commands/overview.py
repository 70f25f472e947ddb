"""`hoggin --help`: the commands by task, each with an example."""

from __future__ import annotations

from hoggin.commands.arguments import CommandParser

_NAME = 13  # columns
_OTHER = "docs/commands.md lists every command, including those for set-up and for other programs."


class CommandLine(CommandParser):
    """The parser of the whole command line."""

    def format_help(self) -> str:
        formatter = self._get_formatter()
        formatter.add_usage(None, [a for a in self._actions if a.nargs is not None], ())
        formatter.add_text(self.description)
        opening = formatter.format_help()
        return f"{opening}\n{self._tasks()}{self._closing()}"

    def _tasks(self) -> str:
        by_task: dict[str, list[str]] = {}
        for name, help, command in self.commands():
            if command.task:
                lines = by_task.setdefault(command.task, [])
                lines += [f"  {name:{_NAME}}{help}", f"  {'':{_NAME}}  {command.example}"]
        return "".join("\n".join([f"{task}:", *lines, "", ""]) for task, lines in by_task.items())

    def _closing(self) -> str:
        formatter = self._get_formatter()
        formatter.start_section("options")
        formatter.add_arguments([a for a in self._actions if a.option_strings])
        formatter.end_section()
        formatter.add_text(f"`{self.prog} COMMAND --help` shows the options of a command.")
        formatter.add_text(_OTHER)
        formatter.add_text(self.epilog)
        return formatter.format_help()
