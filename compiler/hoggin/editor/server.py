"""The language server: follows the client's documents, and carries out its commands. What it
answers is in `answers` and `previewing`."""

from __future__ import annotations

from functools import partial

from lsprotocol import types

from hoggin.editor import answers  # noqa: F401  it registers itself
from hoggin.editor.desk import Balance
from hoggin.editor.previewing import FLOWSHEET, flowsheet, open_flowsheet, show_details
from hoggin.editor.protocol import OPEN_FLOWSHEET, SHOW_DETAILS
from hoggin.editor.session import ANSWERS, Server, on, safely

__all__ = ["Server", "server"]
_WATCHED = types.Registration(
    "files",
    types.WORKSPACE_DID_CHANGE_WATCHED_FILES,
    types.DidChangeWatchedFilesRegistrationOptions([types.FileSystemWatcher("**/*.hog")]),
)


def server(balance: Balance) -> Server:
    """A server that balances plants by the function it is given."""
    made = Server(balance)
    for method, (give, empty, options) in ANSWERS.items():
        made.feature(method, options)(partial(safely, made, method, give, empty))
    made.feature(FLOWSHEET)(partial(flowsheet, made))
    made.command(OPEN_FLOWSHEET)(partial(open_flowsheet, made))
    made.command(SHOW_DETAILS)(partial(show_details, made))
    return made


@on(types.INITIALIZE)
def _asked_for(made: Server, params: types.InitializeParams) -> None:
    options = params.initialization_options
    made.takes_previews = isinstance(options, dict) and options.get("previews") is True


# --- documents


@on(types.TEXT_DOCUMENT_DID_OPEN)
def _opened(made: Server, params: types.DidOpenTextDocumentParams) -> None:
    made.desk.put(params.text_document.uri, params.text_document.text)


@on(types.TEXT_DOCUMENT_DID_CHANGE)
def _changed(made: Server, params: types.DidChangeTextDocumentParams) -> None:
    uri = params.text_document.uri
    made.desk.put(uri, made.workspace.get_text_document(uri).source)


@on(types.TEXT_DOCUMENT_DID_CLOSE)
def _closed(made: Server, params: types.DidCloseTextDocumentParams) -> None:
    made.desk.drop(params.text_document.uri)


@on(types.TEXT_DOCUMENT_DID_SAVE)
@on(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
def _on_disk(made: Server, _: object) -> None:
    made.desk.changed_on_disk()


@on(types.INITIALIZED)
def _ready(made: Server, _: types.InitializedParams) -> None:
    workspace = made.client_capabilities.workspace
    watched = workspace.did_change_watched_files if workspace else None
    if watched is not None and watched.dynamic_registration:
        made.client_register_capability(types.RegistrationParams([_WATCHED]))


@on(types.SHUTDOWN)
def _shutdown(made: Server, _: object) -> None:
    made.was_shut_down = True
    made.desk.close()
