"""What is let in: this machine's own browser window, with its cookie, asking for things by plain paths.

Loopback alone is no boundary: any page in the same browser can send requests to it.  So four checks, each covering
another's gap: the Host is one of this machine's names with this port; unsafe requests come from this origin and say
so in a header that no form can send; a token used once is exchanged for a cookie that scripts can't read; nothing
is shared with other origins.
"""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass, field
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from quincunx.board.replies import answer

EDIT_BYTES = 1024 * 1024
"""The largest body of most requests [bytes]."""
IMPORT_BYTES = 32 * 1024 * 1024
"""The largest garden brought in as text [bytes]."""
NOTES_BYTES = 12 * 1024 * 1024
"""The largest hand-over from outdoors, pictures and all [bytes]."""
LARGE_BODIES = {
    "/api/import": IMPORT_BYTES,
    "/api/take-in": IMPORT_BYTES,
    "/api/points": IMPORT_BYTES,
    "/api/outdoors/notes": NOTES_BYTES,
    "/api/pictures": NOTES_BYTES,
    "/api/new": NOTES_BYTES,
    "/api/foot/stills": NOTES_BYTES,
}
COOKIE_S = 30 * 24 * 3600
"""How long a browser keeps the cookie [s]; it is worth nothing once this program has ended."""
SAFE = frozenset({"GET", "HEAD"})

STRANGE = re.compile(rb"%2e|%2f|%5c|%00|\\|//|/\.{1,2}(?:/|$)|[\x00-\x20\x7f]", re.IGNORECASE)
_QUERY_MOST = 4096

CONTENT_POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; worker-src 'self'; frame-src 'self'; object-src 'none'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""Nothing from elsewhere and no script or style sheet written into the page."""

HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), camera=(), payment=(), usb=()",
}


@dataclass
class Keys:
    """The launch token, good once, and the cookie it is exchanged for; both are made anew at each start."""

    port: int
    token: str | None = field(default_factory=lambda: secrets.token_urlsafe(32))
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    @property
    def cookie_name(self) -> str:
        """Return the cookie's name: cookies don't tell ports apart, so the name does."""
        return f"quincunx-{self.port}"

    @property
    def hosts(self) -> frozenset[str]:
        """Return the Host headers that name this server."""
        return frozenset(f"{name}:{self.port}" for name in ("127.0.0.1", "localhost", "[::1]"))

    def exchange(self, given: str) -> bool:
        """Return whether ``given`` is the launch token, and use it up if so."""
        if self.token is None or not secrets.compare_digest(given.encode(), self.token.encode()):
            return False
        self.token = None
        return True

    def knows(self, given: str | None) -> bool:
        """Return whether ``given`` is the cookie."""
        return given is not None and secrets.compare_digest(given.encode(), self.cookie.encode())


class TooLarge(Exception):
    """A body ran past its limit."""


def limit_of(path: str) -> int:
    """Return the largest body a path takes [bytes]."""
    return LARGE_BODIES.get(path, EDIT_BYTES)


class Guard:
    """The gate before every route."""

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        """Stand before ``app`` with ``keys``."""
        self.app, self.keys = app, keys

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in or say why not; every answer carries the safe headers."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        out = dressed(send)
        refused = self._refuse(scope, headers)
        if refused is not None:
            await refused(scope, receive, out)
            return
        await self.app(scope, limited(receive, limit_of(scope["path"])), out)

    def _refuse(self, scope: Scope, headers: Headers) -> Response | None:
        """Return the refusal, or the answer to a launch token; None lets the request in."""
        if headers.get("host", "").lower() not in self.keys.hosts or len(headers.getlist("host")) != 1:
            return _no(403, "This address is not the one the program gave. Open the address it printed.")
        raw = scope.get("raw_path") or scope["path"].encode()
        if STRANGE.search(raw.partition(b"?")[0]) or len(scope["query_string"]) > _QUERY_MOST:
            return _no(400, "That is not a path here.")
        if scope["method"] not in SAFE and scope["method"] != "POST":
            return _no(405, "That can't be done here.")
        if scope["path"].startswith("/api/") and headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            return _no(403, "Another page asked for this. It was refused.")
        if scope["method"] not in SAFE:
            refused = self._unsafe(scope, headers)
            if refused is not None:
                return refused
        return self._who(scope, headers)

    def _unsafe(self, scope: Scope, headers: Headers) -> Response | None:
        """Return the refusal of a request that changes something and doesn't come from our own page."""
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        ours = {f"http://{host}" for host in self.keys.hosts}
        if origin is not None and origin.lower() not in ours:
            return _no(403, "Another page asked for this. It was refused.")
        if site is not None and site != "same-origin":
            return _no(403, "Another page asked for this. It was refused.")
        if origin is None and site is None:
            return _no(403, "The request does not say which page it comes from. It was refused.")
        if headers.get("x-quincunx") != "1":
            return _no(403, "The request is not from the drawing board. It was refused.")
        if headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
            return _no(415, "What is sent must be JSON.")
        limit = limit_of(scope["path"])
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > limit:
            return too_large(limit)
        return None

    def _who(self, scope: Scope, headers: Headers) -> Response | None:
        """Return the refusal of a window without the cookie, or the cookie in exchange for the launch token."""
        known = self.keys.knows(cookie_of(headers, self.keys.cookie_name))
        tokens = parse_qs(scope["query_string"].decode("latin-1")).get("token", [])
        if scope["path"] == "/" and tokens and scope["method"] == "GET":
            early = "prefetch" in headers.get("sec-purpose", "") + headers.get("purpose", "")
            if not early and (self.keys.exchange(tokens[0]) or known):
                return self._welcome()
            return _stranger()
        if known:
            return None
        return (
            _no(403, "This window does not belong to the running program.")
            if scope["path"].startswith("/api/")
            else _stranger()
        )

    def _welcome(self) -> Response:
        reply = RedirectResponse("/", 303)
        reply.set_cookie(
            self.keys.cookie_name, self.keys.cookie, max_age=COOKIE_S, httponly=True, samesite="strict", path="/"
        )
        reply.headers["cache-control"] = "no-store"
        return reply


