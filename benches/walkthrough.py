"""Measure walking through both demonstrations in a real browser whose pictures are painted by the processor.

``python benches/walkthrough.py [--small] [--json]``.  Of each garden's last summer: seconds from the touch on *On foot* to
the first picture, frames a second while one walks and turns at 960 x 540, with the processor's time a frame (that of the
browser's whole family of processes) and how finely the picture was painted then (1: every point), and the size of what is
loaded for it.  The bars: 30 frames a second, 2 seconds, 200 kB.  Nothing is compared: no library does this.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
import signal
import statistics
import sys
import tempfile
import time
from importlib.resources import files
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from _board_browser import browser_program
from board import SMALL, Served, share

from quincunx.demos import demo_garden
from quincunx.garden import Garden, read_garden
from quincunx.store import Store

FLAGS = ["--disable-gpu", "--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
DEMOS = ("ropewalk", "kettle-hill")
WALK_MS = 3000
FRAMES = """() => {
  window.__f = [];
  let last = 0;
  const frame = (now) => { if (last) window.__f.push(now - last); last = now; requestAnimationFrame(frame); };
  requestAnimationFrame(frame);
}"""
FRAMED = """() => {
  const frame = document.querySelector('.view .frame');
  frame.style.cssText = 'position: fixed; left: 0; top: 0; width: 960px; height: 540px; min-height: 0; z-index: 9';
}"""
PAINTED = """() => new Promise((done) => {
  requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now())));
})"""
TOUCHED = (
    "() => addEventListener('click', () => { window.__touched = performance.now(); }, { capture: true, once: true })"
)
CANVAS = "() => { const c = document.querySelector('.ground canvas'); return [c.width, c.height]; }"


def bundle_kb() -> float:
    """Return the size of what is loaded for walking, packed by gzip [kB of 1000 bytes]."""
    assets = files("quincunx") / "_ui" / "assets"
    return sum(len(gzip.compress(p.read_bytes(), 9)) for p in assets.iterdir() if p.name.startswith("OnFoot")) / 1000


def family_cpu_s(name: str) -> float:
    """Return the processor's time of all processes that run below this one under a name [s]."""
    parents: dict[int, int] = {}
    spent: dict[int, float] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            text = stat.read_text()
        except OSError:
            continue
        rest = text.rpartition(")")[2].split()
        pid = int(text.split(" ", 1)[0])
        parents[pid] = int(rest[1])
        if name in text:
            spent[pid] = (int(rest[11]) + int(rest[12])) / os.sysconf("SC_CLK_TCK")
    return sum(s for pid, s in spent.items() if _below(pid, parents))


def _below(pid: int, parents: dict[int, int]) -> bool:
    while pid > 1:
        if pid == os.getpid():
            return True
        pid = parents.get(pid, 0)
    return False


def measured(name: str, garden: Garden, walk_ms: int, *, settle: bool) -> dict[str, Any] | str:
    """Walk through a garden; return what was measured, or a sentence that says what is missing."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        return "No browser part: Playwright is not installed (./run test lays it out)."
    program = browser_program()
    if program is None:
        return "No browser part: no Chromium found (on Debian: apt-get install chromium), or set QUINCUNX_CHROMIUM."
    with tempfile.TemporaryDirectory() as folder:
        os.environ["QUINCUNX_DATA"] = folder
        file = Path(folder) / f"{name}.quincunx"
        Store.create(file, garden).close()
        served = Served(file)
        try:
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=program, args=FLAGS)
                page = browser.new_page(viewport={"width": 1260, "height": 700})
                cookie, _, value = served.cookie.partition("=")
                page.context.add_cookies([{"name": cookie, "value": value, "url": f"http://127.0.0.1:{served.port}/"}])
                out = _walked(page, served, walk_ms, settle=settle)
                browser.close()
                return out
        finally:
            served.process.send_signal(signal.SIGCONT)
            served.process.kill()
            served.process.wait()


def _stood_up_ms(served: Served) -> list[float]:
    """Return how long each year's garden takes to be stood up and sent, the first time [ms]."""
    out = []
    for year in served.ask("GET", "/api/garden")["years"]:
        began = time.perf_counter()
        served.ask("GET", f"/api/foot/garden.glb?year={year}&month=6", read=False)
        out.append(1000 * (time.perf_counter() - began))
    return out


