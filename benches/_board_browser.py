"""The board in a real browser: what a person waits for while dragging, and how long a frame takes."""

from __future__ import annotations

import json
import math
import os
import shutil
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from _pipe_page import Page, open_page

Say = Callable[[str], None]

WIDE, HIGH = 1440, 900
TRIES, TAKEN_S = 10, 4.0
"""How often a handle is tried, and how long is waited until the page asks what a pull means."""
SHORT_S = 0.3
SHEET = "document.querySelector('[role=application]')"
SLIDE_S = 3.0
FAR_M, SWING_M = 1.0, 0.5
"""Where a handle is pulled to: so far from its place, and round about there [m]."""

WATCH = """
(() => {
  const seen = { id: '', window: '', moved: 0, left: null, done: 0, first: 0, frames: [], watching: false, then: null };
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
    if (seen.left === 0 && seen.then) { seen.then(); seen.then = null; }
  });
  // Who waits is told once: looking again and again would take time from the page.
  seen.fresh = () => seen.left === 0 ? true : new Promise((then) => { seen.then = () => then(true); });
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
    program = browser_program()
    if program is None:
        return "No browser part: no Chromium found (on Debian: apt-get install chromium), or set QUINCUNX_CHROMIUM."
    with open_page(program) as page:
        name, _, value = cookie.partition("=")
        page.cookie(address, name, value)
        return run(page)


def _opened(page: Page, address: str) -> None:
    page.show(address, WIDE, HIGH, WATCH)
    if not page.wait(f"Number({SHEET}?.dataset.scale) > 0"):
        raise SystemExit("the sheet did not come on the page")


def _looked_at(page: Page, address: str, say: Say) -> dict[str, Any]:
    began = time.monotonic()
    _opened(page, address)
    shown = time.monotonic() - began
    say(f"in the browser, shown after {shown:.2f} s")
    x, y, *_ = _sheet(page)
    page.move(x, y)
    page.ask(f"{SHEET}.focus()")
    page.ask("window.__seen.watch()")
    end, k = time.monotonic() + SLIDE_S, 0
    while time.monotonic() < end:
        if k % 2:
            page.wheel(x, y, 60 if k % 4 == 1 else -60)
        else:
            page.key("ArrowLeft" if k % 4 else "ArrowRight")
        k += 1
    page.ask("void (window.__seen.watching = false)")
    return {"shown_s": shown, "frame_ms": [float(v) for v in page.ask("window.__seen.frames")]}


def _measured(
    page: Page, address: str, things: list[dict[str, Any]], year: int, pulls: int, say: Say
) -> dict[str, Any]:
    _opened(page, address)
    page.ask(f"[...document.querySelectorAll('button')].find((b) => b.textContent.includes('{year}')).click()")
    page.ask("window.__seen.mark()")
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


def _sheet(page: Page) -> list[float]:
    """Return where the sheet's middle lies [px], its scale [px/m] and what place of the ground is there [m]."""
    return [
        float(v)
        for v in page.ask(
            f"(() => {{ const sheet = {SHEET}, box = sheet.getBoundingClientRect(), data = sheet.dataset;"
            " return [box.x + box.width / 2, box.y + box.height / 2, data.scale, data.x, data.y].map(Number); })()"
        )
    ]


def place(page: Page, at: list[float]) -> tuple[float, float]:
    """Return where a place of the ground [m] lies in the window [px]."""
    x, y, scale, mx, my = _sheet(page)
    return x + (at[0] - mx) * scale, y - (at[1] - my) * scale


def _pulled(thing: dict[str, Any], turned: float) -> list[float]:
    """Return a place round about where the handle is pulled to [m]."""
    x, y = thing["at"]
    return [x + thing["ahead"] * FAR_M + SWING_M * math.sin(turned), y + SWING_M * math.cos(turned)]


def _take(page: Page, thing: dict[str, Any]) -> None:
    """Choose a thing, take hold of its handle and pull it away; again if the page had not shown the handle yet."""
    x, y = thing["at"]
    for _ in range(TRIES):
        middle = place(page, thing["middle"])
        page.move(*middle)
        page.press(*middle)
        page.release(*middle)
        time.sleep(SHORT_S)
        page.ask("void (window.__seen.id = '', window.__seen.left = null)")
        held = place(page, thing["at"])
        page.move(*held)
        page.press(*held)
        page.move(*place(page, [x + thing["ahead"] * FAR_M, y]))  # so that the first pull finds it in hand
        if page.wait(f"window.__seen.id === {json.dumps(thing['id'])}", TAKEN_S):
            return
        _let_go(page, thing)
    raise SystemExit(f"the browser could not take hold of {thing['id']}")


def _let_go(page: Page, thing: dict[str, Any]) -> None:
    """Leave everything as it was."""
    page.key("Escape")
    page.release(*place(page, thing["at"]))
    time.sleep(SHORT_S)


def _drag(page: Page, thing: dict[str, Any], pulls: int) -> tuple[list[float], list[float]]:
    """Pull step by step, each once the last is answered; return milliseconds from the pointer to verdicts drawn.

    To all of them, the first pull too; and to the first fresh one of any must that is touched.
    """
    _take(page, thing)
    page.ask("window.__seen.fresh()")
    out = [float(page.ask("window.__seen.done - window.__seen.moved"))]
    soon = []
    for k in range(pulls):
        to = place(page, _pulled(thing, k * 1.3))
        page.ask("void (window.__seen.left = null, window.__seen.first = 0)")
        page.move(*to)
        page.ask("window.__seen.fresh()")
        if (held := page.ask("window.__seen.id")) != thing["id"]:
            raise SystemExit(f"the browser took hold of {held} instead of {thing['id']}")
        out.append(float(page.ask("window.__seen.done - window.__seen.moved")))
        soon.append(float(page.ask("(window.__seen.first || window.__seen.done) - window.__seen.moved")))
    _let_go(page, thing)
    return out, soon


def _frames(page: Page, thing: dict[str, Any], seconds: float) -> list[float]:
    """Drag without waiting for anything; return the milliseconds between frames."""
    _take(page, thing)
    page.ask("window.__seen.watch()")
    end, k = time.monotonic() + seconds, 0
    while time.monotonic() < end:
        page.move(*place(page, _pulled(thing, k / 9)))
        k += 1
    page.ask("void (window.__seen.watching = false)")
    _let_go(page, thing)
    return [float(v) for v in page.ask("window.__seen.frames")]
