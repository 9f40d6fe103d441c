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

from playwright.sync_api import Error as PlaywrightError, Page, sync_playwright

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
    """A demonstration garden on the board, judged; opened unless it is open already."""
    name_of = page.get_by_title("To the start page")
    page.get_by_text("A new garden").or_(name_of).first.wait_for(timeout=WAIT_MS)
    if not name_of.count() or name_of.inner_text().strip() != name:
        if name_of.count():
            name_of.click()
        page.get_by_role("button", name=re.compile(f"^{name} A")).click()
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


def beside_years(side: str) -> Callable[[Page], None]:
    """What stands beside the years."""

    def go(page: Page) -> None:
        tab("Years")(page)
        page.get_by_role("button", name=side, exact=True).click()
        page.wait_for_timeout(2500)
        page.get_by_text("being worked out…").first.wait_for(state="detached", timeout=240_000)

    return go


def towards(page: Page) -> None:
    """How what is seen comes true."""
    tab("On foot")(page)
    page.locator("[data-ready]").wait_for(timeout=WAIT_MS)
    page.get_by_role("button", name="How this view comes true").click()
    page.wait_for_timeout(6000)
    page.get_by_role("button", name="How this view comes true").scroll_into_view_if_needed()


def listed(page: Page) -> None:
    """Several things chosen in the list of what is there."""
    board(page, "Kettle Hill")
    page.get_by_role("button", name="What is there").click()
    page.get_by_role("button", name="Choose several").click()
    for name in ("Apple 1", "Apple 2", "Apple 3"):
        page.get_by_role("listitem").get_by_role("button", name=name).first.click()
    page.wait_for_timeout(500)


def given(page: Page) -> None:
    """What is given: the place and its usual weather, in the person's units."""
    board(page, "Kettle Hill")
    page.get_by_role("button", name="Given", exact=True).click()
    page.get_by_text("The place", exact=True).click()
    page.get_by_text(re.compile("^Climate")).first.click()
    page.wait_for_timeout(500)


def weighed(page: Page) -> None:
    """A held place, its shortlist weighed up."""
    board(page, "Kettle Hill")
    page.get_by_role("button", name="What is there").click()
    page.get_by_label("Find a thing by name").fill("round shelter")
    page.get_by_role("button", name=re.compile("round shelter")).last.click()
    page.get_by_text("Weigh up its shortlist").wait_for()
    page.get_by_role("button", name=re.compile("made, bought or hired")).last.click()
    page.wait_for_timeout(4000)


def side_by_side(page: Page) -> None:
    """Another way of doing it laid beside the first."""
    board(page)
    page.get_by_role("button", name="Past", exact=True).click()
    if not page.get_by_role("button", name="Lay With a pool side by side").count():
        page.get_by_placeholder("Another way of doing it").fill("With a pool")
        page.get_by_role("button", name="Begin it here").click()
    page.get_by_role("button", name="Lay With a pool side by side").click()
    page.wait_for_timeout(5000)


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
    "years": tab("Years"), "on-foot": tab("On foot"), "outdoors": tab("Outdoors"), "chosen": chosen, "sun": sun,
    "what-if": beside_years("What if"), "safe": beside_years("How safe"), "went": beside_years("As it went"), "soon": beside_years("Soon"),
    "towards": towards, "several": listed, "given": given, "weighed": weighed, "side-by-side": side_by_side, "evening": evening,
}  # fmt: skip


def main(out: Path, only: list[str]) -> None:
    """Write every picture, or those of the screens and widths named; what can't be shown is said and left out."""
    widths = {int(w): SIZES[int(w)] for w in only if w.isdigit()} or SIZES
    only = [name for name in only if not name.isdigit()]
    out.mkdir(parents=True, exist_ok=True)
    failed: list[str] = []
    chromium = os.environ.get("QUINCUNX_CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as scratch, served(Path(scratch)) as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
        context = browser.new_context()
        context.new_page().goto(address)
        home = address.partition("?")[0]
        for name, go in SCREENS.items():
            if only and name not in only:
                continue
            for width, height in widths.items():
                page = context.new_page()
                page.set_viewport_size({"width": width, "height": height})
                page.goto(home)
                try:
                    go(page)
                except PlaywrightError as error:
                    failed.append(f"{name}-{width}: {str(error).partition(chr(10))[0]}")
                page.wait_for_timeout(400)
                page.screenshot(path=out / f"{name}-{width}.png")
                page.close()
                print(out / f"{name}-{width}.png")
        browser.close()
    if failed:
        raise SystemExit("These are not as they should be:\n" + "\n".join(failed))


if __name__ == "__main__":
    main(ROOT / "out" / "shots", sys.argv[1:])
