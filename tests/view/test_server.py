"""The server against requests that are not its own page's: raw ones, on a socket.

Sources: RFC 9110 (HTTP semantics), RFC 6454 (origins) and 9112 (HTTP/1.1);
Server-sent events and Fetch metadata as in the WHATWG HTML and W3C Fetch Metadata documents; all
from memory.
"""

from __future__ import annotations

import contextlib
import json
import re
import socket
import threading

import pytest

from hoggin.schema.results import Results
from hoggin.view.live import Live
from hoggin.view.local import MOST_CONNECTIONS, LocalServer
from hoggin.view.reading import Reading
from hoggin.view.server import ViewServer
from tests.view.conftest import serving


def address(server: LocalServer) -> tuple[str, int]:
    return "127.0.0.1", server.server_port


def sent(server: LocalServer, request: str | bytes, patience_s: float = 5.0) -> bytes:
    """What the server answers to these bytes until it closes, or is silent for a moment."""
    data = request.encode("latin-1") if isinstance(request, str) else request
    with socket.create_connection(address(server), timeout=patience_s) as link:
        link.sendall(data)
        link.shutdown(socket.SHUT_WR)
        found = b""
        while piece := link.recv(1 << 16):
            found += piece
    return found


def request(
    server: LocalServer, path: str | None = None, method: str = "GET", **headers: str
) -> str:
    """A request as our page would make it, but for what is changed; None as a path is the page."""
    told = {"Host": f"127.0.0.1:{server.server_port}", "Connection": "close"}
    told |= {name.replace("_", "-"): value for name, value in headers.items()}
    path = f"/{server.token}/" if path is None else path
    return (
        f"{method} {path} HTTP/1.1\r\n" + "".join(f"{n}: {v}\r\n" for n, v in told.items()) + "\r\n"
    )


def status(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1])


def test_it_listens_on_the_loopback_address_alone(server: ViewServer) -> None:
    assert server.server_address[0] == "127.0.0.1"
    assert server.url.startswith("http://127.0.0.1:")


def test_the_token_is_long_random_and_new_at_every_start(
    server: ViewServer, small: Results
) -> None:
    with serving(lambda: (Reading(small), {})) as other:
        assert other.token != server.token
    # 256 bits in base64 of 6 bits a letter (RFC 4648) are 43 letters
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", server.token)


def test_its_own_page_is_answered(server: ViewServer) -> None:
    answer = sent(server, request(server))
    assert status(answer) == 200
    assert b"<!DOCTYPE html>" in answer
    for name in (
        "state.json",
        "plant.json",
        "page.css",
        "main.js",
        "plant.js",
        "sheet.js",
        "fill.js",
        "hand.js",
        "walk.js",
        "icon.svg",
    ):
        assert status(sent(server, request(server, f"/{server.token}/{name}"))) == 200, name


def test_a_thread_that_the_system_refuses_takes_no_place_for_ever(
    server: ViewServer, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refused(_thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    with monkeypatch.context() as full:
        full.setattr(threading.Thread, "start", refused)
        for _ in range(MOST_CONNECTIONS + 1):
            with contextlib.suppress(OSError):  # it may be closed before the request is sent
                assert sent(server, request(server)) == b""
    assert status(sent(server, request(server))) == 200
    assert capsys.readouterr().err == ""


def test_localhost_is_a_name_of_the_loopback_address(server: ViewServer) -> None:
    host = f"localhost:{server.server_port}"
    assert status(sent(server, request(server, Host=host))) == 200
    assert status(sent(server, request(server, Host=host, Origin=f"http://{host}"))) == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1",
     "127.0.0.1.evil.example:{port}", "evil.example:{port}@127.0.0.1:{port}",
     "0.0.0.0:{port}", "[::1]:{port}", ""],
)  # fmt: skip
def test_a_name_that_is_made_to_lead_here_is_refused(server: ViewServer, host: str) -> None:
    """DNS rebinding: the browser believes it talks to its own site, and sends that site's Host."""
    answer = sent(server, request(server, Host=host.format(port=server.server_port)))
    assert status(answer) == 421  # RFC 9110, 15.5.20: misdirected request
    assert b"<!DOCTYPE" not in answer


def test_no_host_or_two_are_refused(server: ViewServer) -> None:
    path = f"/{server.token}/"
    host = f"Host: 127.0.0.1:{server.server_port}\r\n"
    assert status(sent(server, f"GET {path} HTTP/1.1\r\nConnection: close\r\n\r\n")) == 421
    twice = f"GET {path} HTTP/1.1\r\n{host}Host: evil.example\r\nConnection: close\r\n\r\n"
    assert status(sent(server, twice)) == 421


@pytest.mark.parametrize(
    "origin",
    ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1",
     "http://localhost:{port}", "http://127.0.0.1:{port}.evil.example", ""],
)  # fmt: skip
def test_another_sites_script_is_refused(server: ViewServer, origin: str) -> None:
    """An origin is scheme, host and port together (RFC 6454, 4); `null` is a sandboxed frame's."""
    origin = origin.format(port=server.server_port)
    for name in ("state.json", "events"):
        answer = sent(server, request(server, f"/{server.token}/{name}", Origin=origin))
        assert status(answer) == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "nonsense"])
