"""What each editor is set up to do: start the language server, indent, comment."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import tomllib
import zipfile
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from editor_support.words import pattern_of

from hoggin.commands.main import main
from hoggin.editor.protocol import OPEN_FLOWSHEET, SHOW_DETAILS
from tests.editor_support.engines import ROOT, SUPPORT, VIM, VSCODE

_MANIFEST: dict[str, Any] = json.loads((VSCODE / "package.json").read_text())
_LANGUAGE: dict[str, Any] = json.loads((VSCODE / "language-configuration.json").read_text())
_VSIX = VSCODE / "dist/hoggin.vsix"


@pytest.mark.parametrize(
    "arguments", [["language-server", "--help"], ["format", "--help"]], ids=lambda a: a[0]
)
def test_the_command_the_editors_start_exists(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 0


def test_every_editor_starts_the_same_command() -> None:
    helix = tomllib.loads((SUPPORT / "helix/languages.toml").read_text())
    server = helix["language-server"]["hoggin"]
    assert [server["command"], *server["args"]] == ["hoggin", "language-server"]
    lua = (VIM / "lsp/hoggin.lua").read_text()
    assert 'cmd = { "hoggin", "language-server" }' in lua
    default = _MANIFEST["contributes"]["configuration"]["properties"]["hoggin.command"]["default"]
    assert default == "hoggin"
    assert 'args: ["language-server"]' in (VSCODE / "src/server.ts").read_text()


def test_every_editor_takes_the_same_ending_and_comment_sign() -> None:
    sign = pattern_of("COMMENT")[0]
    [helix] = tomllib.loads((SUPPORT / "helix/languages.toml").read_text())["language"]
    [vscode] = _MANIFEST["contributes"]["languages"]
    assert helix["file-types"] == ["hog"]
    assert vscode["extensions"] == [".hog"]
    assert "*.hog" in (VIM / "ftdetect/hoggin.vim").read_text()
    assert helix["comment-token"] == _LANGUAGE["comments"]["lineComment"] == sign
    assert f"commentstring={sign}" in (VIM / "ftplugin/hoggin.vim").read_text()


def test_enter_after_a_word_that_is_whole_begins_a_new_line() -> None:
    """VS Code's own default takes the proposal of the same word instead, and the line goes on: seen
    in the editor itself, with `2.7 t/m3` and the next fact on one line."""
    own = _MANIFEST["contributes"]["configurationDefaults"]["[hoggin]"]
    assert own["editor.acceptSuggestionOnEnter"] == "smart"


def test_a_plant_not_saved_yet_has_the_server_too() -> None:
    assert '"untitled"' in (VSCODE / "src/extension.ts").read_text()


def test_a_folder_not_trusted_cannot_choose_the_command() -> None:
    """Or opening a stranger's folder would run a program of theirs."""
    trust = _MANIFEST["capabilities"]["untrustedWorkspaces"]
    assert trust["supported"] == "limited"
    assert trust["restrictedConfigurations"] == ["hoggin.command"]


def _pictures_and_page() -> list[str]:
    """What the editor shows: the icons, and the page of the preview."""
    icons = _MANIFEST["contributes"]["languages"][0]["icon"].values()
    return [_MANIFEST["icon"], *icons, "media/preview.css", "media/preview.js"]


def test_the_commands_in_menus_are_declared_and_carried_out() -> None:
    given = _MANIFEST["contributes"]
    declared = {one["command"] for one in given["commands"]}
    assert {one["command"] for menu in given["menus"].values() for one in menu} <= declared
    source = (VSCODE / "src/extension.ts").read_text()
    assert all(f'registerCommand("{command}"' in source for command in declared)


def test_the_commands_of_the_server_have_their_place_in_the_editor() -> None:
    source = (VSCODE / "src/extension.ts").read_text()
    assert all(f'case "{command}":' in source for command in (OPEN_FLOWSHEET, SHOW_DETAILS))


