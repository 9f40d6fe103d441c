"""Who is let in, and what is refused: hosts, origins, tokens, bodies, paths."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from quincunx.board.desk import Desk
from quincunx.board.guard import EDIT_BYTES, HEADERS as SAFE_HEADERS, Keys
from tests.board.windows import HEADERS, ORIGIN, PORT, Window, board


@pytest.fixture
def stranger(file: Path) -> Iterator[tuple[TestClient, Keys]]:
    """A browser without the cookie."""
    client, keys = board(Desk(file))
    with client:
        yield client, keys


READ = ["/", "/api/state", "/api/garden", "/api/export", "/api/events", "/api/papers/plan.pdf", "/assets/x.js"]


@pytest.mark.parametrize("path", READ)
def test_without_the_cookie_nothing_is_read(stranger, path):
    client, _ = stranger
    reply = client.get(path)
    assert reply.status_code == 403
    assert "Small green" not in reply.text


def test_without_the_cookie_nothing_is_changed(stranger, file):
    client, _ = stranger
    before = file.read_bytes()
    for path in ("/api/edit", "/api/undo", "/api/close", "/api/import", "/api/save-as"):
        assert client.post(path, content="{}", headers=HEADERS).status_code == 403
    assert file.read_bytes() == before


def test_a_wrong_token_lets_nobody_in(stranger):
    client, keys = stranger
    for wrong in ("", "x", keys.token[:-1], keys.token + "x", keys.cookie):
        reply = client.get(f"/?token={wrong}", follow_redirects=False)
        assert reply.status_code == 403
        assert "set-cookie" not in reply.headers
    assert client.get("/api/state").status_code == 403


def test_the_token_works_once_and_its_cookie_from_then_on(stranger):
    client, keys = stranger
    token = keys.token
    first = client.get(f"/?token={token}", follow_redirects=False)
    assert (first.status_code, first.headers["location"]) == (303, "/")
    cookie = first.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert client.get("/api/state").status_code == 200
    other = TestClient(client.app, base_url=ORIGIN)
    again = other.get(f"/?token={token}", follow_redirects=False)
    assert again.status_code == 403
    assert "set-cookie" not in again.headers
    assert client.get(f"/?token={token}", follow_redirects=False).status_code == 303, "its own window may press reload"


def test_a_page_fetched_ahead_or_asked_about_does_not_use_the_token_up(stranger):
    client, keys = stranger
    assert client.head(f"/?token={keys.token}").status_code == 403
    assert client.get(f"/?token={keys.token}", headers={"sec-purpose": "prefetch"}).status_code == 403
    assert client.get(f"/?token={keys.token}", follow_redirects=False).status_code == 303


def test_two_programs_on_one_machine_do_not_share_a_cookie():
    one, two = Keys(1111), Keys(2222)
    assert one.cookie_name != two.cookie_name
    assert not two.knows(one.cookie)
    assert len({one.token, one.cookie, two.token, two.cookie}) == 4


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        f"evil.example:{PORT}",
        "127.0.0.1",
        "127.0.0.1:1",
        f"127.0.0.1.evil.example:{PORT}",
        "",
        f"[::2]:{PORT}",
    ],
)
def test_a_foreign_host_is_refused(window, host):
    reply = window.client.get("/api/state", headers={"host": host})
    assert reply.status_code == 403
    assert "garden" not in reply.json()


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"LOCALHOST:{PORT}", f"[::1]:{PORT}"])
def test_this_machines_own_names_are_known(stranger, host):
    client, keys = stranger
    headers = {"host": host, "cookie": f"{keys.cookie_name}={keys.cookie}"}
    assert client.get("/api/state", headers=headers).status_code == 200


WRONG_SENDERS: dict[str, dict[str, str | None]] = {
    "another page": {"origin": "http://evil.example"},
    "another port": {"origin": "http://127.0.0.1:9999"},
    "no origin at all": {"origin": None, "sec-fetch-site": None},
    "a sandboxed page": {"origin": "null"},
    "another site, says the browser": {"sec-fetch-site": "cross-site"},
    "another port, says the browser": {"sec-fetch-site": "same-site"},
    "the address bar": {"sec-fetch-site": "none"},
    "a form": {"x-quincunx": None},
    "https": {"origin": f"https://127.0.0.1:{PORT}"},
}


@pytest.mark.parametrize("who", WRONG_SENDERS)
def test_a_change_from_elsewhere_is_refused(window, who):
    headers = {k: v for k, v in {**HEADERS, **WRONG_SENDERS[who]}.items() if v is not None}
    body = '{"base": 0, "edit": {"label": "x", "ops": [{"do": "put", "part": "name", "value": "Stolen"}]}}'
    assert window.client.post("/api/edit", content=body, headers=headers).status_code == 403
    assert window.get("/api/garden")["garden"]["name"] == "Small green"


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_is_read_from_elsewhere_is_refused(window, site):
    assert window.client.get("/api/garden", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "", "text/json"]
)
def test_a_body_that_a_form_could_send_is_refused(window, kind):
    reply = window.client.post("/api/undo", content="{}", headers=HEADERS | {"content-type": kind})
    assert reply.status_code == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_other_methods_are_refused(window, method):
    reply = window.client.request(method, "/api/state", headers=HEADERS)
    assert reply.status_code == 405
    assert not [name for name in reply.headers if name.startswith("access-control")]


def test_a_question_can_not_be_posted_nor_a_change_be_got(window):
    assert window.client.post("/api/garden", content="{}", headers=HEADERS).status_code in (404, 405)
    assert window.client.get("/api/undo").status_code in (404, 405)


TRICKS = [
    "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc/passwd", "/assets/%2e%2e/index.html", "//etc/passwd", "/assets//x.js",
    "/assets/..%5cindex.html", "/assets\\index.html", "/index.html%00.js", "/api//state", "/api/%2e%2e/", "/.stamp",
    "/assets/.hidden.js", "/%252e%252e/etc/passwd", "/C:/windows/win.ini", "/index.py",
]  # fmt: skip


@pytest.mark.parametrize("path", TRICKS)
def test_path_tricks_find_nothing(window, path):
    import httpx2

    url = httpx2.URL(ORIGIN, raw_path=path.encode())
    assert window.client.get(url).status_code in (400, 404)


def test_a_body_of_100_mb_is_refused_before_it_is_read(window):
    sent = 0

    def body() -> Iterator[bytes]:
        nonlocal sent
        for _ in range(100):
            sent += 1
            yield b" " * 1024 * 1024

    for path in ("/api/edit", "/api/import", "/api/drag"):
        headers = HEADERS | {"content-length": str(100 * 1024 * 1024)}
        reply = window.client.post(path, content=b"x", headers=headers)
        assert reply.status_code == 413
        assert "too large" in reply.json()["error"]
    assert window.client.post("/api/edit", content=body(), headers=HEADERS).status_code == 413


@pytest.mark.parametrize("length", ["-1", "abc", "1e3", " 5", "0x10"])
def test_a_length_that_is_none_is_refused(window, length):
    reply = window.client.post("/api/undo", content=b"{}", headers=HEADERS | {"content-length": length})
    assert reply.status_code in (400, 413)


def test_just_as_much_as_may_be_sent_is_taken(window):
    padding = " " * (EDIT_BYTES - 2)
    assert window.client.post("/api/undo", content="{}" + padding, headers=HEADERS).status_code == 409
    assert window.client.post("/api/undo", content="{} " + padding, headers=HEADERS).status_code == 413


@pytest.mark.parametrize("path", ["/", "/api/state", "/api/nothing", "/nothing.js", "/api/kinds"])
def test_every_answer_carries_the_safe_headers(window, path):
    reply = window.client.get(path)
    for name, value in SAFE_HEADERS.items():
        assert reply.headers[name] == value
    assert "access-control-allow-origin" not in reply.headers
    assert reply.headers["cache-control"]


def test_the_policy_allows_no_script_from_elsewhere_and_none_in_the_page(window):
    policy = dict(
        part.strip().split(" ", 1) for part in window.client.get("/").headers["content-security-policy"].split(";")
    )
    assert policy["default-src"] == policy["script-src"] == policy["connect-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["object-src"] == policy["base-uri"] == "'none'"
    assert "unsafe" not in policy["script-src"] + policy["style-src"]


def test_refusals_carry_the_safe_headers_too(stranger):
    client, _ = stranger
    for reply in (client.get("/"), client.get("/api/state"), client.get("/", headers={"host": "evil.example"})):
        assert reply.status_code == 403
        assert reply.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "body", ["", "[]", "null", "{", '{"a": NaN}', '{"base": 1}', '{"base": "x"}', "[" * 50_000, "\x00"]
)
def test_rubbish_is_refused_in_one_sentence(window: Window, body):
    reply = window.client.post("/api/edit", content=body, headers=HEADERS)
    assert reply.status_code in (400, 422)
    assert reply.json()["error"].endswith(".")