def cookie_of(headers: Headers, name: str) -> str | None:
    """Return the cookie called ``name``; None if there is none."""
    for line in headers.getlist("cookie"):
        for part in line.split(";"):
            key, _, value = part.strip().partition("=")
            if key == name:
                return value
    return None


def dressed(send: Send) -> Send:
    """Return ``send`` that adds the safe headers where the answer has none of its own."""

    async def wrapped(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return wrapped


def limited(receive: Receive, limit: int) -> Receive:
    """Return ``receive`` that raises :class:`TooLarge` once more than ``limit`` bytes have come, declared or not."""
    got = 0

    async def wrapped() -> Message:
        nonlocal got
        message = await receive()
        if message["type"] == "http.request":
            got += len(message.get("body", b""))
            if got > limit:
                raise TooLarge
        return message

    return wrapped


def _no(status: int, sentence: str) -> Response:
    return answer({"error": sentence, "faults": []}, status)


def too_large(limit: int) -> Response:
    """Return the refusal of a body that runs past ``limit`` [bytes]; the connection ends, unread."""
    reply = _no(413, f"That is too large: at most {limit / 1024 / 1024:.0f} MB can be sent here. Nothing was changed.")
    reply.headers["connection"] = "close"
    return reply


def _stranger() -> Response:
    page = (
        "<!doctype html><html lang=en><meta charset=utf-8><title>Quincunx</title>"
        "<h1>This window is not known</h1>"
        "<p>The address that the program printed works once. If this browser used it already, <a href=/>go to the garden</a>."
        "<p>Otherwise stop the program with Ctrl-C and start it again: it prints a new address. Nothing you saved is lost."
    )
    return HTMLResponse(page, 403)
