"""The page and its parts."""

from __future__ import annotations

from pathlib import Path

import pytest

from quincunx.board import static


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A built page of our own in place of the package's."""
    ui = tmp_path / "_ui"
    (ui / "assets").mkdir(parents=True)
    (ui / "fonts").mkdir()
    (ui / "index.html").write_text("<!doctype html><title>Board</title>")
    (ui / "assets" / "index-abc.js").write_text("export {}")
    (ui / "fonts" / "Sans.ttf").write_bytes(b"\0\1")
    (ui / ".stamp").write_text("secret")
    (ui / "data.py").write_text("secret")
    (tmp_path / "secret.js").write_text("secret")
    monkeypatch.setattr(static, "files", lambda _name: tmp_path)
    return ui


def test_the_page_is_asked_for_each_time_and_its_parts_are_kept(window, built):
    page = window.client.get("/")
    assert "<title>Board</title>" in page.text
    assert page.headers["cache-control"] == "no-cache"
    part = window.client.get("/assets/index-abc.js")
    assert part.headers["content-type"].startswith("text/javascript")
    assert "immutable" in part.headers["cache-control"]
    assert window.client.get("/fonts/Sans.ttf").headers["content-type"] == "font/ttf"


def test_what_has_not_changed_is_not_sent_again(window, built):
    tag = window.client.get("/").headers["etag"]
    again = window.client.get("/", headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")
    (built / "index.html").write_text("<!doctype html><title>New</title>")
    assert window.client.get("/", headers={"if-none-match": tag}).status_code == 200


@pytest.mark.parametrize("name", ["/.stamp", "/data.py", "/assets", "/assets/", "/nothing.js", "/secret.js", "/fonts"])
def test_nothing_else_is_sent(window, built, name):
    reply = window.client.get(name)
    assert reply.status_code in (400, 404)
    assert "secret" not in reply.text


def test_a_page_that_is_not_built_says_so(window, built):
    (built / "index.html").unlink()
    reply = window.client.get("/")
    assert reply.status_code == 503
    assert "has not been built" in reply.text


def test_the_program_names_the_script_of_its_page(built):
    assert static.build() == "", "a page without a script is never too old"
    script = '<script type="module" crossorigin src="./assets/index-abc.js"></script>'
    (built / "index.html").write_text(f"<!doctype html>{script}")
    assert static.build() == "assets/index-abc.js"
    (built / "index.html").unlink()
    assert static.build() == ""
