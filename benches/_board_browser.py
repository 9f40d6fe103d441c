"""The board in a real browser: what a person waits for while dragging, and how long a frame takes."""

from __future__ import annotations

import math
import os
import shutil
import time
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    Say = Callable[[str], None]

FLAGS = ["--disable-gpu", "--no-sandbox", "--force-color-profile=srgb"]
"""Frames are painted by the processor, as where there is no graphics card."""
WAIT_MS = 60_000.0
LOOK_MS = 25.0
"""How often is looked whether all is fresh; waiting by frames would have the page draw them [ms]."""
TRIES, TAKEN_MS = 10, 4_000.0
"""How often a handle is tried, and how long is waited until the page asks what a pull means."""
SLIDE_S = 3.0
FAR_M, SWING_M = 1.0, 0.5
"""Where a handle is pulled to: so far from its place, and round about there [m]."""

WATCH = """
(() => {
  const seen = { id: '', window: '', moved: 0, left: null, done: 0, first: 0, frames: [], watching: false };
  window.__seen = seen;
  document.addEventListener('pointermove', () => { seen.moved = performance.now(); }, true);
  // A verdict counts once it is drawn: a message posted while a frame is made ready comes when that frame is drawn.
  // Asking for a second frame instead would have the page draw one more for each answer.
  const after = (then) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => { port1.close(); then(); };
    port2.postMessage(0);
  });
  const drawn = (told) => after(() => {
    // A reply that is read later than the event after it must not bring back what was left before.
    seen.left = seen.left === null ? told.left : Math.min(seen.left, told.left);
    seen.done = performance.now();
  });
  // The page may hold back what is not all yet: the first verdict counts once the table of years is changed and drawn.
  seen.mark = () => new MutationObserver(() => {
    if (!seen.first) after(() => { seen.first ||= performance.now(); });
  }).observe(document.querySelector('table'), { subtree: true, childList: true, characterData: true, attributes: true });
  const plain = window.fetch;
  window.fetch = async (...words) => {
    const drag = String(words[0]).includes('/api/drag');
    if (drag) ({ id: seen.id, window: seen.window } = JSON.parse(words[1].body));
    const reply = await plain(...words);
    if (drag) void reply.clone().json().then((told) => drawn(told));
    return reply;
  };
  const Source = window.EventSource;
  window.EventSource = class extends Source {
    constructor(...words) {
      super(...words);
      this.addEventListener('tried', (e) => {
        const told = JSON.parse(e.data);
        if (told.window === seen.window) drawn(told);
      });
    }
  };
  // Frames are asked for only while they are counted: a page that nobody touches draws none.
  let last = 0;
  const frame = (now) => {
    if (!seen.watching) return;
    if (last) seen.frames.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  seen.watch = () => { seen.frames = []; seen.watching = true; last = 0; requestAnimationFrame(frame); };
})()
"""


def browser_program() -> str | None:
    """Return Chromium's program, or None."""
    return os.environ.get("QUINCUNX_CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")


def in_browser(
    address: str, cookie: str, things: list[dict[str, Any]], year: int, pulls: int, say: Say
) -> dict[str, Any] | str:
    """Drag ``things`` (id, handle, at) by their handles; return milliseconds, or a sentence that says what is missing."""
    return _with_page(address, cookie, lambda page: _measured(page, address, things, year, pulls, say))


def looked_at(address: str, cookie: str, say: Say) -> dict[str, Any] | str:
    """Open a garden, slide and zoom its sheet; return seconds until it is drawn and milliseconds between frames."""
    return _with_page(address, cookie, lambda page: _looked_at(page, address, say))


def _with_page(address: str, cookie: str, run: Callable[[Page], dict[str, Any]]) -> dict[str, Any] | str:
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        return "No browser part: Playwright is not installed (./run test lays it out)."
    program = browser_program()
    if program is None:
        return "No browser part: no Chromium found (on Debian: apt-get install chromium), or set QUINCUNX_CHROMIUM."
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program, args=FLAGS)
        try:
            context = browser.new_context(viewport={"width": 1440, "height": 900})
            name, _, value = cookie.partition("=")
            context.add_cookies([{"name": name, "value": value, "url": address}])
            return run(context.new_page())
        finally:
            browser.close()


def _opened(page: Page, address: str) -> None:
    page.set_default_timeout(WAIT_MS)
    page.add_init_script(WATCH)
    page.goto(address)
    page.get_by_role("application").wait_for()
    page.wait_for_function("() => Number(document.querySelector('[role=application]')?.dataset.scale) > 0")


