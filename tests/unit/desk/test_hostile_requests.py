"""Who may not come in does not, and what is too much, too slow or not understood is refused in words."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.open_desk import OpenDesk, open_desk
from tests.sample_circuits import CHARGE_OR_HELP


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenDesk]:
    place = tmp_path_factory.mktemp("week")
    (place / "bus.toml").write_text(CHARGE_OR_HELP)
    (place / "<script>alert(1)<script>.toml").write_text(CHARGE_OR_HELP)
    with open_desk(place) as opened:
        yield opened


def request(desk: OpenDesk, line: str, *headers: str) -> bytes:
    """The bytes of a request with a cookie, which the desk closes after answering."""
    lines = [f"{line} HTTP/1.1", f"Cookie: {desk.cookie}", "Connection: close", *headers]
    return "\r\n".join([*lines, "", ""]).encode()


def host(desk: OpenDesk) -> str:
    return f"Host: 127.0.0.1:{desk.port}"


def test_the_door_opens_once_and_its_cookie_is_kept_from_scripts_and_strangers(desk: OpenDesk) -> None:
    status, _, content = desk.send("GET", desk.way_in)
    assert (status, b"spent" in content) == (403, True)
    with open_desk(Path(__file__).parent, entered=False) as fresh:
        status, headers, _ = fresh.send("GET", fresh.way_in)
    assert (status, headers["location"]) == (303, "/")
    assert {"HttpOnly", "SameSite=strict"} <= set(headers["set-cookie"].split("; "))


@pytest.mark.parametrize("path", ["/", "/papers", "/papers/bus", "/events", "/static/desk.js", "/nothing"])
@pytest.mark.parametrize("cookie", ["", "desk=x", "{name}=x", "{name}="])
def test_without_the_cookie_nothing_is_shown(desk: OpenDesk, path: str, cookie: str) -> None:
    sent = {"Cookie": cookie.format(name=desk.cookie.split("=")[0])} if cookie else {}
    status, _, content = desk.send("GET", path, headers=sent)
    assert (status, json.loads(content)["error"]) == (403, "The desk does not know this browser.")


@pytest.mark.parametrize(
    "named", ["evil.example", "localhost:{port}", "127.0.0.1", "127.0.0.1:{port}.evil.example"]
)
def test_another_name_for_this_machine_is_not_answered(desk: OpenDesk, named: str) -> None:
    answer = desk.raw(request(desk, "GET /papers", f"Host: {named.format(port=desk.port)}"))
    assert answer.startswith(b"HTTP/1.1 421 ")


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1:{port}"]
)
@pytest.mark.parametrize("line", ["GET /papers", "POST /papers/bus/bin", "OPTIONS /papers/bus/bin"])
def test_what_another_page_sends_is_refused(desk: OpenDesk, origin: str, line: str) -> None:
    answer = desk.raw(request(desk, line, host(desk), f"Origin: {origin.format(port=desk.port)}"))
    assert answer.startswith(b"HTTP/1.1 403 ")
    assert b"access-control" not in answer.lower()


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_another_page_draws_in_is_refused(desk: OpenDesk, site: str) -> None:
    answer = desk.raw(request(desk, "GET /papers", host(desk), f"Sec-Fetch-Site: {site}"))
    assert answer.startswith(b"HTTP/1.1 403 ")


def test_a_change_without_an_origin_is_refused(desk: OpenDesk) -> None:
    assert desk.raw(request(desk, "POST /papers/bus/bin", host(desk))).startswith(b"HTTP/1.1 403 ")
    assert desk.get("/papers/bus")[0] == 200


@pytest.mark.parametrize(
    "path", ["/", "/papers", "/papers/bus", "/papers/gone", "/static/desk.js", "/nothing"]
)
def test_every_answer_forbids_what_the_page_does_not_need(desk: OpenDesk, path: str) -> None:
    _, headers, _ = desk.send("GET", path, headers={"Cookie": desk.cookie})
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert (headers["x-content-type-options"], headers["cache-control"]) == ("nosniff", "no-store")
    assert headers["referrer-policy"] == "no-referrer"
    assert not any(name.startswith("access-control") for name in headers)


@pytest.mark.parametrize(
    "path",
    ["/papers/..%2Fbus", "/papers/%2e%2e", "/papers/bus%00", "/papers/%ff%fe", "/papers/" + "x" * 3000,
     "/papers/%ED%A0%80", "/papers/a%E2%80%AEb", "/static/..%2Fserver.py", "/static/%2e%2e%2fserver.py",
     "/static/../server.py", "//papers", "/papers/bus/../../etc"],
)  # fmt: skip
def test_no_address_leads_out_of_the_folder(desk: OpenDesk, path: str) -> None:
    status, _, content = desk.send("GET", path, headers={"Cookie": desk.cookie})
    assert (status, set(json.loads(content))) == (404, {"error", "mend"})


def test_a_file_name_with_markup_is_only_a_name(desk: OpenDesk) -> None:
    assert "<script>alert(1)<script>" in [paper["name"] for paper in desk.get("/papers")[1]["papers"]]
    sent = {"Cookie": desk.cookie, "Accept": "text/html"}
    status, headers, page = desk.send("GET", "/papers/%3Cscript%3Ealert(2)", headers=sent)
    assert (status, headers["content-type"]) == (404, "text/html; charset=utf-8")
    assert b"&lt;script&gt;alert(2)" in page
    assert b"<script" not in page


@pytest.mark.parametrize("size", [4_100_000, 10_000_000])
@pytest.mark.parametrize("path", ["/papers/bus/edits", "/papers"])
def test_ten_megabytes_are_refused_in_words(desk: OpenDesk, size: int, path: str) -> None:
    status, answer = desk.post(path, {"version": "x", "edits": [{"do": "text", "text": "#" * size}]})
    assert (status, answer["error"]) == (413, "That is more than 4 MB.")


def test_a_body_in_pieces_is_counted_as_well(desk: OpenDesk) -> None:
    piece = b"10000\r\n" + b"#" * 65536 + b"\r\n"
    kind = ("Content-Type: application/json", "Transfer-Encoding: chunked")
    sent = request(desk, "POST /papers/bus/edits", host(desk), f"Origin: {desk.address}", *kind)
    answer = desk.raw(sent + piece * 100 + b"0\r\n\r\n")
    assert answer.startswith(b"HTTP/1.1 413 ")


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[]", b"null", b"\xff", b"[" * 100_000, b'{"version": 3, "edits": []}',
             b'{"edits": []}', b'{"version": "x"}', b'{"version": "x", "edits": [3]}', b'{"version": NaN}'],
)  # fmt: skip
def test_what_is_not_understood_is_refused_in_words(desk: OpenDesk, body: bytes) -> None:
    sent = {"Cookie": desk.cookie, "Origin": desk.address, "Content-Type": "application/json"}
    status, _, content = desk.send("POST", "/papers/bus/edits", body, sent)
    assert status == 400
    assert json.loads(content)["error"].endswith(".")


def test_a_form_that_another_page_could_send_unasked_is_refused(desk: OpenDesk) -> None:
    sent = {"Cookie": desk.cookie, "Origin": desk.address, "Content-Type": "text/plain"}
    assert desk.send("POST", "/papers/bus/bin", b"{}", sent)[0] == 415
    assert desk.get("/papers/bus")[0] == 200


@pytest.mark.parametrize(
    "line", ["DELETE /papers/bus", "PUT /papers", "PATCH /papers/bus", "GET /papers/bus/bin"]
)
def test_another_method_is_refused_in_words(desk: OpenDesk, line: str) -> None:
    answer = desk.raw(request(desk, line, host(desk), f"Origin: {desk.address}"))
    assert answer.startswith(b"HTTP/1.1 405 ")


@pytest.mark.parametrize(
    "sent", [b"\0" * 100, b"GET\r\n\r\n", b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
             b"\x16\x03\x01\x02\x00\x01", b"GET / HTTP/1.1\r\n" + b"X: " + b"y" * 100_000,
             b"GET / HTTP/1.1\r\nContent-Length: -1\r\n\r\n"],
)  # fmt: skip
def test_what_is_no_request_is_refused(desk: OpenDesk, sent: bytes) -> None:
    assert desk.raw(sent).startswith(b"HTTP/1.1 400 ")
    assert desk.get("/papers")[0] == 200


def test_a_request_to_talk_otherwise_is_not_taken_up(desk: OpenDesk) -> None:
    upgrade = ("Connection: Upgrade", "Upgrade: websocket", "Sec-WebSocket-Key: eA==")
    answer = desk.raw(request(desk, "GET /events", "Host: evil.example", *upgrade))
    assert answer.startswith(b"HTTP/1.1 421 ")
