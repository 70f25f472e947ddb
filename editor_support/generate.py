"""Write the files that hold the language's words: `python -m editor_support.generate`."""

from __future__ import annotations

import json
from pathlib import Path

from editor_support.textmate import textmate_grammar
from editor_support.vim import vim_syntax

HERE = Path(__file__).parent


def generated() -> dict[Path, str]:
    """Each generated file and what is to stand in it."""
    grammar = json.dumps(textmate_grammar(), indent=2, ensure_ascii=False) + "\n"
    return {
        HERE / "vscode/syntaxes/hoggin.tmLanguage.json": grammar,
        HERE / "vim/syntax/hoggin.vim": vim_syntax(),
    }


if __name__ == "__main__":
    for path, text in generated().items():
        path.write_text(text, encoding="utf-8")
        print(path.relative_to(HERE))
