"""A phone without a signal that shows the page of one job, which works alone."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

from quincunx.board.one_page import job_page
from quincunx.board.outdoors_pack import pack_json
from quincunx.board.replies import encoded
from quincunx.board.standing import Standing
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.store import Store


@contextmanager
def alone(browser: Browser, file: Path, folder: Path, script: str = "", **more: Any) -> Iterator[Page]:
    """Show the levels of the hedge's page in ``folder``, after running a ``script``; no error of the page is passed over."""
    with Store.open(file, keep=False) as store:
        at, mark = Standing.of(store.garden(), {}, store.revision, store.head), store.mark()
    of = prepare(at.garden, through=at.timeline, judged=Review((), ()))
    page_file = folder / "job.html"
    page_file.write_bytes(job_page(at.garden, lambda jobs: encoded(pack_json(of, at, mark, jobs)), ["plant-hedge"]))
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True, accept_downloads=True, **more)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.set_default_timeout(8_000)
    if script:
        page.add_init_script(script)
    page.goto(f"file://{page_file}#/levels")
    yield page
    context.close()
    assert faults == []