def test_the_file_icons_are_drawings_of_their_own() -> None:
    """Light on dark and dark on light, without anything from elsewhere."""
    light, dark = (
        (VSCODE / name).read_text()
        for name in _MANIFEST["contributes"]["languages"][0]["icon"].values()
    )
    assert light != dark
    for drawing in (light, dark):
        assert ElementTree.fromstring(drawing).tag.endswith("svg")
        assert re.findall('https?://[^"]*', drawing) == ["http://www.w3.org/2000/svg"]


def test_a_hint_of_several_steps_is_not_cut_off() -> None:
    """VS Code cuts the hints of a line after 43 letters, from its documentation, from memory."""
    own = _MANIFEST["contributes"]["configurationDefaults"]["[hoggin]"]
    assert own["editor.inlayHints.maximumLength"] == 0


def test_every_file_the_manifest_names_is_there() -> None:
    given = _MANIFEST["contributes"]
    named = [
        *(one["configuration"] for one in given["languages"]),
        *(one["path"] for one in (*given["grammars"], *given["snippets"])),
    ]
    assert len(named) == 3
    named += _pictures_and_page()
    assert [name for name in named if not (VSCODE / name).is_file()] == []


@pytest.mark.parametrize("name", ["examples/quarry.hog", "stdlib/washing.hog", "stdlib/jaws.hog"])
def test_vs_code_indents_as_the_layout_of_the_language(name: str) -> None:
    """Its rule, from its documentation, from memory: a line stands a level deeper behind one that
    matches the one pattern, and a level less where it matches the other itself."""
    deeper = re.compile(_LANGUAGE["indentationRules"]["increaseIndentPattern"])
    less = re.compile(_LANGUAGE["indentationRules"]["decreaseIndentPattern"])
    level = compared = 0
    for line in (ROOT / name).read_text().splitlines():
        words = line.strip()
        if not words:
            continue
        level -= bool(less.search(words))
        if not words[0].isdigit():  # columns of sizes are set out by hand
            assert line == "  " * level + words
            compared += 1
        level += bool(deeper.search(words))
    assert compared > 40 and level == 0


def test_the_lock_file_is_for_this_manifest_and_names_no_host() -> None:
    lock = json.loads((VSCODE / "package-lock.json").read_text())
    assert lock["packages"][""]["devDependencies"] == _MANIFEST["devDependencies"]
    assert all(re.fullmatch(r"[0-9.]+", v) for v in _MANIFEST["devDependencies"].values())
    assert [entry for entry in lock["packages"].values() if "resolved" in entry] == []


@pytest.mark.skipif(not _VSIX.is_file(), reason="`bash .ci/editor` has packaged nothing here")
def test_the_package_holds_what_the_editor_reads_and_nothing_else() -> None:
    with zipfile.ZipFile(_VSIX) as archive:
        held = {name for name in archive.namelist() if name.startswith("extension/")}
        assert held == {
            "extension/package.json",
            "extension/readme.md",
            "extension/language-configuration.json",
            *(f"extension/{name.removeprefix('./')}" for name in _pictures_and_page()),
            "extension/snippets/hoggin.json",
            "extension/syntaxes/hoggin.tmLanguage.json",
            "extension/dist/extension.js",
            "extension/LICENSE.txt",
            "extension/dist/LICENCES.txt",
        }
        assert archive.read("extension/LICENSE.txt") == (ROOT / "LICENSE").read_bytes()
        manifest = json.loads(archive.read("extension/package.json"))
        assert f"extension/{Path(manifest['main'])}" in held
        bundle = archive.read("extension/dist/extension.js").decode()
        licences = archive.read("extension/dist/LICENCES.txt").decode()
    assert "language-server" in bundle
    assert not re.search(r'require\("(?!vscode"|node:|[a-z_/]+")', bundle)  # all is bundled
    assert "Permission is hereby granted" in licences


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_without_npm_the_build_says_so_and_does_no_harm(tmp_path: Path) -> None:
    for tool in ("bash", "dirname"):
        (tmp_path / tool).symlink_to(shutil.which(tool) or "")
    done = subprocess.run(
        [str(tmp_path / "bash"), str(ROOT / ".ci/editor")],
        env={"PATH": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0
    assert "no npm here" in done.stdout
