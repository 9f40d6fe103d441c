"""Sharing on the home network: off by default, one garden behind a pass phrase, slow then shut, over by itself."""

from __future__ import annotations

import http.client
import json
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from quincunx.board.app import ROUTES
from quincunx.board.desk import Desk
from quincunx.board.outdoors_pack import FORMAT
from quincunx.board.share import OPENS, home_address, share, usual_share_port
from quincunx.board.share_app import make_share_app
from quincunx.board.share_door import MOST_PHONES, MOST_WRONG, WAITS_S, WORDS, Door, new_phrase
from tests.board.windows import Window, until

HOST = "192.168.7.20:31234"
ORIGIN = f"http://{HOST}"
HEADERS = {"origin": ORIGIN, "x-quincunx": "1", "content-type": "application/json"}
PHRASE = "maple pebble otter linen"


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.at = 1000.0

    def __call__(self) -> float:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def door(clock: Clock) -> Door:
    return Door(PHRASE, 3600.0, clock)


@pytest.fixture
def desk(file: Path) -> Iterator[Desk]:
    one = Desk(file)
    yield one
    one.close()


@pytest.fixture
def phone(desk: Desk, door: Door) -> TestClient:
    return TestClient(make_share_app(desk, desk.session, door, HOST), base_url=ORIGIN, follow_redirects=False)


def enter(phone: TestClient, phrase: str) -> int:
    return phone.post("/api/door", content=json.dumps({"phrase": phrase}), headers=HEADERS).status_code


def test_a_phrase_is_of_plain_words_nobody_guesses() -> None:
    assert len(WORDS) == len(set(WORDS)) > 100
    assert all(w.isascii() and w.isalpha() and w.islower() for w in WORDS)
    assert len(WORDS) ** 4 > 1e8
    assert len({new_phrase() for _ in range(50)}) == 50


def test_a_wrong_phrase_is_slowed_and_the_fifth_shuts_the_door(door: Door, clock: Clock) -> None:
    for wait in WAITS_S:
        assert door.enter("maple pebble otter cotton") == ("wrong", "")
        assert door.wait_s == pytest.approx(wait)
        assert door.enter(PHRASE)[0] == "wait", "while it is deaf not even the right phrase is heard"
        clock.at += wait
    assert door.wrong == MOST_WRONG - 1
    assert door.enter("") == ("shut", "")
    clock.at += 100
    assert door.enter(PHRASE) == ("shut", "")
    assert door.left_s == 0


def test_trying_while_it_is_deaf_neither_counts_nor_helps(door: Door) -> None:
    door.enter("no")
    for _ in range(50):
        assert door.enter("no")[0] == "wait"
    assert door.wrong == 1


def test_the_phrase_is_taken_however_it_is_typed(door: Door) -> None:
    came, key = door.enter("  Maple-pebble  OTTER linen ")
    assert came == "in"
    assert door.knows(key)
    assert not door.knows("x")
    assert not door.knows(None)


def test_it_is_over_by_itself(door: Door, clock: Clock) -> None:
    key = door.enter(PHRASE)[1]
    clock.at += 3599
    assert door.knows(key)
    clock.at += 1.5
    assert not door.knows(key)
    assert door.enter(PHRASE)[0] == "shut"


def test_no_more_phones_than_a_family_has(door: Door) -> None:
    for _ in range(MOST_PHONES):
        assert door.enter(PHRASE)[0] == "in"
    assert door.enter(PHRASE)[0] != "in"


def test_without_the_phrase_only_the_empty_page_is_there(phone: TestClient) -> None:
    shell = phone.get("/outdoors/")
    assert shell.status_code == 200
    assert "Small green" not in shell.text
    assert "max-age" in shell.headers["cache-control"]
    assert "frame-ancestors 'none'" in shell.headers["content-security-policy"]
    assert phone.get("/").headers["location"] == "/outdoors/"
    assert phone.get("/api/outdoors/pack").status_code == 401
    assert phone.get("/api/outdoors/together").status_code == 401
    assert phone.post("/api/outdoors/notes", content="{}", headers=HEADERS).status_code == 401


def test_a_phone_may_ask_for_pictures_at_another_day_and_hour(phone: TestClient, desk: Desk) -> None:
    job = desk.session.standing().garden.jobs[0].id
    address = f"/api/outdoors/views/{job}/best/06-21-12-00"
    assert phone.get(address).status_code == 401
    assert enter(phone, PHRASE) == 200
    told = phone.get(address)
    assert told.status_code == 200
    assert told.json()["about"] == job
    assert phone.get(f"/api/outdoors/views/{job}/best/06-31-12-00").status_code == 422


