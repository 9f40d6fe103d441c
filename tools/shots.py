"""Pictures of every screen at 1440, 1024, 768 and 390 px: ``./run shots`` writes them into out/shots."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[1]
SIZES = {1440: 900, 1024: 768, 768: 1024, 390: 844}
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
WAIT_MS = 20_000
JUDGED = re.compile(r"^20\d\d: (holds|fails)")
"""A mark of a must that has been judged."""


@contextmanager
def served(scratch: Path) -> Iterator[str]:
    """Serve the start page with a data folder of its own; give its address with the launch token."""
    env = {**os.environ, "QUINCUNX_DATA": str(scratch / "data"), "HOME": str(scratch), "PYTHONUNBUFFERED": "1"}
    words = [sys.executable, "-c", "from quincunx.board import run; run(None, show=False)"]
    with subprocess.Popen(words, cwd=scratch, env=env, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            for line in server.stdout:
                found = re.search(r"http://\S+", line)
                if found:
                    yield found[0]
                    return
            raise SystemExit("shots: the server said no address")
        finally:
            server.kill()


def start(page: Page) -> None:
    """The start page."""
    page.get_by_text("A new garden").first.wait_for()


def new_garden(page: Page) -> None:
    """The first of the six steps."""
    page.get_by_role("button", name="Begin").click()
    page.get_by_label("Steps").wait_for()


def board(page: Page, name: str = "Ropewalk Cottage") -> None:
    """A demonstration garden on the board, judged."""
    page.get_by_role("button", name=name).first.click()
    page.get_by_role("application").wait_for(timeout=WAIT_MS)
    page.get_by_role("button", name=JUDGED).first.wait_for(timeout=60_000)
    page.get_by_text("judging…").wait_for(state="detached", timeout=60_000)
    page.get_by_text("Looking…").first.wait_for(state="detached", timeout=60_000)


def late_year(page: Page) -> None:
    """The sheet in the last year, with a mark's evidence drawn."""
    board(page)
    page.get_by_role("button", name=re.compile(r"^2032: ")).first.click()
    page.get_by_role("button", name=re.compile(r"^2028: fails")).first.click()


def put_in(page: Page) -> None:
    """What can be put in."""
    board(page)
    page.get_by_role("button", name="Put in…").click()


def a_must(page: Page) -> None:
    """A must being made."""
    board(page)
    page.get_by_role("button", name="+ a must").click()


def feet(page: Page) -> None:
    """Who can get where."""
    board(page)
    page.get_by_role("button", name="Feet").click()
    page.wait_for_timeout(2500)


def months(page: Page) -> None:
    """A year opened into its months."""
    board(page)
    page.get_by_role("button", name="Months of 2029").click()


def tab(name: str, garden: str = "Ropewalk Cottage") -> Callable[[Page], None]:
    """Another part of the board."""

    def go(page: Page) -> None:
        board(page, garden)
        page.get_by_role("navigation").get_by_text(name, exact=True).click()
        page.wait_for_timeout(1500)
        page.get_by_text("being worked out…").first.wait_for(state="detached", timeout=240_000)

    return go


def chosen(page: Page) -> None:
    """A thing taken hold of, with what can be done with it."""
    board(page)
    page.get_by_role("application").focus()
    page.keyboard.press("n")
    page.wait_for_timeout(500)


def sun(page: Page) -> None:
    """A field over the sheet."""
    board(page)
    page.get_by_role("button", name="Sun", exact=True).click()
    page.wait_for_timeout(6000)


def evening(page: Page) -> None:
    """The board in its evening colours."""
    board(page)
    dark = page.get_by_role("button", name="Evening colours")
    if dark.count():  # the page remembers it
        dark.click()
    page.wait_for_timeout(300)


def kettle(page: Page) -> None:
    """The garden in feet and inches."""
    board(page, "Kettle Hill")


SCREENS: dict[str, Callable[[Page], None]] = {
    "start": start, "new": new_garden, "board": board, "evidence": late_year, "put-in": put_in, "must": a_must, "feet": feet,
    "months": months,
    "ground": tab("Ground"), "ground-slip": tab("Ground", "Kettle Hill"), "jobs": tab("Jobs"), "papers": tab("Papers"), "kettle": kettle,
    "years": tab("Years"), "on-foot": tab("On foot"), "outdoors": tab("Outdoors"), "chosen": chosen, "sun": sun, "evening": evening,
}  # fmt: skip


def main(out: Path, only: list[str]) -> None:
    """Write every picture, or those of the screens named."""
    out.mkdir(parents=True, exist_ok=True)
    chromium = os.environ.get("QUINCUNX_CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as scratch, served(Path(scratch)) as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
        context = browser.new_context()
        context.new_page().goto(address)
        home = address.partition("?")[0]
        for name, go in SCREENS.items():
            if only and name not in only:
                continue
            for width, height in SIZES.items():
                page = context.new_page()
                page.set_viewport_size({"width": width, "height": height})
                page.goto(home)
                close_garden(page)
                go(page)
                page.wait_for_timeout(400)
                page.screenshot(path=out / f"{name}-{width}.png")
                page.close()
                print(out / f"{name}-{width}.png")
        browser.close()


def close_garden(page: Page) -> None:
    """Go back to the start page if a garden is open."""
    head = "{'X-Quincunx': '1', 'content-type': 'application/json'}"
    page.evaluate(f"() => fetch('/api/close', {{method: 'POST', headers: {head}, body: '{{}}'}}).then(r => r.status)")
    page.reload()


if __name__ == "__main__":
    main(ROOT / "out" / "shots", sys.argv[1:])
