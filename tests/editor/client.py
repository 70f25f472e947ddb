"""A client of the language server: JSON-RPC over the process's standard input and output, as the
base protocol of LSP 3.17 has it (Content-Length headers, from memory)."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
from pathlib import Path
from types import TracebackType
from typing import Any

_PATIENCE = 60.0  # seconds for one answer, on a machine that is busy


class Client:
    """Starts `hoggin language-server` in a folder and speaks to it."""

    def __init__(self, folder: Path, options: Any = None, **capabilities: Any) -> None:
        self.folder = folder
        self._options = options
        self.notes: list[dict[str, Any]] = []
        self._capabilities = capabilities
        self._inbox: queue.Queue[dict[str, Any]] = queue.Queue()
        self._count = 0

    def __enter__(self) -> Client:
        command = [sys.executable, "-m", "hoggin", "language-server"]
        pipe = subprocess.PIPE
        self._process = subprocess.Popen(
            command, cwd=self.folder, stdin=pipe, stdout=pipe, stderr=pipe
        )
        threading.Thread(target=self._listen, daemon=True).start()
        self.initialized = self.ask(
            "initialize",
            processId=None,
            rootUri=self.folder.as_uri(),
            capabilities=self._capabilities,
            initializationOptions=self._options,
        )
        self.tell("initialized")
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if kind is not None:
            self._process.kill()
        elif self._process.poll() is None:
            self.ask("shutdown")
            self.tell("exit")
        self.exit_code = self._process.wait(_PATIENCE)
        assert self._process.stderr is not None
        self.errors = self._process.stderr.read().decode()

    def ask(self, method: str, **params: Any) -> Any:
        """A request's result; what the server tells meanwhile is kept in `notes`."""
        message = self._answer(method, params)
        assert "error" not in message, message["error"]
        return message["result"]

    def refused(self, method: str, **params: Any) -> int:
        """The code of the error that a request is answered with."""
        code: int = self._answer(method, params)["error"]["code"]
        return code

    def hang_up(self) -> None:
        """Close the server's standard input, as a client does that dies."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self.exit_code = self._process.wait(_PATIENCE)

    def _answer(self, method: str, params: dict[str, Any]) -> dict[str, Any]:
        self._count += 1
        self._send({"id": self._count, "method": method} | ({"params": params} if params else {}))
        while True:
            message = self._inbox.get(timeout=_PATIENCE)
            if message.get("id") == self._count and "method" not in message:
                return message
            self._take(message)

    def tell(self, method: str, **params: Any) -> None:
        self._send({"method": method, "params": params})

    def wait_for(self, method: str) -> dict[str, Any]:
        """The next note of this kind."""
        while True:
            for note in self.notes:
                if note["method"] == method:
                    self.notes.remove(note)
                    found: dict[str, Any] = note["params"]
                    return found
            self._take(self._inbox.get(timeout=_PATIENCE))

    def open(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")
        document = {"uri": path.as_uri(), "languageId": "hoggin", "version": 1, "text": text}
        self.tell("textDocument/didOpen", textDocument=document)

    def change(self, path: Path, text: str, version: int = 2) -> None:
        document = {"uri": path.as_uri(), "version": version}
        self.tell("textDocument/didChange", textDocument=document, contentChanges=[{"text": text}])

    def _take(self, message: dict[str, Any]) -> None:
        if "method" in message and "id" in message:  # the server asks: say yes
            self._send({"id": message["id"], "result": None})
        if "method" in message:
            self.notes.append({"params": None} | message)

    def _send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0"} | message).encode()
        assert self._process.stdin is not None
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self._process.stdin.flush()

    def _listen(self) -> None:
        stream = self._process.stdout
        assert stream is not None
        while True:
            length = 0
            while (line := stream.readline().strip()) or not length:
                if not line:
                    return
                name, _, value = line.partition(b":")
                if name.lower() == b"content-length":
                    length = int(value)
            self._inbox.put(json.loads(stream.read(length)))
