"""Build the page with its stand-in once, and serve it to a real browser from the loopback."""

from __future__ import annotations

import functools
import importlib.util
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.board_ui.board_page import BoardPage
from tests.conftest import PATIENCE_MS

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).resolve().parents[2]
WAIT_S = 110.0
TODAY = "2026-11-28T12:00:00"
"""The day it is for every page: which year a garden opens at must not hang on when the tests run."""
LATE_MS = int(os.environ.get("QUINCUNX_LATE", "0"))
"""How late each answer comes where a story doesn't say [ms]."""
SIZES = {1440: 900, 1024: 768, 768: 1024, 390: 844}


def _builder() -> Any:
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_args: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="session")
def page_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the page with its stand-in."""
    out = _built_once(tmp_path_factory.getbasetemp())
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(out)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def _built_once(own: Path) -> Path:
    """Where the page lies: the first of several processes of tests builds it, the others wait for it."""
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    out, done = shared / "board_ui", shared / "board_ui.built"
    try:
        (shared / "board_ui.begun").mkdir()
    except FileExistsError:
        end = time.monotonic() + WAIT_S
        while not done.exists():
            assert time.monotonic() < end, "the process of tests that builds the page has not done it"
            time.sleep(0.2)
        return out
    _build(out)
    done.touch()
    return out


def _build(out: Path) -> None:
    builder = _builder()
    builder.install(ROOT / "ui")
    npm, env = builder.npm_command()
    words = [
        "exec",
        "--",
        "vite",
        "build",
        "--mode",
        "mock",
        "--outDir",
        str(out),
        "--emptyOutDir",
        "--logLevel",
        "warn",
    ]
    subprocess.run([*npm, *words], cwd=ROOT / "ui", env=env, check=True, stdout=sys.stderr)


@pytest.fixture
def board(browser: Browser, page_address: str) -> Iterator[Callable[..., BoardPage]]:
    """Open the page: ``board(width=390, demo="", touch=True, late=200)``; a fault in the page's own code fails the test.

    With ``late`` every answer comes so many milliseconds late. Stories hold with any: try ``QUINCUNX_LATE=300``.
    """
    contexts, faults = [], []

    def go(
        *, width: int = 1440, demo: str = "ropewalk", touch: bool = False, theme: Any = "light", late: int = LATE_MS
    ) -> BoardPage:
        context = browser.new_context(
            viewport={"width": width, "height": SIZES[width]}, has_touch=touch, color_scheme=theme
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.clock.set_fixed_time(TODAY)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(f"{page_address}?demo={demo}&late={late}")
        page.get_by_role("application" if demo else "heading").first.wait_for()
        return BoardPage(page)

    yield go
    for context in contexts:
        context.close()
    assert faults == []