def _walked(page: Any, served: Served, walk_ms: int, *, settle: bool) -> dict[str, Any]:
    page.set_default_timeout(120_000)
    page.goto(f"http://127.0.0.1:{served.port}/")
    page.get_by_role("application").wait_for()
    if settle:
        served.settle()
    answers = _stood_up_ms(served)
    page.evaluate(TOUCHED)
    page.get_by_role("button", name="On foot", exact=True).click()
    page.locator("[role=application][data-ready]").wait_for()
    first_s = (page.evaluate(PAINTED) - page.evaluate("() => window.__touched")) / 1000
    page.locator(".years .year").last.click()
    page.wait_for_timeout(2500)
    # 960 x 540 for the picture itself, and nothing else at work: what is walked through is loaded.
    page.evaluate(FRAMED)
    page.wait_for_timeout(300)
    served.process.send_signal(signal.SIGSTOP)
    page.get_by_role("application").focus()
    page.evaluate(FRAMES)
    before = family_cpu_s("chrom")
    for key in ("ArrowUp", "ArrowRight", "w"):
        page.keyboard.down(key)
        page.wait_for_timeout(walk_ms // 3)
        page.keyboard.up(key)
    page.keyboard.down("ArrowLeft")
    page.wait_for_timeout(walk_ms)
    wide, high = page.evaluate(CANVAS)
    page.keyboard.up("ArrowLeft")
    spent = family_cpu_s("chrom") - before
    frames = page.evaluate("() => window.__f")
    late = frames[len(frames) // 2 :]
    return {
        "stood_up_ms": [round(v, 1) for v in answers], "first_view_s": round(first_s, 2),
        "frames": len(frames), "frame_median_ms": round(statistics.median(late), 1),
        "frame_p95_ms": round(share(late, 0.95), 1), "frames_a_second": round(1000 / statistics.mean(late), 1),
        "cpu_ms_a_frame": round(1000 * spent / max(len(frames), 1), 1), "fineness": round(wide / 960, 2), "painted": [wide, high],
    }  # fmt: skip


def main() -> None:
    """Measure and say so."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true", help="a short walk through a small garden only")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    asked = parser.parse_args()
    result: dict[str, Any] = {"bundle_kb_gz": round(bundle_kb(), 1)}
    print(f"loaded for walking: {result['bundle_kb_gz']} kB packed (bar 200)")
    walked = [(SMALL.stem, read_garden(SMALL.read_bytes()))] if asked.small else [(n, demo_garden(n)) for n in DEMOS]
    for name, garden in walked:
        found = measured(name, garden, WALK_MS // 6 if asked.small else WALK_MS, settle=not asked.small)
        result[name] = found
        if isinstance(found, str):
            print(found)
            break
        print(
            f"{name}: first picture {found['first_view_s']} s (bar 2); {found['frames_a_second']} frames a second (bar 30), "
            f"median {found['frame_median_ms']} ms, p95 {found['frame_p95_ms']} ms, processor {found['cpu_ms_a_frame']} ms a frame, "
            f"painted {found['painted'][0]} x {found['painted'][1]} while walking"
        )
    every = [v for r in result.values() if isinstance(r, dict) for v in r["stood_up_ms"]]
    if every:
        result["p95_ms"] = round(share(every, 0.95), 1)
        print(f"a year stood up and sent: p95 {result['p95_ms']} ms, of {len(every)}")
    if asked.json:
        print(json.dumps(result))


if __name__ == "__main__":
    main()