def test_what_another_site_makes_the_browser_ask_for_is_refused(
    server: ViewServer, site: str
) -> None:
    assert status(sent(server, request(server, Sec_Fetch_Site=site))) == 403


def test_a_link_from_elsewhere_leads_to_the_page_and_to_nothing_else(server: ViewServer) -> None:
    """As from the file that a browser is given. What it asks for is not for the other site to see:
    it may not frame the page (W3C Fetch Metadata, `Sec-Fetch-Mode` and `Sec-Fetch-Dest`)."""
    link = {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "navigate"}
    assert status(sent(server, request(server, Sec_Fetch_Dest="document", **link))) == 200
    for place in ("iframe", "embed", "object", "script", "empty", ""):
        assert status(sent(server, request(server, Sec_Fetch_Dest=place, **link))) == 403
    for name in ("state.json", "plant.json", "events"):
        path = f"/{server.token}/{name}"
        assert status(sent(server, request(server, path, Sec_Fetch_Dest="document", **link))) == 403
    wrong = f"/{'A' * len(server.token)}/"
    assert status(sent(server, request(server, wrong, Sec_Fetch_Dest="document", **link))) == 404


@pytest.mark.parametrize("site", ["same-origin", "none"])
def test_the_page_itself_and_the_address_line_are_answered(server: ViewServer, site: str) -> None:
    assert status(sent(server, request(server, Sec_Fetch_Site=site))) == 200


@pytest.mark.parametrize(
    "path",
    ["/", "/state.json", "/{wrong}/", "/{wrong}/state.json", "/{upper}/", "/{short}/", "//{token}/",
     "/{token}", "/x/{token}/", "*", "http://evil.example/{token}/", "/?token={token}",
     "/%E2%82%AC/", "/\u00e9/"],
)  # fmt: skip
def test_without_the_token_there_is_nothing(server: ViewServer, path: str) -> None:
    wrong = "A" * len(server.token)
    path = path.format(
        token=server.token, wrong=wrong, upper=server.token.swapcase(), short=server.token[:-1]
    )
    answer = sent(server, request(server, path))
    # A server reads a target of `//token/` as `/token/`, so that it is no other host's address.
    assert status(answer) == (200 if path.startswith("//") else 404)
    assert path.startswith("//") or server.token.encode() not in answer


@pytest.mark.parametrize(
    "path",
    ["../page.css", "../../../../etc/passwd", "%2e%2e/page.css", "..%2f..%2fserver.py",
     "..\\server.py", "server.py", "page/page.css", "page.html", "templates/details.html.j2",
     "state.json/", ".", "page.css%00.txt", "/etc/passwd"],
)  # fmt: skip
def test_no_path_leads_out_of_the_few_names_there_are(server: ViewServer, path: str) -> None:
    assert status(sent(server, request(server, f"/{server.token}/{path}"))) == 404


@pytest.mark.parametrize(
    "method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "get", "BREW"]
)
def test_other_methods_are_not_allowed(server: ViewServer, method: str) -> None:
    """RFC 9110, 15.5.6: 405 with an Allow field."""
    answer = sent(server, request(server, method=method))
    assert status(answer) == 405
    assert b"\r\nAllow: GET, HEAD\r\n" in answer


def test_head_is_get_without_its_body(server: ViewServer) -> None:
    """RFC 9110, 9.3.2."""
    path = f"/{server.token}/page.css"
    whole, head = (sent(server, request(server, path, method)) for method in ("GET", "HEAD"))
    fields, body = whole.split(b"\r\n\r\n", 1)
    length = re.search(rb"Content-Length: (\d+)", head)
    assert length is not None and int(length[1]) == len(body) > 0
    assert head.endswith(b"\r\n\r\n") and head.count(b"\r\n") == fields.count(b"\r\n") + 2
    assert status(sent(server, request(server, f"/{server.token}/events", "HEAD"))) == 404


@pytest.mark.parametrize("path", [None, "/", "/x/y"])
def test_every_answer_keeps_other_sites_out(server: ViewServer, path: str | None) -> None:
    fields = sent(server, request(server, path)).split(b"\r\n\r\n")[0].decode().lower()
    assert "access-control-" not in fields
    assert "set-cookie" not in fields
    assert "x-content-type-options: nosniff" in fields
    assert "referrer-policy: no-referrer" in fields
    assert "cross-origin-resource-policy: same-origin" in fields
    assert "cache-control: no-store" in fields
    (policy,) = re.findall(r"content-security-policy: (.*)\r", fields)
    told = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert told["default-src"] == told["frame-ancestors"] == told["base-uri"] == "'none'"
    assert told["script-src"] == told["style-src"] == told["connect-src"] == "'self'"
    assert "unsafe" not in policy and "http:" not in policy and "*" not in policy


