"""The real program behind a real browser: what is typed on the page ends in the file."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import platformdirs
import pytest

from tests.board_ui.board_page import BoardPage

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).resolve().parents[2]
SIZES = {1440: 900, 390: 844}
SOON_S = 60.0
CACHE = os.environ.get("QUINCUNX_CACHE") or platformdirs.user_cache_dir("quincunx", appauthor=False)
"""Where set-up left what it compiled, so that no program compiles it again in its own home."""


FOLLOWS = """
import os, pathlib, threading, time

def follow():
    while True:
        day = pathlib.Path("day").read_text() if pathlib.Path("day").exists() else ""
        os.environ["QUINCUNX_TODAY"] = day or os.environ["QUINCUNX_TODAY"]
        time.sleep(0.05)

threading.Thread(target=follow, daemon=True).start()
"""
"""Has a program go by the day that is written in its home, while it runs."""


@dataclass
class Program:
    """One running program, its address and every address its page asked for."""

    home: Path
    process: subprocess.Popen[str] | None = None
    address: str = ""
    asked: list[str] = field(default_factory=list)

    def start(self, file: Path | None = None, *, warm: bool = False) -> str:
        """Start it, on a file or the start page; return the address with its launch token.

        ``warm`` loads all engines beside, as the program does by itself; most stories need few, loaded as they are asked.
        """
        own = {
            "QUINCUNX_DATA": str(self.home / "data"),
            "HOME": str(self.home),
            "QUINCUNX_CACHE": str(CACHE),
            "QUINCUNX_ANSWERS": "",
        }
        env = {**os.environ, **own, "PYTHONUNBUFFERED": "1"}
        given = f"Path({str(file)!r})" if file else None
        call = f"from pathlib import Path; from quincunx.board import launch; launch.run({given}, show=False)"
        if not warm:
            call = call.replace("launch.run", "launch._warm = lambda desk: None; launch.run")
        words = [sys.executable, "-c", FOLLOWS + call]
        self.process = subprocess.Popen(words, cwd=self.home, env=env, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        for line in self.process.stdout:
            found = re.search(r"http://\S+", line)
            if found:
                self.address = found[0]
                return self.address
        raise AssertionError("the program said no address")

    def turns(self, day: str) -> None:
        """Let it be another day (2028-07-01) for the program that runs, or for the one that is started next."""
        new = self.home / "new-day"
        new.write_text(day)
        new.replace(self.home / "day")

    def kill(self) -> None:
        """Kill it as a power cut would."""
        if self.process is not None:
            with self.process:
                self.process.kill()
            self.process = None


def soon(found: Callable[[], Any], wanted: Any) -> None:
    """Wait until what is found (in the file, say) is what is wanted; it fails with what was found last."""
    end = time.monotonic() + SOON_S
    while found() != wanted and time.monotonic() < end:
        time.sleep(0.05)
    assert found() == wanted


@pytest.fixture
def program(tmp_path: Path) -> Iterator[Program]:
    """The program, killed at the end."""
    one = Program(tmp_path)
    yield one
    one.kill()


@pytest.fixture
def page(browser: Browser, program: Program) -> Iterator[Callable[..., Page]]:
    """Open the program's page: ``page(width=390)``; faults of its code and addresses beyond the machine fail the test."""
    contexts, faults = [], []

    def go(address: str, *, width: int = 1440, touch: bool = False) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": SIZES[width]}, has_touch=touch, accept_downloads=True
        )
        contexts.append(context)
        shown = context.new_page()
        shown.set_default_timeout(20_000)
        shown.clock.set_fixed_time(f"{os.environ['QUINCUNX_TODAY']}T12:00:00")
        shown.on("pageerror", lambda error: faults.append(str(error)))
        shown.on("request", lambda request: program.asked.append(request.url))
        shown.goto(address)
        return shown

    yield go
    for context in contexts:
        context.close()
    assert faults == []
    beyond = [url for url in program.asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:"))]
    assert beyond == []


@pytest.fixture
def board_of() -> Callable[[Page], BoardPage]:
    """The words and hands of someone at the board, on a page."""
    return BoardPage


@pytest.fixture
def context(browser: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Yield what opens another browser of its own; all are closed after the test."""
    made: list[BrowserContext] = []

    def one(**how: Any) -> BrowserContext:
        made.append(browser.new_context(**how))
        return made[-1]

    yield one
    for each in made:
        each.close()
