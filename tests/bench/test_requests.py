"""The bench's server against requests that are not its own pages', and against odd ones that are:
raw ones, on a socket. Sources as in `tests/view/test_server.py`, whose checks it shares."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from hoggin.bench.folder import Folder
from hoggin.bench.requests import ON_FILE, ON_FOLDER
from hoggin.bench.server import BenchServer
from hoggin.view.local import LARGEST_BODY
from tests.bench.conftest import serving
from tests.view.test_server import request, sent, status

FILE_NAMES = ("events", "file.json", "place.json", "documents", "pdf", "state.json", "plant.json")
PATIENCE_S = 60.0  # documents take seconds
POSTED = [f"1/{name}" for name in ON_FILE] + list(ON_FOLDER)


def post(
    server: BenchServer,
    name: str,
    content: object = None,
    *,
    body: bytes | None = None,
    **other: str,
) -> bytes:
    """As our own page posts it, but for what is changed."""
    data = json.dumps({} if content is None else content).encode() if body is None else body
    own = f"http://127.0.0.1:{server.server_port}"
    fields = {"Origin": own, "Content_Type": "application/json", "Content_Length": str(len(data))}
    told = {name: value for name, value in {**fields, **other}.items() if value != "absent"}
    head = request(server, f"/{server.token}/{name}", "POST", **told)
    return sent(server, head.encode("latin-1") + data)


def answered(answer: bytes) -> Any:
    return json.loads(answer.partition(b"\r\n\r\n")[2])


def get(server: BenchServer, name: str, **other: str) -> bytes:
    return sent(server, request(server, f"/{server.token}/{name}", **other), PATIENCE_S)


@pytest.fixture(autouse=True)
def numbered(served: BenchServer, plant: Path) -> None:
    """The plant is the first file."""
    assert served.bench.folder.number(plant) == 1


@pytest.mark.parametrize("name", ["", "folder.json", "home.js", "1/", "1/editor.js", "1/plant.js"])
def test_its_own_pages_are_answered(served: BenchServer, name: str) -> None:
    assert status(get(served, name)) == 200


@pytest.mark.parametrize("name", ["", "folder.json", *(f"1/{one}" for one in FILE_NAMES)])
def test_every_question_needs_token_host_and_origin(served: BenchServer, name: str) -> None:
    wrong = "A" * len(served.token)
    assert status(sent(served, request(served, f"/{wrong}/{name}"))) == 404
    assert status(sent(served, request(served, f"/{name}"))) == 404
    assert status(get(served, name, Host=f"evil.example:{served.server_port}")) == 421
    assert status(get(served, name, Origin="http://evil.example")) == 403
    assert status(get(served, name, Sec_Fetch_Site="cross-site")) == 403


@pytest.mark.parametrize("name", POSTED)
def test_everything_that_is_done_needs_token_host_and_origin(
    served: BenchServer, name: str
) -> None:
    wrong = "A" * len(served.token)
    fields = {"Origin": f"http://127.0.0.1:{served.server_port}", "Content_Length": "2"}
    told = {**fields, "Content_Type": "application/json"}
    for path in (f"/{wrong}/{name}", f"/{name}", "/"):
        assert status(sent(served, request(served, path, "POST", **told) + "{}")) == 404
    assert status(post(served, name, Host=f"evil.example:{served.server_port}")) == 421
    assert status(post(served, name, Origin="http://evil.example")) == 403
    assert status(post(served, name, Origin="null")) == 403
    assert status(post(served, name, Origin="absent")) == 403
    assert status(post(served, name, Sec_Fetch_Site="cross-site")) == 403
    assert status(post(served, name, Sec_Fetch_Site="none")) == 403


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "absent"])
def test_a_body_that_another_sites_form_can_send_is_not_read(
    served: BenchServer, kind: str
) -> None:
    """Those types need no leave of ours (WHATWG Fetch, CORS-safelisted request-header)."""
    assert status(post(served, "1/save", Content_Type=kind)) == 415


def test_nothing_gives_other_sites_leave_to_ask(served: BenchServer) -> None:
    answer = sent(served, request(served, f"/{served.token}/1/save", "OPTIONS"))
    assert status(answer) == 405
    assert b"\r\nAllow: GET, HEAD, POST\r\n" in answer
    assert b"access-control" not in answer.lower()


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"Content_Length": str(LARGEST_BODY + 1)}, 413),
        ({"Content_Length": "9" * 5000}, 413),
        ({"Content_Length": "-1"}, 400),
        ({"Content_Length": "\u00b2"}, 400),
        ({"Content_Length": "absent"}, 411),
        ({"Transfer_Encoding": "chunked"}, 411),
    ],
)
def test_a_body_without_a_fit_length_is_refused(
    served: BenchServer, fields: dict[str, str], expected: int
) -> None:
    assert status(post(served, "1/save", body=b"{}", **fields)) == expected


def test_half_a_body_does_nothing(served: BenchServer, plant: Path) -> None:
    before = plant.read_text()
    whole = json.dumps({"page": "", "number": 1, "text": "plant"}).encode()
    assert post(served, "1/text", body=whole[:-5], Content_Length=str(len(whole))) == b""
    assert served.bench.opened(plant).draft.now.text == before


@pytest.mark.slow
@pytest.mark.parametrize("name", POSTED)
@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"null", b"nonsense", b"\xff\xfe", b"[" * 100_000, b'{"text": 1, "name": 1}',
     b'{"number": true, "text": ""}', b'{"name": "\\ud800.hog", "text": ""}'],
)  # fmt: skip
def test_a_body_that_is_not_what_a_page_sends_is_refused(
    served: BenchServer, plant: Path, name: str, body: bytes
) -> None:
    before = plant.read_bytes()
    answer = status(post(served, name, body=body))
    needs_nothing = name in ("1/save", "1/take", "1/compare") and body.startswith(b"{")
    assert answer == (200 if needs_nothing else 400)
    assert plant.read_bytes() == before


@pytest.mark.parametrize(
    "path",
    ["2/", "0/", "-1/", "1/../folder.json", "1/editor_LICENCES.txt", "1/desk.html", "%31/",
     "\u00b2/", "1/1/", "99999999999999999999/", "1/%2e%2e/folder.json", "1//", "gravel.hog",
     "1/gravel.hog"],
)  # fmt: skip
def test_no_path_leads_to_anything_else(served: BenchServer, path: str) -> None:
    assert status(get(served, path)) == 404


@pytest.mark.slow
@pytest.mark.parametrize(
    "name",
    ["../out.hog", "/tmp/out.hog", "a/b.hog", "..hog", ".hidden.hog", "out.txt", "", "a\0.hog",
     "a\nb.hog", "C:out.hog", "a\\b.hog", ".hog", "out.hog/"],
)  # fmt: skip
def test_a_new_file_is_one_of_the_folder(served: BenchServer, folder: Path, name: str) -> None:
    before = sorted(folder.parent.rglob("*"))
    answer = post(served, "1/save-as", {"name": name, "text": "let a = 1 mm\n"})
    assert status(answer) == 422
    assert "ends in `.hog`" in answered(answer)["fault"]
    assert sorted(folder.parent.rglob("*")) == before


@pytest.mark.slow
def test_a_new_file_replaces_none_not_even_a_link(served: BenchServer, folder: Path) -> None:
    outside = folder.parent / "outside.hog"
    (folder / "link.hog").symlink_to(outside)
    for name in ("gravel.hog", "link.hog"):
        assert status(post(served, "1/save-as", {"name": name, "text": "x"})) == 422
    assert not outside.exists()
    assert status(post(served, "1/save-as", {"name": "new.hog", "text": "x\r\ny\r"})) == 201
    assert (folder / "new.hog").read_bytes() == b"x\ny\n"


@pytest.mark.slow
def test_links_out_of_the_folder_are_not_listed(served: BenchServer, folder: Path) -> None:
    outside = folder.parent / "outside.hog"
    outside.write_text("let secret = 1 mm\n")
    (folder / "link.hog").symlink_to(outside)
    (folder / "inner").mkdir()
    (folder / "inner" / "ours.hog").write_text("let a = 1 mm\n")
    listed = answered(get(served, "folder.json"))["files"]
    assert [one["name"] for one in listed] == ["gravel.hog", "inner/ours.hog"]
    uri = (folder / "link.hog").as_uri()
    assert status(get(served, f"1/place.json?uri={uri}")) == 404
    assert status(post(served, "1/edit", {"uri": uri, "edits": []})) == 400
    assert outside.read_text() == "let secret = 1 mm\n"


@pytest.mark.slow
@pytest.mark.parametrize(
    "uri",
    ["file:///etc/passwd", "file:///etc/hostname.hog", "file://elsewhere/a.hog", "http://x/a.hog",
     "gravel.hog", "", "file:///%00.hog", "file:///../../etc/passwd"],
)  # fmt: skip
def test_places_are_those_of_the_folder_and_of_the_library(served: BenchServer, uri: str) -> None:
    assert status(get(served, f"1/place.json?uri={uri}")) == 404


@pytest.mark.slow
def test_the_text_of_a_library_is_given_to_read(served: BenchServer) -> None:
    from hoggin.world import library_path

    told = answered(get(served, f"1/place.json?uri={library_path('std.jaws').as_uri()}"))
    assert told["name"] == "std.jaws" and "single_toggle" in told["text"]


@pytest.mark.slow
def test_documents_are_made_of_saved_text_alone(served: BenchServer, plant: Path) -> None:
    text = plant.read_text() + "# more\n"
    told = {"page": "", "number": 1, "text": text}
    assert status(post(served, "1/text", told)) == 200
    assert status(get(served, "1/pdf")) == 409
    assert status(post(served, "1/save")) == 200
    assert plant.read_text() == text
    answer = get(served, "1/svg")
    assert status(answer) == 200
    assert b"Content-Disposition: attachment; filename*=UTF-8''gravel_flowsheet.svg" in answer


def test_documents_of_a_plant_with_errors_are_refused_with_the_errors(
    served: BenchServer, plant: Path
) -> None:
    text = plant.read_text().replace("css 13 mm", "css 13 inch")
    plant.write_text(text)
    answer = get(served, "1/documents")
    assert status(answer) == 422
    assert "error E0" in answered(answer)["fault"] and "gravel.hog:" in answered(answer)["fault"]


@pytest.mark.slow
def test_the_package_has_the_bytes_that_issue_and_report_write(
    served: BenchServer, plant: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import io
    import zipfile

    from hoggin.commands.main import main

    content = get(served, "1/documents").partition(b"\r\n\r\n")[2]
    archive = zipfile.ZipFile(io.BytesIO(content))
    monkeypatch.chdir(plant.parent)
    main(["issue", plant.name, "--into", str(tmp_path / "gravel")])
    main(["report", plant.name, "--into", str(tmp_path / "gravel" / "report")])
    written = [path for path in tmp_path.joinpath("gravel").rglob("*") if path.is_file()]
    assert sorted(archive.namelist()) == sorted(
        path.relative_to(tmp_path).as_posix() for path in written
    )
    for path in written:
        assert archive.read(path.relative_to(tmp_path).as_posix()) == path.read_bytes(), path
    assert content == get(served, "1/documents").partition(b"\r\n\r\n")[2]


def test_a_file_that_is_too_large_is_not_opened(served: BenchServer, folder: Path) -> None:
    large = folder / "large.hog"
    large.write_text("# " + "x" * 1_100_000)
    answer = get(served, f"{served.bench.folder.number(large)}/file.json")
    assert status(answer) == 422
    assert "larger than 1 MB" in answered(answer)["fault"]


def test_every_answer_on_the_form_is_checked_at_once(served: BenchServer, folder: Path) -> None:
    given = {"rate_t_h": "5 mm", "top_mm": "", "rock": "chalk", "products": "8/4", "name": "p.hog"}
    answer = post(served, "begin", given)
    assert status(answer) == 422
    assert set(answered(answer)["faults"]) == {"rate_t_h", "top_mm", "rock", "products"}
    assert not (folder / "p.hog").exists()


@pytest.mark.parametrize("name", ["", "../p.hog", "plant.txt", "gravel.hog", "gravel"])
def test_a_name_that_cannot_be_used_is_marked_on_the_form(
    served: BenchServer, folder: Path, name: str
) -> None:
    before = sorted(folder.iterdir())
    given = {"rate_t_h": "200 t/h", "top_mm": "400 mm", "rock": "granite", "products": "0/4"}
    answer = post(served, "begin", {**given, "name": name})
    assert status(answer) == 422
    assert set(answered(answer)["faults"]) == {"name"}
    assert sorted(folder.iterdir()) == before


def test_the_ending_of_a_new_file_may_be_left_out(folder: Path) -> None:
    assert Folder(folder).new("my quarry").name == "my quarry.hog"


def test_an_example_is_one_of_those_listed(served: BenchServer, folder: Path) -> None:
    assert status(post(served, "copy", {"name": "../pyproject.toml"})) == 422
    assert status(post(served, "copy", {"name": "gravel.hog"})) == 201
    assert (folder / "gravel_2.hog").exists()


def test_a_bench_on_an_empty_folder_offers_questions_and_examples(tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    with serving(empty) as server:
        told = answered(get(server, "folder.json"))
    assert told["files"] == []
    assert len(told["questions"]) == 4
    groups = {one["name"]: one["group"] for one in told["examples"]}
    assert groups["quarry.hog"] == "plants" and "cookbook" in groups.values()
