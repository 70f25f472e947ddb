"""A server for one user's own browser, on this computer only.

It listens on the loopback address only, and answers only requests with the token in the path: 256
random bits, new at every start. Against other sites that are open in the same browser, it checks
`Host` (another name may resolve to the loopback address), `Origin` and `Sec-Fetch-Site`, sends no
cross-origin permission, and lets its pages run only their own script. A link with the token may
lead to a page from elsewhere, as the file does that a browser is given (`door.py`). Only a server
that says so takes more than questions: a `POST` has to name our own origin, and its body has a type
that no other site's form can send.
"""

from __future__ import annotations

import contextlib
import hmac
import os
import secrets
import socket
import sys
import threading
from abc import ABC, abstractmethod
from collections.abc import Generator, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, ClassVar
from urllib.parse import parse_qsl, quote

ADDRESS = "127.0.0.1"
NAMES = (ADDRESS, "localhost")
MOST_CONNECTIONS = 64
PATIENCE_S = 20.0  # for a request to come in and an answer to be taken
PULSE_S = 10.0  # between two signs of life to a page that waits for changes
STILL_HERE = b": still here\n\n"
LARGEST_BODY = 4_000_000  # bytes
JSON_BODY = "application/json"
PLAIN = "text/plain; charset=utf-8"
NOT_ALLOWED = HTTPStatus.METHOD_NOT_ALLOWED
EVENTS = "text/event-stream; charset=utf-8"
SAFETY = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A request of our own page. `steps` are those of the path after the token."""

    method: str
    steps: tuple[str, ...]
    query: Mapping[str, str] = field(default_factory=dict)
    body: bytes = b""


@dataclass(frozen=True, slots=True)
class Answer:
    """`saved_as`: the name of the file that a browser makes of it, where it is to make one."""

    kind: str
    body: bytes
    status: HTTPStatus = HTTPStatus.OK
    saved_as: str = ""


Stream = Generator[bytes, None, None]
"""Server-sent events, for as long as the page takes them; closed when it is gone."""


class LocalServer(ThreadingHTTPServer, ABC):
    """Serves under a token of its own. Port 0 takes any that is free.

    Raises: OSError when the port can't be obtained.
    """

    methods: ClassVar[tuple[str, ...]] = ("GET", "HEAD")
    daemon_threads = True
    # On POSIX it lets one start again at once on the same port; elsewhere it would let one take
    # over another program's port.
    allow_reuse_address = os.name == "posix"
    request_queue_size = MOST_CONNECTIONS

    def __init__(self, port: int = 0) -> None:
        self.token = secrets.token_urlsafe(32)
        self._room = threading.BoundedSemaphore(MOST_CONNECTIONS)
        self._strangers: dict[socket.socket, None] = {}  # have not shown the token; oldest first
        super().__init__((ADDRESS, port), _Handler)
        self.hosts = {f"{name}:{self.server_port}" for name in NAMES}

    @abstractmethod
    def answer(self, asked: Asked) -> Answer | Stream | None:
        """The answer to a request of our own page; None if there is none."""

    @property
    def url(self) -> str:
        return f"http://{ADDRESS}:{self.server_port}/{self.token}/"

    def process_request(self, request: Any, client_address: Any) -> None:
        if not self._room.acquire(blocking=False) and not self._crowd_out():
            self.shutdown_request(request)
            return
        self._strangers[request] = None
        try:
            super().process_request(request, client_address)
        except RuntimeError:  # the system allows no more threads
            self.known(request)
            self._room.release()
            self.shutdown_request(request)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self.known(request)
            self._room.release()

    def known(self, request: socket.socket) -> None:
        """This connection showed the token, or is over."""
        self._strangers.pop(request, None)

    def _crowd_out(self) -> bool:
        """End the oldest connection that has not shown the token, so that a client with many idle
        ones can't keep the page out; whether a place became free."""
        oldest = next(iter(list(self._strangers)), None)
        if oldest is None:
            return False
        self.known(oldest)
        with contextlib.suppress(OSError):  # it has just ended by itself
            oldest.shutdown(socket.SHUT_RDWR)
        return self._room.acquire(timeout=1.0)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that goes away in the middle of an answer is not an error of the server."""
        if not isinstance(sys.exc_info()[1], (ConnectionError, TimeoutError)):
            super().handle_error(request, client_address)


class _Handler(BaseHTTPRequestHandler):
    server: LocalServer
    protocol_version = "HTTP/1.1"
    default_request_version = "HTTP/1.1"  # every answer has its fields, what can't be read as well
    timeout = PATIENCE_S

    def version_string(self) -> str:
        return "hoggin"

    def log_message(self, format: str, *args: object) -> None:
        """Logs nothing, because requests contain the token."""

    def do_GET(self) -> None:
        refusal = self._refusal()
        if refusal is not None:
            self.send_error(refusal)
            return
        self.server.known(self.connection)
        if {"Content-Length", "Transfer-Encoding"} & set(self.headers):
            self.close_connection = True  # a body is not read, so nothing after it is either
        self._answer(b"")

    def do_HEAD(self) -> None:
        self.do_GET()  # the body is left out as the answer is sent

    def do_POST(self) -> None:
        refusal = self._refusal() if "POST" in self.server.methods else NOT_ALLOWED
        refusal = refusal or self._body_refusal()
        if refusal is not None:
            self.send_error(refusal)
            return
        self.server.known(self.connection)
        length = int(self.headers["Content-Length"])
        body = self.rfile.read(length)
        if len(body) == length:  # else the page has gone away
            self._answer(body)

    def _answer(self, body: bytes) -> None:
        path, _, query = self.path.partition("?")
        asked = Asked(self.command, tuple(path.split("/")[2:]), dict(parse_qsl(query)), body)
        answer = self.server.answer(asked)
        if answer is None:
            self.send_error(HTTPStatus.NOT_FOUND)
        elif isinstance(answer, Answer):
            self._send(answer)
        else:
            self._stream(answer)

    def _refusal(self) -> HTTPStatus | None:
        """Why a request is not answered; None for one of our own page's, or of its opening."""
        hosts = self.headers.get_all("Host", [])
        if len(hosts) != 1 or hosts[0].lower() not in self.server.hosts:
            return HTTPStatus.MISDIRECTED_REQUEST
        origins = {f"http://{hosts[0].lower()}"}
        if not origins.issuperset(self.headers.get_all("Origin", [])):
            return HTTPStatus.FORBIDDEN
        own = {"same-origin", "none"}.issuperset(self.headers.get_all("Sec-Fetch-Site", []))
        if not own and not self._is_link():
            return HTTPStatus.FORBIDDEN
        steps = self.path.partition("?")[0].split("/")
        token = steps[1] if len(steps) >= 3 and not steps[0] else ""
        if not hmac.compare_digest(token.encode(), self.server.token.encode()):
            return HTTPStatus.NOT_FOUND
        return None

    def _body_refusal(self) -> HTTPStatus | None:
        """Why a body is not read. Browsers name the origin of whatever posts; a form of another
        site can't send this type without asking first, which is not allowed."""
        if not self.headers.get_all("Origin") or self.headers.get("Sec-Fetch-Site") == "none":
            return HTTPStatus.FORBIDDEN
        if self.headers.get_all("Content-Type", []) != [JSON_BODY]:
            return HTTPStatus.UNSUPPORTED_MEDIA_TYPE
        lengths = self.headers.get_all("Content-Length", [])
        if "Transfer-Encoding" in self.headers or len(lengths) != 1:
            return HTTPStatus.LENGTH_REQUIRED
        if not (lengths[0].isascii() and lengths[0].isdigit()):
            return HTTPStatus.BAD_REQUEST
        if len(lengths[0]) > len(str(LARGEST_BODY)) or int(lengths[0]) > LARGEST_BODY:
            return HTTPStatus.REQUEST_ENTITY_TOO_LARGE
        return None

    def _is_link(self) -> bool:
        """Whether someone follows a link to the page, into a window of its own."""
        asked = (self.headers.get(f"Sec-Fetch-{name}") for name in ("Mode", "Dest"))
        return self.path.endswith("/") and tuple(asked) == ("navigate", "document")

    def _send(self, answer: Answer) -> None:
        fields = {"Content-Type": answer.kind, "Content-Length": str(len(answer.body))}
        if answer.saved_as:
            fields["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(answer.saved_as)}"
        self._begin(answer.status, fields)
        if self.command != "HEAD":
            self.wfile.write(answer.body)

    def _begin(self, status: HTTPStatus, fields: dict[str, str]) -> None:
        """The status and the fields of an answer, all but its body."""
        self.send_response(status)
        if status is HTTPStatus.METHOD_NOT_ALLOWED:
            fields = {"Allow": ", ".join(self.server.methods), **fields}
        if self.close_connection:
            fields = {**fields, "Connection": "close"}
        for name, value in {**fields, **SAFETY}.items():
            self.send_header(name, value)
        self.end_headers()

    def send_error(self, code: int, *_: str | None, **__: str | None) -> None:
        """A plain sentence; then the connection ends, because the rest of a refused request is not
        read. What the library calls a method not implemented is one that is not allowed here."""
        status = HTTPStatus(code)
        if status is HTTPStatus.NOT_IMPLEMENTED:
            status = HTTPStatus.METHOD_NOT_ALLOWED
        self.close_connection = True
        body = f"{status.value} {status.phrase}\n".encode()
        self._send(Answer(PLAIN, body, status))

    def _stream(self, pieces: Stream) -> None:
        self.close_connection = True
        self._begin(HTTPStatus.OK, {"Content-Type": EVENTS})
        with contextlib.closing(pieces):
            for piece in pieces:
                self.wfile.write(piece)