def test_nothing_but_the_garden_shared_is_reachable(phone: TestClient) -> None:
    assert enter(phone, PHRASE) == 200
    reply = phone.post("/api/door", content=json.dumps({"phrase": PHRASE}), headers=HEADERS)
    cookie = reply.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "samesite=strict" in cookie.lower()
    pack = phone.get("/api/outdoors/pack")
    assert pack.json()["garden"] == "Small green"
    open_to_phones = {"/api/outdoors/pack", "/api/outdoors/together", "/api/outdoors/notes", "/api/outdoors/day/{day}"}
    for method, path, _ in ROUTES:
        where = path.replace("{name}", "plan.svg")
        if where in open_to_phones:
            continue
        if method == "GET":
            assert phone.get(where).status_code == 404, where
        else:
            assert phone.post(where, content="{}", headers=HEADERS).status_code == 404, where
    for path in (
        "/index.html",
        "/assets/",
        "/outdoors/keep.js",
        "/api/events",
        "/fonts/LICENSE.md",
        "/api/outdoors/pack/x",
    ):
        assert phone.get(path).status_code == 404, path
    assert phone.get("/api/outdoors/pack?jobs=x").status_code == 400
    told = phone.post(
        "/api/outdoors/notes",
        content=json.dumps({
            "format": FORMAT, "mark": pack.json()["mark"], "garden": "x",
            "notes": [{"id": "n" + "1" * 20, "made": "2027-04-03T10:00:00Z", "day": "2027-04-03", "what": "note", "text": "dry"}],
        }),
        headers=HEADERS,
    )  # fmt: skip
    assert told.json()["taken"] == ["n" + "1" * 20]


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"origin": "http://evil.example"}, 403),
        ({"origin": f"http://{HOST}.evil.example"}, 403),
        ({"x-quincunx": "0"}, 403),
        ({"content-type": "text/plain"}, 415),
        ({"host": "192.168.7.20"}, 403),
        ({"host": "evil.example:31234"}, 403),
        ({"content-length": "99999999999"}, 413),
    ],
)
def test_other_pages_and_other_names_are_refused(phone: TestClient, change: dict[str, str], status: int) -> None:
    reply = phone.post("/api/door", content=json.dumps({"phrase": PHRASE}), headers=HEADERS | change)
    assert reply.status_code == status
    assert "set-cookie" not in reply.headers


@pytest.mark.parametrize("path", ["/outdoors/../index.html", "/%2e%2e/x", "/outdoors//page.js", "/outdoors\\page.js"])
def test_strange_paths_lead_nowhere(phone: TestClient, path: str) -> None:
    assert phone.get(path).status_code in (400, 404)


@pytest.mark.parametrize("body", ["", "[]", "{", '{"phrase": 7}', '{"phrase": null}'])
def test_a_door_that_is_told_nothing_lets_nobody_in(phone: TestClient, body: str) -> None:
    reply = phone.post("/api/door", content=body, headers=HEADERS)
    assert reply.status_code in (400, 403)
    assert "set-cookie" not in reply.headers


def test_other_methods_are_refused(phone: TestClient) -> None:
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"):
        assert phone.request(method, "/outdoors/").status_code == 405


def test_when_another_garden_is_opened_phones_reach_nothing(phone: TestClient, desk: Desk, tmp_path: Path) -> None:
    from quincunx.store import Store
    from tests.board.garden import small

    assert enter(phone, PHRASE) == 200
    other = tmp_path / "other.quincunx"
    Store.create(other, small(name="Secret green")).close()
    desk.open(other)
    reply = phone.get("/api/outdoors/pack")
    assert reply.status_code == 410
    assert "Secret" not in reply.text


def test_it_is_off_until_asked_for_and_says_what_it_opens(window: Window) -> None:
    told = window.get("/api/outdoors/sharing")
    assert not told["on"]
    assert told["opens"] == OPENS
    assert "phrase" not in told
    assert window.post("/api/outdoors/sharing", {"hours": 100}, 422)["error"]
    assert window.post("/api/outdoors/sharing/end")["on"] is False


def call(host: str, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, str]:
    line = http.client.HTTPConnection(host, timeout=20)
    try:
        line.request(method, path, None if body is None else json.dumps(body), headers)
        reply = line.getresponse()
        return reply.status, reply.read().decode()
    finally:
        line.close()


def test_a_real_door_opens_shuts_and_leaves_the_port(desk: Desk, file: Path) -> None:
    sharing = share(desk, desk.session, 1.0, "127.0.0.1")
    assert sharing.host == f"127.0.0.1:{usual_share_port(file)}"
    until(lambda: call(sharing.host, "GET", "/outdoors/")[0] == 200)
    assert call(sharing.host, "GET", "/api/outdoors/pack")[0] == 401
    origin = {"origin": f"http://{sharing.host}", "x-quincunx": "1", "content-type": "application/json"}
    assert call(sharing.host, "POST", "/api/door", {"phrase": sharing.door.phrase}, **origin)[0] == 200
    assert sharing.door.phones == 1
    first, key = sharing.host, sharing.door.phrase
    again = share(desk, desk.session, 1.0, "127.0.0.1")
    assert again.door.phrase != key
    until(lambda: not sharing.on)
    desk.close()
    assert not again.on
    until(lambda: not again._thread.is_alive())
    with pytest.raises(OSError, match=r"refused|reset"):
        call(first, "GET", "/outdoors/")


