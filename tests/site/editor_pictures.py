"""The pictures of docs/editor.md: the language server at work in Neovim, whose terminal is drawn.

To take them anew, with Neovim (0.7 or later) and the extra `pictures`:
`python -m tests.site.editor_pictures`.
"""

from __future__ import annotations

import fcntl
import itertools
import os
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Iterator
from html import escape
from pathlib import Path

import pyte

from tests.site.staging import ROOT

PICTURES = ROOT / "docs" / "pictures" / "editor"
_PLANT = ROOT / "examples" / "quarry.hog"
_SETTING = "css     40 mm"  # of the crusher that both pictures are of
_WIDTH, _HEIGHT = 104, 24  # of the terminal
_CELL, _LINE, _SIZE = 7.8, 17, 13  # px: a letter's width, a line's height, the font
_START_S, _ANSWER_S = 8.0, 3.0  # for the server's first answer, and for one to a key
_INK, _PAPER = "222222", "ffffff"
_INIT = """
set runtimepath^={support} termguicolors background=light
set number signcolumn=yes noruler noshowmode laststatus=0 nowrap scrolloff=8
set guicursor= shortmess+=Fc completeopt=menuone
filetype plugin on
syntax on
highlight LineNr guifg=#888888
highlight SignColumn guibg=#ffffff
highlight Comment guifg=#666666
highlight String guifg=#1d6330
highlight Number guifg=#8a3b00
highlight Special guifg=#8a3b00
highlight Type guifg=#7a1f6b
highlight Statement guifg=#7a1f6b
highlight Identifier guifg=#0a4f8a
highlight Operator guifg=#222222
highlight Pmenu guibg=#e8e8f0 guifg=#222222
highlight PmenuSel guibg=#2f5d9b guifg=#ffffff
highlight NormalFloat guibg=#f3eee2 guifg=#222222
highlight DiagnosticError guifg=#b3261e
lua << END
vim.diagnostic.config({{ virtual_text = false }})
vim.api.nvim_create_autocmd("FileType", {{ pattern = "hoggin", callback = function()
  local server = {{ "{python}", "-m", "hoggin", "language-server" }}
  local id = vim.lsp.start_client({{ name = "hoggin", cmd = server, root_dir = vim.fn.getcwd() }})
  vim.lsp.buf_attach_client(0, id)
  vim.bo.omnifunc = "v:lua.vim.lsp.omnifunc"
end }})
END
"""
_COMPLETE = "\x18\x0f"  # Ctrl-X Ctrl-O


def main() -> None:
    text = _PLANT.read_text(encoding="utf-8")
    place = text[: text.index(_SETTING)].count("\n") + 1
    explained = f":{place}\r:lua vim.diagnostic.open_float()\r:\x1b"
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name, setting, keys in (
        ("error", "css     400 mm", explained),
        ("completion", "css     40 mm", f":{place - 1}\ro    {_COMPLETE}"),
    ):
        screen = _typed(text.replace(_SETTING, setting), keys)
        (PICTURES / f"{name}.svg").write_text(_drawn(screen), encoding="utf-8")


def _typed(text: str, keys: str) -> pyte.Screen:
    """What the editor shows of a text after some keys."""
    screen = pyte.Screen(_WIDTH, _HEIGHT)
    stream = pyte.ByteStream(screen)
    with tempfile.TemporaryDirectory() as folder:
        support, python = ROOT / "editor_support" / "vim", sys.executable
        Path(folder, "init.vim").write_text(_INIT.format(support=support, python=python))
        Path(folder, "quarry.hog").write_text(text, encoding="utf-8")
        process, terminal = pty.fork()
        if process == 0:
            os.chdir(folder)
            os.environ |= {"TERM": "xterm-256color", "HOME": folder, "XDG_CACHE_HOME": folder}
            os.execvp("nvim", ["nvim", "-u", "init.vim", "-i", "NONE", "-n", "quarry.hog"])
        size = struct.pack("HHHH", _HEIGHT, _WIDTH, 0, 0)
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, size)
        try:
            _read(terminal, stream, _START_S)
            for key in keys:
                os.write(terminal, key.encode())
                _read(terminal, stream, _ANSWER_S if key in "\r\x0f" else 0.1)
        finally:
            os.kill(process, signal.SIGKILL)
            os.waitpid(process, 0)
            os.close(terminal)
    return screen


def _read(terminal: int, stream: pyte.ByteStream, seconds: float) -> None:
    end = time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        if select.select([terminal], [], [], left)[0]:
            stream.feed(os.read(terminal, 1 << 16))


def _drawn(screen: pyte.Screen) -> str:
    """The screen as SVG, its last line, for commands, left out."""
    rows = range(_HEIGHT - 1)
    width, height = round(_WIDTH * _CELL), (_HEIGHT - 1) * _LINE
    parts = (part for row in rows for part in _row(screen, row))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" font-size="{_SIZE}" '
        'font-family="Liberation Mono, DejaVu Sans Mono, Consolas, Menlo, monospace">\n'
        f'<rect width="{width}" height="{height}" fill="#{_PAPER}"/>\n{"".join(parts)}</svg>\n'
    )


def _row(screen: pyte.Screen, row: int) -> Iterator[str]:
    """The grounds and words of a line, a piece for each colour."""
    cells = [screen.buffer[row][column] for column in range(_WIDTH)]
    x = 0
    for (ink, paper, bold), group in itertools.groupby(cells, key=_look):
        words = "".join(cell.data for cell in group)
        at, across = f"{x * _CELL:.1f}", f"{len(words) * _CELL:.1f}"
        if paper != _PAPER:
            yield f'<rect x="{at}" y="{row * _LINE}" width="{across}" height="{_LINE}" '
            yield f'fill="#{paper}"/>\n'
        if words.strip():
            weight = ' font-weight="bold"' if bold else ""
            yield f'<text x="{at}" y="{(row + 0.76) * _LINE:.1f}" textLength="{across}" '
            yield f'xml:space="preserve" fill="#{ink}"{weight}>{escape(words)}</text>\n'
        x += len(words)


def _look(cell: pyte.screens.Char) -> tuple[str, str, bool]:
    ink = _INK if cell.fg == "default" else cell.fg
    paper = _PAPER if cell.bg == "default" else cell.bg
    return (paper, ink, cell.bold) if cell.reverse else (ink, paper, cell.bold)


if __name__ == "__main__":
    main()
