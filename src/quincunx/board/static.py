"""The page and its parts, from the package."""

from __future__ import annotations

import hashlib
import re
from importlib.resources import files
from pathlib import PurePosixPath

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

FOR_EVER = "private, max-age=31536000, immutable"
"""Files under assets/ carry a digest of their content in their names."""
ASK_FIRST = "no-cache"
_TYPES = {
    ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".json": "application/json",
    ".ttf": "font/ttf", ".woff2": "font/woff2", ".png": "image/png", ".ico": "image/x-icon", ".md": "text/plain",
    ".txt": "text/plain", ".webmanifest": "application/manifest+json", ".wasm": "application/wasm",
}  # fmt: skip

_SCRIPT = re.compile(rb'<script type="module"[^>]* src="[./]*(assets/[^"]+)"')

NOT_BUILT = (
    "<!doctype html><html lang=en><meta charset=utf-8><title>Quincunx</title>"
    "<h1>The page has not been built</h1>"
    "<p>The program runs, but its page is missing from this installation. In a source tree, start it with "
    "<code>./run</code>, which builds the page first."
)


def page(request: Request) -> Response:
    """Answer every path outside ``/api``: a file of the page, or the page itself at ``/``."""
    name = request.path_params.get("name") or "index.html"
    name = f"{name}index.html" if name.endswith("/") else name
    found = _read(name)
    if found is None and name == "index.html":
        return HTMLResponse(NOT_BUILT, 503)
    if found is None:
        return Response("There is nothing here.", 404, media_type="text/plain")
    return _sent(request, name, found)


def build() -> str:
    """Return the script of the page as it would be sent now, by which an open page knows whether it is still the newest."""
    found = _SCRIPT.search(_read("index.html") or b"")
    return found[1].decode() if found else ""


def _read(name: str) -> bytes | None:
    """Return a file of the page; only plain names below its folder are looked for."""
    parts = PurePosixPath(name).parts
    if not parts or any(p in ("", ".", "..") or p.startswith(".") or "\\" in p or ":" in p for p in parts):
        return None
    if PurePosixPath(name).suffix not in _TYPES:
        return None
    place = files("quincunx") / "_ui"
    for part in parts:
        place = place / part
    try:
        return place.read_bytes() if place.is_file() else None
    except OSError:
        return None


def _sent(request: Request, name: str, data: bytes) -> Response:
    tag = '"' + hashlib.blake2b(data, digest_size=12).hexdigest() + '"'
    kept = FOR_EVER if name.startswith("assets/") else ASK_FIRST
    headers = {"cache-control": kept, "etag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(data, media_type=_TYPES[PurePosixPath(name).suffix], headers=headers)
