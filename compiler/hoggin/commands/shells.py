"""The scripts of `hoggin completion`: each makes a shell ask `hoggin` at the Tab key.

A script runs `hoggin` again with `_ARGCOMPLETE` set, so it never goes stale.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Shell(NamedTuple):
    """How a shell loads its script: the line, and how to have it in every new shell."""

    line: str
    every: str


SHELLS: Mapping[str, Shell] = {
    "bash": Shell('eval "$(hoggin completion bash)"', "add that line to ~/.bashrc"),
    "zsh": Shell('eval "$(hoggin completion zsh)"', "add that line to ~/.zshrc"),
    "fish": Shell(
        "hoggin completion fish | source",
        "hoggin completion fish > ~/.config/fish/completions/hoggin.fish",
    ),
    "powershell": Shell(
        "hoggin completion powershell | Out-String | Invoke-Expression",
        "add that line to the file that $PROFILE names",
    ),
}

# zsh has no `compdef` before `compinit`, which a bare set-up does not call.
_ZSH_STARTS_COMPLETION = (
    "(( $+functions[compdef] )) || { autoload -Uz compinit && compinit -i -D }\n"
)

# The part of the line up to the cursor is passed on, with its blanks. Backslashes of paths would
# be read as escapes. The answer is read from a file, since PowerShell can't read other streams.
_POWERSHELL = r"""
Register-ArgumentCompleter -Native -CommandName @('hoggin', 'hoggin.exe') -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $length = $cursorPosition - $commandAst.Extent.StartOffset
    $line = "$commandAst".PadRight($length).Substring(0, $length).Replace('\', '/')
    $quote = if ($line.Split('"').Count % 2) { '' } else { '"' }
    $answer = New-TemporaryFile
    $asked = @{
        _ARGCOMPLETE = '1'
        _ARGCOMPLETE_IFS = "`n"
        _ARGCOMPLETE_SHELL = 'powershell'
        _ARGCOMPLETE_SUPPRESS_SPACE = '1'
        _ARGCOMPLETE_STDOUT_FILENAME = $answer.FullName
        COMP_LINE = $line
        COMP_POINT = [string][Text.Encoding]::UTF8.GetByteCount($line)
        PYTHONUTF8 = '1'
    }
    $before = @{}
    foreach ($name in $asked.Keys) {
        $before[$name] = [Environment]::GetEnvironmentVariable($name)
        [Environment]::SetEnvironmentVariable($name, $asked[$name])
    }
    try {
        hoggin 2>&1 | Out-Null
        Get-Content -Encoding UTF8 $answer | ForEach-Object {
            $word = "$quote$_$quote"
            [System.Management.Automation.CompletionResult]::new($word, $_, 'ParameterValue', $_)
        }
    } finally {
        foreach ($name in $asked.Keys) {
            [Environment]::SetEnvironmentVariable($name, $before[$name])
        }
        Remove-Item $answer
    }
}
"""


def script(shell: str) -> str:
    """What the shell reads at its start, after how to have it read."""
    how = SHELLS[shell]
    head = [
        f"# Completes hoggin's commands, options and names at the Tab key of {shell}.",
        f"# in this shell:      {how.line}",
        f"# in every new shell: {how.every}",
    ]
    return "\n".join([*head, _code(shell).strip(), ""])


def _code(shell: str) -> str:
    if shell == "powershell":
        return _POWERSHELL
    from argcomplete.shell_integration import shellcode

    code = str(shellcode(["hoggin"], shell=shell))
    return f"{_ZSH_STARTS_COMPLETION}{code}" if shell == "zsh" else code