def test_five_wrong_phrases_over_the_wire_end_it(desk: Desk) -> None:
    sharing = share(desk, desk.session, 1.0, "127.0.0.1")
    until(lambda: call(sharing.host, "GET", "/outdoors/")[0] == 200)
    origin = {"origin": f"http://{sharing.host}", "x-quincunx": "1", "content-type": "application/json"}
    began = time.monotonic()
    assert call(sharing.host, "POST", "/api/door", {"phrase": "no"}, **origin)[0] == 403
    assert call(sharing.host, "POST", "/api/door", {"phrase": sharing.door.phrase}, **origin)[0] == 429
    sharing.door._deaf_until = 0.0
    for _ in range(3):
        call(sharing.host, "POST", "/api/door", {"phrase": "no"}, **origin)
        sharing.door._deaf_until = 0.0
    status, words = call(sharing.host, "POST", "/api/door", {"phrase": "no"}, **origin)
    assert status == 410
    assert "sharing has ended" in words
    assert not sharing.on
    assert time.monotonic() - began < 60
    until(lambda: not sharing._thread.is_alive())


def test_the_address_is_of_a_private_network_or_none() -> None:
    found = home_address()
    assert found is None or not found.startswith("127.")


def test_the_phrase_for_whoever_helps_lets_in_without_a_price(desk: Desk, clock: Clock) -> None:
    door = Door(PHRASE, 3600.0, clock, to_help="acorn basin cider drum")
    app = make_share_app(desk, desk.session, door, HOST)
    shown: dict[str, tuple[str, str]] = {}
    for phrase in (PHRASE, "acorn basin cider drum"):
        one = TestClient(app, base_url=ORIGIN, follow_redirects=False)
        assert enter(one, phrase) == 200
        pack = one.get("/api/outdoors/pack")
        note = {
            "id": f"n{len(shown):023d}", "made": f"2027-04-03T10:0{len(shown)}:00Z", "day": "2027-04-03", "what": "ticked",
            "about": "plant-hedge", "points": [pack.json()["jobs"][0]["lists"][0]["items"][0]["id"]], "text": "whips, £90", "phone": "x",
        }  # fmt: skip
        body = {"format": FORMAT, "mark": pack.json()["mark"], "garden": "x", "notes": [note]}
        assert one.post("/api/outdoors/notes", content=json.dumps(body), headers=HEADERS).status_code == 200
        shown[phrase] = (pack.text, one.get("/api/outdoors/together").text)
    (whole, talk), (without, quiet) = shown.values()
    assert "£90" in whole
    assert "£90" in talk
    assert not re.search(r"£\s?\d", without), "the sign alone says what a sum that is entered is written with"
    assert "£" not in quiet
    assert not door.shows_money("x")
    assert not door.shows_money(None)
    clock.at += 3601
    assert not door.shows_money(next(iter(door._keys)))


def test_no_phrase_for_help_lets_nobody_in(door: Door) -> None:
    assert door.to_help == ""
    assert door.enter("")[0] == "wrong", "an empty one opens nothing"


def test_prices_can_be_taken_from_the_phones_that_are_in(desk: Desk, clock: Clock) -> None:
    helps = "acorn basin cider drum"
    door = Door(PHRASE, 3600.0, clock, to_help=helps)
    app = make_share_app(desk, desk.session, door, HOST)
    one, other = (TestClient(app, base_url=ORIGIN, follow_redirects=False) for _ in range(2))
    assert [enter(one, PHRASE), enter(other, helps)] == [200, 200]
    assert (door.phones, door.with_prices) == (2, 1)
    assert "£90" in one.get("/api/outdoors/pack").text
    assert one.get("/api/outdoors/together").json()["money"] is True
    door.take_prices()
    assert (door.phones, door.with_prices) == (2, 0)
    assert door.phrase != PHRASE
    for phone in (one, other):
        assert "£90" not in phone.get("/api/outdoors/pack").text, "it goes on, as a helper's"
        assert phone.get("/api/outdoors/together").json()["money"] is False
    assert enter(one, PHRASE) == 403, "the old phrase opens nothing any more"
    clock.at += 3
    assert enter(one, door.phrase) == 200
    assert "£90" in one.get("/api/outdoors/pack").text
    assert (door.phones, door.with_prices, door.to_help) == (2, 1, helps), (
        "the phone has its new key in place of its old one"
    )


def test_no_prices_are_taken_while_nothing_is_shared(window: Window) -> None:
    assert "Nothing is shared" in window.post("/api/outdoors/sharing/prices", {}, 409)["error"]
