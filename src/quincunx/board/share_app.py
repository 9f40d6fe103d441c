"""What a phone on the home network can reach: the page for outdoors, the pack of one garden with its pictures, and handing notes back.

Nothing else is routed here at all: no other garden, no file, no edit, no way to the drawing board.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import ClientDisconnect, Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from quincunx.board.answering import answered
from quincunx.board.ask import Ask
from quincunx.board.desk import Desk
from quincunx.board.guard import NOTES_BYTES, SAFE, STRANGE, TooLarge, cookie_of, dressed, limited, too_large
from quincunx.board.replies import Refused, answer, json_of
from quincunx.board.session import Session
from quincunx.board.share_door import Door
from quincunx.board.static import page

PARTS = ("page.js", "index.css", "faces.css")
FACES = ("SourceSans3-Regular.ttf", "SourceSans3-Semibold.ttf", "SourceSans3-Bold.ttf")
KEPT = "private, max-age=1209600"
"""A phone keeps the page for two weeks, so that it opens without a signal; it holds nothing of the garden."""
DOOR_BYTES = 2000


class ShareGuard:
    """The gate before the few routes there are."""

    def __init__(self, app: ASGIApp, door: Door, host: str) -> None:
        """Stand before ``app``; ``host`` is the only name this is called by."""
        self.app, self.door, self.host = app, door, host

    @property
    def cookie_name(self) -> str:
        """Return the name of the key's cookie."""
        return _cookie(self.host)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in or say why not."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        out = dressed(send)
        refused = self._refuse(scope, Headers(scope=scope))
        if refused is not None:
            await refused(scope, receive, out)
            return
        await self.app(scope, limited(receive, _limit(scope["path"])), out)

    def _refuse(self, scope: Scope, headers: Headers) -> Response | None:
        if headers.get("host", "").lower() != self.host or len(headers.getlist("host")) != 1:
            return _no(403, "This address is not the one that was shared.")
        raw = scope.get("raw_path") or scope["path"].encode()
        if STRANGE.search(raw.partition(b"?")[0]) or scope["query_string"]:
            return _no(400, "That is not a path here.")
        if scope["method"] not in SAFE and scope["method"] != "POST":
            return _no(405, "That can't be done here.")
        if self.door.left_s <= 0.0:
            return _no(410, "Sharing has ended. What you entered is kept on this phone; hand it back the next time.")
        if scope["method"] == "POST":
            refused = self._unsafe(scope, headers)
            if refused is not None:
                return refused
        closed = scope["path"].startswith("/api/") and scope["path"] != "/api/door"
        if closed and not self.door.knows(cookie_of(headers, self.cookie_name)):
            return _no(401, "Enter the pass phrase that the board shows.")
        return None

    def _unsafe(self, scope: Scope, headers: Headers) -> Response | None:
        # Browsers send no Sec-Fetch-Site to a plain address of the network, but always the Origin with a POST.
        if headers.get("origin", "").lower() != f"http://{self.host}" or headers.get("x-quincunx") != "1":
            return _no(403, "Another page asked for this. It was refused.")
        if headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
            return _no(415, "What is sent must be JSON.")
        length = headers.get("content-length", "0")
        limit = _limit(scope["path"])
        return None if length.isdecimal() and int(length) <= limit else too_large(limit)


def _cookie(host: str) -> str:
    return f"outdoors-{host.rpartition(':')[2]}"


def _limit(path: str) -> int:
    return DOOR_BYTES if path == "/api/door" else NOTES_BYTES


def _no(status: int, sentence: str) -> Response:
    return answer({"error": sentence, "faults": []}, status)


def make_share_app(desk: Desk, session: Session, door: Door, host: str) -> ASGIApp:
    """Return the server for phones: one garden's ``session`` behind ``door``, called ``host`` and nothing else."""

    def shown(whole: str, to_help: str) -> Callable[[Request], Awaitable[Response]]:
        every, without = _of(desk, session, whole), _of(desk, session, to_help)

        async def handle(request: Request) -> Response:
            key = cookie_of(request.headers, _cookie(host))
            return await (every if door.shows_money(key) else without)(request)

        return handle

    routes = [
        Route("/", lambda _request: RedirectResponse("/outdoors/", 303)),
        Route("/outdoors/", _kept("outdoors/index.html")),
        *(Route(f"/outdoors/{name}", _kept(f"outdoors/{name}")) for name in PARTS),
        *(Route(f"/fonts/{name}", _kept(f"fonts/{name}")) for name in FACES),
        Route("/api/door", _enter(door, _cookie(host)), methods=["POST"]),
        Route("/api/outdoors/pack", shown("outdoors:pack", "outdoors:pack_to_help"), methods=["GET"]),
        Route("/api/outdoors/together", shown("outdoors:together", "outdoors:together_to_help"), methods=["GET"]),
        Route("/api/outdoors/day/{day}", _of(desk, session, "day_done:day"), methods=["GET"]),
        Route("/api/outdoors/notes", _of(desk, session, "outdoors:notes"), methods=["POST"]),
        Route("/api/outdoors/views/{name}/{at}/{when}", _of(desk, session, "with_without:views"), methods=["GET"]),
        Route("/api/outdoors/views/{name}/{at}", _of(desk, session, "with_without:views"), methods=["GET"]),
        Route("/api/outdoors/views/{name}", _of(desk, session, "with_without:views"), methods=["GET"]),
        Route("/{rest:path}", lambda _request: _no(404, "There is nothing here."), methods=["GET", "POST"]),
    ]
    return ShareGuard(Starlette(routes=routes), door, host)


def _kept(name: str) -> Callable[[Request], Response]:
    def handle(request: Request) -> Response:
        request.scope["path_params"] = {"name": name}
        reply = page(request)
        reply.headers["cache-control"] = KEPT
        return reply

    return handle


def _enter(door: Door, cookie: str) -> Callable[[Request], Awaitable[Response]]:
    async def handle(request: Request) -> Response:
        try:
            body = json_of(await request.body())
        except Refused as error:
            return _no(error.status, error.sentence)
        except TooLarge:
            return too_large(DOOR_BYTES)
        given = body.get("phrase") if isinstance(body, dict) else None
        came, key = door.enter(given if isinstance(given, str) else "", cookie_of(request.headers, cookie))
        if came == "in":
            reply = answer({"ok": True})
            reply.set_cookie(cookie, key, max_age=max(1, int(door.left_s)), httponly=True, samesite="strict", path="/")
            return reply
        if came == "shut":
            return _no(410, "That was wrong once too often: sharing has ended. Turn it on again at the board.")
        if came == "wait":
            return _no(429, f"Wait {door.wait_s:.0f} seconds, then try again.")
        return _no(
            403, "That is not the pass phrase. Read it off the board; each wrong one makes the next wait longer."
        )

    return handle


def _of(desk: Desk, session: Session, name: str) -> Callable[[Request], Awaitable[Response]]:
    async def handle(request: Request) -> Response:
        try:
            raw = await request.body()
        except ClientDisconnect:
            return Response(status_code=400)
        except TooLarge:
            return too_large(NOTES_BYTES)
        if desk.open_one() is not session:
            return _no(410, "Another garden is open at the board now: sharing has ended.")
        return await run_in_threadpool(answered, name, Ask(desk, {}, request.path_params, raw))

    return handle