@pytest.mark.parametrize(
    ("what", "expected"),
    [
        ("GET /" + "a" * 70_000 + " HTTP/1.1\r\n\r\n", 414),
        ("GET / HTTP/1.1\r\nHost: " + "a" * 70_000 + "\r\n\r\n", 431),
        ("GET / HTTP/1.1\r\n" + "".join(f"X-{n}: y\r\n" for n in range(200)) + "\r\n", 431),
        ("nonsense\r\n\r\n", 400),
        ("GET / HTTP/9.9\r\n\r\n", 505),
    ],
)
def test_requests_out_of_all_bounds_are_told_so_and_harm_nothing(
    server: ViewServer, what: str, expected: int
) -> None:
    """414, 431 (RFC 6585), 400 and 505 as RFC 9110 has them."""
    with contextlib.suppress(ConnectionResetError):  # it need not read all that it refuses
        assert status(sent(server, what)) == expected
    assert status(sent(server, request(server))) == 200


def test_a_body_is_not_read_as_the_next_request(server: ViewServer) -> None:
    smuggled = request(server, f"/{server.token}/state.json")
    first = request(server, Content_Length=str(len(smuggled))).replace("Connection: close\r\n", "")
    assert sent(server, first + smuggled).count(b"HTTP/1.1 200") == 1


@pytest.mark.parametrize(
    "query", ["?key=cone", "?key=nobody", "?key=%FF%00", "?" + "&" * 999, "?key"]
)
def test_details_are_of_what_the_plant_has(server: ViewServer, query: str) -> None:
    answer = sent(server, request(server, f"/{server.token}/details.html{query}"))
    assert status(answer) == (200 if query == "?key=cone" else 404)


def listening(server: ViewServer) -> socket.socket:
    """A page's connection, which shows the token and waits for readings."""
    link = socket.create_connection(address(server), timeout=10)
    link.sendall(request(server, f"/{server.token}/events").encode())
    assert link.recv(12) == b"HTTP/1.1 200"
    return link


def known(server: ViewServer) -> socket.socket:
    """A connection that has had an answer, and stays open for the next request."""
    link = socket.create_connection(address(server), timeout=10)
    path = f"/{server.token}/icon.svg"
    link.sendall(request(server, path).replace("Connection: close\r\n", "").encode())
    found = b""
    while not found.endswith(b"</svg>\n"):
        found += link.recv(1 << 16)
    return link


def test_no_more_than_so_many_talk_at_once_and_the_next_find_room_again(small: Results) -> None:
    with serving(lambda: (Reading(small), {})) as server:
        held = [known(server) for _ in range(MOST_CONNECTIONS)]
        more = socket.create_connection(address(server), timeout=5)
        assert more.recv(1) == b""  # closed at once
        more.close()
        for link in held:
            link.close()
        for _ in range(100):
            with contextlib.suppress(OSError):  # refused, as long as all are held
                answer = sent(server, request(server))
                if answer:
                    break
        assert status(answer) == 200


def test_who_holds_connections_and_says_nothing_keeps_no_page_out(small: Results) -> None:
    """Half a request a connection, as many as there is room for, and more: the page still gets its
    answers, and keeps the connection by which it is told of readings."""
    with serving(lambda: (Reading(small), {})) as server:
        kept = listening(server)
        held = [socket.create_connection(address(server)) for _ in range(2 * MOST_CONNECTIONS)]
        for link in held:
            with contextlib.suppress(OSError):  # the oldest have been ended
                link.sendall(b"GET /")
        for _ in range(3):
            assert status(sent(server, request(server))) == 200
        assert kept.recv(1 << 16).endswith(b"data: 1\n\n")
        kept.settimeout(0.2)
        with pytest.raises(TimeoutError):  # still open, with nothing new to tell
            kept.recv(1)
        for link in (kept, *held):
            link.close()


def test_it_starts_again_on_the_port_it_had(small: Results) -> None:
    """What the ended server closed first lingers (RFC 9293, 3.3.2, TIME-WAIT); it must not keep the
    next one from listening."""
    with serving(lambda: (Reading(small), {})) as server:
        port = server.server_port
        link = listening(server)
    while link.recv(4096):  # until the server has closed it
        pass
    link.close()
    again = ViewServer(Live(lambda: (Reading(small), {})), port)
    again.server_close()


def test_events_tell_the_number_of_the_reading_in_the_standards_form(server: ViewServer) -> None:
    """WHATWG HTML, server-sent events: `data:` lines, an empty line ends each event."""
    with socket.create_connection(address(server), timeout=10) as link:
        link.sendall(request(server, f"/{server.token}/events").encode())
        found = b""
        while not found.endswith(b"\n\n"):
            found += link.recv(4096)
    fields, event = found.split(b"\r\n\r\n", 1)
    assert b"Content-Type: text/event-stream" in fields
    assert event == b"data: 1\n\n"


def test_the_state_is_told_as_json(server: ViewServer, small: Results) -> None:
    answer = sent(server, request(server, f"/{server.token}/state.json"))
    state = json.loads(answer.split(b"\r\n\r\n", 1)[1])
    assert state["number"] == state["good"] == 1
    assert not state["stale"] and not state["fault"]
    assert state["title"] == small.title