def _looked_at(page: Page, address: str, say: Say) -> dict[str, Any]:
    began = time.monotonic()
    _opened(page, address)
    shown = time.monotonic() - began
    say(f"in the browser, shown after {shown:.2f} s")
    box = page.get_by_role("application").bounding_box()
    if box is None:
        raise SystemExit("the sheet is not on the page")
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.evaluate("() => window.__seen.watch()")
    end, k = time.monotonic() + SLIDE_S, 0
    while time.monotonic() < end:
        if k % 2:
            page.mouse.wheel(0, 60 if k % 4 == 1 else -60)
        else:
            page.get_by_role("application").press("ArrowLeft" if k % 4 else "ArrowRight")
        k += 1
    page.evaluate("() => { window.__seen.watching = false; }")
    return {"shown_s": shown, "frame_ms": [float(v) for v in page.evaluate("() => window.__seen.frames")]}


def _measured(
    page: Page, address: str, things: list[dict[str, Any]], year: int, pulls: int, say: Say
) -> dict[str, Any]:
    _opened(page, address)
    page.get_by_role("button", name=str(year)).first.click()
    page.evaluate("() => window.__seen.mark()")
    fresh: list[float] = []
    soonest: list[float] = []
    firsts: list[float] = []
    frames: list[float] = []
    for thing in things:
        own, soon = _drag(page, thing, pulls)
        soonest += soon
        firsts.append(own[0])
        fresh += own[1:]
        say(f"in the browser, {thing['id']}: {', '.join(f'{v:.0f}' for v in own[1:])} ms")
        frames += _frames(page, thing, min(2.0, pulls / 2))
    return {"fresh_ms": fresh, "first_ms": firsts, "soonest_ms": soonest, "frame_ms": frames}


def place(page: Page, at: list[float]) -> tuple[float, float]:
    """Return where a place of the ground [m] lies in the window [px]."""
    sheet = page.get_by_role("application")
    box = sheet.bounding_box()
    if box is None:
        raise SystemExit("the sheet is not on the page")
    scale, mx, my = (float(sheet.get_attribute(f"data-{n}") or "nan") for n in ("scale", "x", "y"))
    return box["x"] + box["width"] / 2 + (at[0] - mx) * scale, box["y"] + box["height"] / 2 - (at[1] - my) * scale


def _take(page: Page, thing: dict[str, Any]) -> None:
    """Choose a thing, take hold of its handle and pull it away; again if the page had not shown the handle yet."""
    from playwright.sync_api import TimeoutError as TooLate

    x, y = thing["at"]
    for _ in range(TRIES):
        page.mouse.click(*place(page, thing["middle"]))
        page.wait_for_timeout(200)
        page.evaluate("() => { window.__seen.id = ''; window.__seen.left = null; }")
        page.mouse.move(*place(page, thing["at"]))
        page.mouse.down()
        page.mouse.move(*place(page, [x - FAR_M, y]))  # so that the first pull finds it in hand
        try:
            page.wait_for_function("id => window.__seen.id === id", arg=thing["id"], timeout=TAKEN_MS)
        except TooLate:
            _let_go(page)
        else:
            return
    raise SystemExit(f"the browser could not take hold of {thing['id']}")


def _let_go(page: Page) -> None:
    """Leave everything as it was."""
    page.keyboard.press("Escape")
    page.mouse.up()
    page.wait_for_timeout(300)


def _drag(page: Page, thing: dict[str, Any], pulls: int) -> tuple[list[float], list[float]]:
    """Pull step by step, each once the last is answered; return milliseconds from the pointer to verdicts drawn.

    To all of them, the first pull too; and to the first fresh one of any must that is touched.
    """
    _take(page, thing)
    page.wait_for_function("() => window.__seen.left === 0", timeout=WAIT_MS, polling=LOOK_MS)
    out = [float(page.evaluate("() => window.__seen.done - window.__seen.moved"))]
    x, y = thing["at"]
    soon = []
    for k in range(pulls):
        page.evaluate("() => { window.__seen.left = null; window.__seen.first = 0; }")
        page.mouse.move(*place(page, [x - FAR_M + SWING_M * math.sin(k * 1.3), y + SWING_M * math.cos(k * 1.3)]))
        page.wait_for_function("() => window.__seen.left === 0", timeout=WAIT_MS, polling=LOOK_MS)
        if (held := page.evaluate("() => window.__seen.id")) != thing["id"]:
            raise SystemExit(f"the browser took hold of {held} instead of {thing['id']}")
        out.append(float(page.evaluate("() => window.__seen.done - window.__seen.moved")))
        soon.append(float(page.evaluate("() => (window.__seen.first || window.__seen.done) - window.__seen.moved")))
    _let_go(page)
    return out, soon


def _frames(page: Page, thing: dict[str, Any], seconds: float) -> list[float]:
    """Drag without waiting for anything; return the milliseconds between frames."""
    _take(page, thing)
    page.evaluate("() => window.__seen.watch()")
    x, y = thing["at"]
    end, k = time.monotonic() + seconds, 0
    while time.monotonic() < end:
        page.mouse.move(*place(page, [x - FAR_M + SWING_M * math.sin(k / 9), y + SWING_M * math.cos(k / 9)]))
        k += 1
    page.evaluate("() => { window.__seen.watching = false; }")
    _let_go(page)
    return [float(v) for v in page.evaluate("() => window.__seen.frames")]
