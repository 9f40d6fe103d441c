"""A page that works alone: the outdoors page with its script, its style and one job's pack written into it.

It asks nobody for anything: its own policy lets in no address at all.  What is entered comes back as one small file.
"""

from __future__ import annotations

import base64
import hashlib
import html
import json
from collections.abc import Callable
from importlib.resources import files

from quincunx.board.ask import Ask
from quincunx.board.files import download
from quincunx.board.outdoors import packed
from quincunx.board.replies import Refused
from quincunx.garden import Garden
from quincunx.units.errors import PlainError


class NoPage(PlainError, ValueError):
    """The page can't be made; the sentence says what to do."""


def job_page(garden: Garden, packed: Callable[[list[str]], bytes], jobs: list[str]) -> bytes:
    """Return one HTML page for the ``jobs``, all in it; ``packed`` gives their pack.

    :class:`NoPage` if a job isn't there or the page isn't built.
    """
    known = {j.id: j.name for j in garden.jobs}
    strange = [j for j in jobs if j not in known]
    if strange or not jobs:
        names = ", ".join(sorted(known)) or "none yet"
        raise NoPage(f"There is no job {(strange or [''])[0]!r}. Jobs are: {names}.")
    return written(json.loads(packed(jobs)), " · ".join(known[j] for j in jobs))


def written(pack: object, title: str) -> bytes:
    """Return the page with ``pack`` in it."""
    script, style = _part("page.js"), _part("index.css")
    # "</script" and "<!--" inside a script would end it, or begin a comment.
    script = script.replace("</script", "<\\/script").replace("<!--", "<\\!--")
    data = json.dumps(pack, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; img-src data: blob:;"
        " base-uri 'none'; form-action 'none'"
    )
    page = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">'
        f'<title>{html.escape(title)}</title><style>{style}</style></head><body><div id="app"></div>'
        f'<script type="application/json" id="pack">{data}</script>'
        f'<script type="module">{script}</script></body></html>\n'
    )
    return page.encode()


def _part(name: str) -> str:
    place = files("quincunx") / "_ui" / "outdoors" / name
    if not place.is_file():
        raise NoPage("The page for outdoors has not been built. In a source tree, start the program with ./run.")
    return place.read_text(encoding="utf-8")


def page(ask: Ask) -> object:
    """Answer ``GET /api/outdoors/page/JOB.html``: the page of one job to keep, or several with a comma between."""
    return _page(ask, money=True)


def page_to_help(ask: Ask) -> object:
    """Answer ``GET /api/outdoors/page-to-help/JOB.html``: the same without any price in it."""
    return _page(ask, money=False)


def _page(ask: Ask, *, money: bool) -> object:
    session = ask.session
    names = str(ask.path.get("name", "")).removesuffix(".html").split(",")
    try:
        data = job_page(session.standing().garden, lambda jobs: packed(session, jobs, money=money), names)
    except NoPage as error:
        raise Refused(404, str(error)) from None
    return download(data, f"{'-'.join(names)[:60]}.html", "text/html")
